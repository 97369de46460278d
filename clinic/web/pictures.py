"""From the plan to the drawings: which steps, bars, stretches and dots a course and its plan call for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clinic.web.drawings.dates import day_and_full_month, day_month_year, in_words, weekday_and_day
from clinic.web.drawings.gate import Bar, bar_shape, gate_words
from clinic.web.drawings.ladder import Ladder, Step, StepState, draw_ladder, ladder_words, narrow_rows
from clinic.web.drawings.soles import Load
from clinic.web.drawings.time_line import Stretch, Tense, TimeLine, draw_time_line
from clinic.web.drawings.time_line_visits import Dot, DotState
from rehab.engine.facts import Authoriser, Course, Stage, StageOrdered
from rehab.engine.pathway import PAIN_FINDINGS, GateRule, Pathway
from rehab.engine.plan import GateState, LadderRow, Plan, PlannedVisit, VisitState
from rehab.words import finding_name, gate_needs, pathway_text, printed_stage, short_finding_name
from rehab.words.terms import authoriser_name

FULL_HEIGHT = 0.85  # of the load stair: "as comfort allows" stands a little lower than "no aids"
NOTES = {
    Stage.NWB: gettext_lazy("no load"),
    Stage.WBAT: gettext_lazy("aids as needed"),
    Stage.FWB: gettext_lazy("no aids"),
}
LIMITED_PLAIN = gettext_lazy("press what you practised")
FROM_FILMS = ("films_in_limits", "callus_cortices", "callus_or_fading_cortices")
NO_LOAD_PLAIN = gettext_lazy("foot off the floor")


@dataclass(frozen=True, slots=True)
class Stood:
    """A stretch of time on one stage, by an order that took effect."""

    stage: Stage
    since: date
    until: date | None


def stages_stood(course: Course, plan: Plan) -> list[Stood]:
    """Tell from the orders which stages were in force since the anchor; the last one is the plan's own.

    An order that had no effect left no stage behind, so only those that led to where the
    plan stands now, or came from a surgeon, are told.
    """
    orders = [entry for entry in course.history if isinstance(entry, StageOrdered) and entry.on >= plan.anchor_on]
    orders = [order for order in orders if order.by is Authoriser.SURGEON or order.on == plan.stage_now.since]
    starts = [(Stage.NWB, plan.anchor_on), *((order.stage, order.on) for order in orders)]
    starts = [start for start in starts if start[1] <= plan.stage_now.since]
    if starts[-1] != (plan.stage_now.stage, plan.stage_now.since):
        starts.append((plan.stage_now.stage, plan.stage_now.since))
    ends = [*(since for _, since in starts[1:]), None]
    stood = [Stood(stage, since, until) for (stage, since), until in zip(starts, ends, strict=True)]
    return [stretch for stretch in stood if stretch.until is None or stretch.until > stretch.since]


def split_term(stage: Stage) -> tuple[str, str]:
    """The printed term and the plain line that stands in brackets behind it."""
    term, _, plain = printed_stage(stage).partition(" (")
    return term, plain.rstrip(")")


def load_words(stage: Stage, cap_kg: int | None) -> tuple[str, str]:
    """The load in figures and a note: "42 kg", "at most"; a limited stage without a fresh weight is touch only."""
    if stage in (Stage.WBAT, Stage.FWB):
        return _("no limit"), str(NOTES[stage])
    if stage is Stage.NWB:
        return _("0 kg"), str(NOTES[stage])
    if cap_kg is None:
        return _("touch"), _("only, until weighed")
    return _("%(kg)d kg") % {"kg": cap_kg}, _("at most")


def _plain(stage: Stage) -> str:
    plain = split_term(stage)[1]
    if plain:
        return plain
    return str(NO_LOAD_PLAIN if stage is Stage.NWB else LIMITED_PLAIN)


def ladder_of(course: Course, plan: Plan, pathway: Pathway) -> Ladder:
    """The ladder of a plan: its rows, with the stage in force among them even when no row names it."""
    now = plan.stage_now.stage
    rows = {row.stage: row for row in plan.stages}
    stood = {stretch.stage: stretch for stretch in stages_stood(course, plan)}
    shown = sorted({*rows, now, *(stage for stage in stood if stage in rows)}, key=lambda stage: stage.rank)
    steps = tuple(_step(stage, rows.get(stage), stood.get(stage), plan, pathway) for stage in shown)
    coming = next((rows[stage] for stage in shown if stage.rank > now.rank and stage in rows), None)
    return Ladder(course.injury.side, steps, bars_of(coming) if coming else ())


def _step(stage: Stage, row: LadderRow | None, stood: Stood | None, plan: Plan, pathway: Pathway) -> Step:
    now = plan.stage_now
    state = StepState.NOW if stage is now.stage else StepState.PAST if stage.rank < now.stage.rank else StepState.COMING
    cap = now.cap_kg if state is StepState.NOW else row.cap_kg if row else None
    words, note = load_words(stage, cap)
    is_without_order = state is StepState.NOW and now.ordered_by is None
    return Step(
        state=state,
        term=split_term(stage)[0],
        plain=_("no order on file") if is_without_order else _plain(stage),
        load_words=words,
        load_note=note,
        load=Load(pathway.shared.stages[stage].percent, is_planned=state is StepState.COMING),
        when=_when(state, row, stood, plan),
        was_stood_on=state is not StepState.PAST or stood is not None,
    )


def _when(state: StepState, row: LadderRow | None, stood: Stood | None, plan: Plan) -> str:
    if state is StepState.NOW:
        return _("since %(date)s") % {"date": day_month_year(plan.stage_now.since)}
    if stood is not None and stood.until is not None:
        words = _("until %(date)s") if state is StepState.PAST else _("was here until %(date)s")
        return words % {"date": day_month_year(stood.until)}
    if state is StepState.PAST:
        return _("passed over")
    if row is None or row.not_before is None:
        return _("not before its visit has a place")
    return _("not before %(date)s") % {"date": day_month_year(row.not_before)}


def bars_of(row: LadderRow) -> tuple[Bar, ...]:
    """One bar for each condition of a step, and one for the order it needs: an order is never there by itself."""
    names = _(" or ").join(authoriser_name(by) for by in row.authorised_by)
    order = Bar(_("Order of a %(who)s") % {"who": names}, False, _("not signed yet"))
    return (*(_bar(gate) for gate in row.gates), order)


def _bar(gate: GateState) -> Bar:
    needs = needs_words(gate)
    needs = needs[:1].upper() + needs[1:]
    if gate.met is None or gate.recorded_on is None:
        return Bar(needs, gate.met, _("not read yet") if gate.finding in FROM_FILMS else _("not recorded yet"))
    return Bar(needs, gate.met, _seen(gate, day_month_year(gate.recorded_on)))


def needs_words(gate: GateState | GateRule) -> str:
    """What a bar needs: "pain on walking 4/10 or less", "walks without a limp", "the 2 newest films in limits"."""
    name = finding_name(gate.finding)
    if gate.finding == "films_in_limits":
        return gate_needs(gate)
    if gate.finding in PAIN_FINDINGS:
        return _("%(pain)s %(most)d/10 or less") % {"pain": short_finding_name(gate.finding), "most": gate.at_most}
    if gate.equals is True:
        return name
    return _("%(finding)s: %(needs)s") % {"finding": name, "needs": gate_needs(gate)}


def _seen(gate: GateState, on: str) -> str:
    value = gate.value
    if gate.finding == "films_in_limits":
        words = {"n": value, "all": gate.at_least or 1, "date": on}
        return _("%(n)d of %(all)d in limits, newest film %(date)s") % words
    if gate.finding in PAIN_FINDINGS:
        return _("%(value)d/10, %(date)s") % {"value": value, "date": on}
    said = (_("yes") if value else _("no")) if isinstance(value, bool) else str(value)
    return _("%(value)s, %(date)s") % {"value": said, "date": on}


def ladder_parts(ladder: Ladder) -> dict:
    """What templates/parts/_ladder.html needs."""
    bars = ladder.bars if ladder.has_gate else ()
    return {
        "title": gate_words(bars) if bars else "",
        "bars": [(bar, bar_shape(bar)) for bar in bars],
        "drawing": draw_ladder(ladder),
        "words": ladder_words(ladder),
        "rows": narrow_rows(ladder),
    }


# The year ahead


def time_line_of(
    course: Course, plan: Plan, pathway: Pathway, today: date, places: Mapping[tuple[int, str, int], str] | None = None
) -> TimeLine:
    """The strip of a plan. `places` are the booked times by row, "09:40", for what is booked."""
    slow_days = pathway.shared.union.delayed_from_healing_day
    is_judged = plan.union_confirmed_on is None
    return TimeLine(
        day_0=plan.anchor_on,
        today=today,
        stretches=tuple(_stretches(course, plan, pathway, today)),
        visits=tuple(dot_of(visit, today, places or {}) for visit in plan.visits if _is_shown(visit, plan)),
        slow_from=plan.healing_clock_from + timedelta(days=slow_days) if is_judged else None,
        slow_words=_("%(weeks)d weeks from the injury") % {"weeks": slow_days // 7},
    )


def _is_shown(visit: PlannedVisit, plan: Plan) -> bool:
    """Leave out what lies before the treatment, and what an earlier treatment would have brought."""
    newest = max(each.treatment for each in plan.visits)
    is_overtaken = visit.state is VisitState.CANCELLED and visit.treatment < newest
    return not is_overtaken and (visit.placed_on or visit.target_on) >= plan.anchor_on


def _stretches(course: Course, plan: Plan, pathway: Pathway, today: date) -> Sequence[Stretch]:
    """What was so until today is solid, what may follow is planned; nothing solid reaches past today."""
    past = [_stretch(stood.stage, stood.since, None, plan, pathway) for stood in stages_stood(course, plan)]
    coming = [
        _stretch(row.stage, max(row.not_before, today), row, plan, pathway)
        for row in plan.stages
        if row.stage.rank > plan.stage_now.stage.rank and row.not_before is not None
    ]
    if plan.ended_on is not None or today < plan.anchor_on:
        return past
    if not coming or coming[0].from_on > today:
        stays = _stretch(plan.stage_now.stage, today, None, plan, pathway, tense=Tense.PLANNED)
        coming.insert(0, stays)
    return past + coming


def _stretch(
    stage: Stage, since: date, row: LadderRow | None, plan: Plan, pathway: Pathway, tense: Tense | None = None
) -> Stretch:
    cap = row.cap_kg if row else plan.stage_now.cap_kg if stage is plan.stage_now.stage else None
    percent = pathway.shared.stages[stage].percent
    height = (1.0 if stage is Stage.FWB else FULL_HEIGHT) if percent is None else FULL_HEIGHT * percent / 100
    if tense is Tense.PLANNED:
        return Stretch(since, height, _("Until ordered: as now"), "", tense)
    note = _plain(stage)
    if row is not None and row.not_before is not None:
        note = _("not before %(date)s") % {"date": day_and_full_month(row.not_before)}
    return Stretch(since, height, _short_term(stage, cap), note, Tense.PLANNED if row else Tense.SOLID)


def _short_term(stage: Stage, cap: int | None) -> str:
    """ "Limited, 42 kg": the term in one word, for the strip only."""
    term = split_term(stage)[0].removesuffix(_(" weightbearing"))
    if stage is Stage.FWB:
        return _("%(term)s, no aids") % {"term": term}
    return f"{term}, {load_words(stage, cap)[0]}" if cap else term


def dot_of(visit: PlannedVisit, today: date, places: Mapping[tuple[int, str, int], str]) -> Dot:
    """One visit of the strip."""
    state = _dot_state(visit, today)
    title = pathway_text(visit.title).partition(":")[0]
    return Dot(
        title=title,
        note=_dot_note(visit, state, places.get((visit.treatment, visit.code, visit.attempt))),
        target_on=visit.target_on,
        earliest_on=visit.earliest_on,
        latest_on=visit.latest_on,
        on=visit.placed_on,
        state=state,
    )


def _dot_state(visit: PlannedVisit, today: date) -> DotState:
    settled = {
        VisitState.ATTENDED: DotState.CAME,
        VisitState.MISSED: DotState.MISSED,
        VisitState.CANCELLED: DotState.CALLED_OFF,
    }
    if visit.state in settled:
        return settled[visit.state]
    if not visit.is_real:
        return DotState.IF_NOT_HEALED
    if not visit.is_booked:
        return DotState.NO_PLACE
    return DotState.TODAY if visit.placed_on == today else DotState.BOOKED


def _dot_note(visit: PlannedVisit, state: DotState, time: str | None) -> str:
    on = weekday_and_day(visit.placed_on) if visit.placed_on else ""
    words = {
        DotState.CAME: _("%(on)s, came"),
        DotState.MISSED: _("%(on)s, did not come"),
        DotState.CALLED_OFF: _("called off"),
        DotState.IF_NOT_HEALED: _("if not healed"),
        DotState.NO_PLACE: _("to book, by %(latest)s"),
        DotState.TODAY: _("today, %(time)s") if time else _("today"),
        DotState.BOOKED: _("%(on)s, %(time)s") if time else "%(on)s",
    }
    return words[state] % {"on": on, "latest": weekday_and_day(visit.deadline_on or visit.latest_on), "time": time}


def time_line_parts(strip: TimeLine) -> dict:
    """What templates/parts/_time_line.html needs: the drawing and the same as a dated list."""
    dots = sorted(strip.visits, key=lambda dot: dot.on or dot.target_on)
    return {"drawing": draw_time_line(strip), "rows": [(dot, in_words(dot.on or dot.target_on)) for dot in dots]}
