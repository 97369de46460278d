"""The course told entry by entry: what each recorded fact does to visits, stages, alerts and tasks.

Facts are told in the order they happened, and the days between them pass. That way a
later fact changes only what it truly changes: a visit added for a cause keeps its code,
and a place found on a day stays found.
"""

from collections.abc import Callable, Iterable
from datetime import date, timedelta
from typing import Any

from rehab.engine import facts
from rehab.engine.alignment import AlignmentWatch, FilmColour, FilmJudgement
from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.extra_visits import GATE_REVIEW, SLIP_FILM, UNION_FILM, WEDGE_FILM, AddedVisit
from rehab.engine.facts import Course, Film, Treatment
from rehab.engine.findings import Finding, FindingsBook, alarming
from rehab.engine.pathway import Pathways, StageRule
from rehab.engine.placement import DatedWindow
from rehab.engine.planned import FilmState, LadderRow, Level, Reason, Unmatched, VisitState
from rehab.engine.treatment_so_far import RaisedAlert, TreatmentSoFar
from rehab.engine.union import HIGH_RISK, DelayedUnion, Scored, UnionWatch
from rehab.engine.visit_book import Row, VisitBook
from rehab.engine.weight_bearing import (
    Evidence,
    GateVisit,
    gate_state,
    ladder,
    ladder_rules,
    why_order_has_no_effect,
)

DAY = timedelta(days=1)
ALARMS = frozenset({"alignment", HIGH_RISK})


class FollowUp:
    """One course, told from the first treatment to a day."""

    def __init__(self, course: Course, pathways: Pathways, calendar: ClinicCalendar, evidence_on: date) -> None:
        self.course = course
        self.pathways = pathways
        self.calendar = calendar
        self.evidence_on = evidence_on
        self.shared = next(iter(pathways.values())).shared
        self.so_far: list[TreatmentSoFar] = []
        self.union = UnionWatch(course.injury.on, self.shared.union)
        self.delayed = DelayedUnion(self.union)
        self.findings = FindingsBook()
        self.alerts: list[RaisedAlert] = []
        self.films: list[FilmState] = []
        self.unmatched: list[Unmatched] = []
        self.antibiotics_closed_on: list[date] = []
        self.ended_on: date | None = None
        self._discharges: list[facts.Discharged] = []
        self._bookings_of_the_day: list[tuple[facts.Booked, int]] = []
        self._findings_of_the_day: list[tuple[facts.GateFindings, dict[str, Finding]]] = []

    @property
    def now(self) -> TreatmentSoFar:
        """The treatment in force."""
        return self.so_far[-1]

    # -- telling -----------------------------------------------------------------------------------------------

    def tell(self) -> "FollowUp":
        """Tell the whole history, and let the days pass up to the day of the evidence."""
        for index, entry in enumerate(self.course.history):
            self._pass_time_before(entry.on)
            if self.so_far or isinstance(entry, _ANYTIME):
                _TOLD[type(entry)](self, entry, index)
            else:
                self._raise(Level.AMBER, "scope", entry.on, [Reason("R31", "before_day_zero", {"on": entry.on})])
        self._pass_time_before(max(self.evidence_on, self.course.treatments[-1].on) + DAY)
        if self.ended_on is None and self.delayed.by_the_clock(self.evidence_on):
            self._raise_delayed_union()
        return self

    def _pass_time_before(self, day: date) -> None:
        """Let everything happen that happens by itself before `day` begins, and start treatments due by then."""
        treatments = self.course.treatments
        while len(self.so_far) < len(treatments) and treatments[len(self.so_far)].on <= day:
            starting = treatments[len(self.so_far)]
            if self.so_far:
                self._end_of_day(starting.on - DAY)
            self._start(starting)
        if self.so_far:
            self._end_of_day(day - DAY)

    def _start(self, treatment: Treatment) -> None:
        number = len(self.so_far) + 1
        pathway = self.pathways[treatment.kind]
        book = VisitBook(number, treatment, self.course.injury, pathway, self.calendar)
        started = TreatmentSoFar(number, treatment, pathway, book, AlignmentWatch(pathway.shared.alignment))
        steps = ladder_rules(pathway, self.course.injury, started.orders)
        started.reviewed = tuple(rule for rule in steps if rule.reviewed_if_not_met)
        self.so_far.append(started)
        if number > 1:
            self.ended_on = None  # a further treatment opens the plan again, even after a discharge
            self.union.begin_again()

    def _raise(
        self, level: Level, kind: str, on: date, reasons: Iterable[Reason], visit: str | None = None
    ) -> RaisedAlert:
        alert = RaisedAlert(level, kind, on, list(reasons), len(self.so_far), visit)
        if self.so_far and level is Level.RED and kind in ALARMS:
            self.now.is_alarm_unanswered = True
        self.alerts.append(alert)
        return alert

    # -- visits --------------------------------------------------------------------------------------------------

    def _booked(self, entry: facts.Booked, index: int) -> None:
        if not self.now.book.book(entry.visit, entry.place_on, on=entry.on):
            self._bookings_of_the_day.append((entry, index))

    def _book_what_the_day_brought(self, day: date) -> None:
        """Book the visits that came to be only at the end of the day on which they were booked."""
        due = [(entry, index) for entry, index in self._bookings_of_the_day if entry.on <= day]
        for entry, index in due:
            self._bookings_of_the_day.remove((entry, index))
            if not self.now.book.book(entry.visit, entry.place_on, on=entry.on):
                self.unmatched.append(Unmatched(index, entry.visit))

    def _attended(self, entry: facts.Attended, index: int) -> None:
        if entry.visit == self.now.pathway.ward_visit:
            return
        named = self._named_elsewhere(index, from_on=entry.on, to_on=self._last_day)
        rows = self._book_with(entry).attend(entry.visit, entry.on, named=named)
        if not rows:
            self.unmatched.append(Unmatched(index, entry.visit))
        for row in rows:
            self._consider_delayed_union(entry.on, is_decision_visit=row.rule.decides_delayed_union)

    def _missed(self, entry: facts.Missed, index: int) -> None:
        book = self._book_with(entry)
        named = self._named_elsewhere(index, from_on=entry.on, to_on=entry.on)
        if self._somebody_came(entry.on):  # then the miss speaks for its own visit alone
            named |= {row.code for row in book.rows}
        rows = book.miss(entry.visit, entry.on, named=named)
        if not rows:
            self.unmatched.append(Unmatched(index, entry.visit))
        for row in rows if self.now.book.latest(entry.visit) is not None else ():
            self._raise_missed(row)

    @property
    def _last_day(self) -> date:
        """The last day of the treatment in force: the one before the next anchor."""
        later = self.course.treatments[len(self.so_far) :]
        return later[0].on - DAY if later else date.max

    def _book_with(self, entry: facts.Attended | facts.Missed) -> VisitBook:
        """Give the visits an entry speaks of: on the day of a conversion it may be one of the treatment before."""
        book = self.now.book
        if book.latest(entry.visit) is None and entry.on == self.now.treatment.on and len(self.so_far) > 1:
            return self.so_far[-2].book
        return book

    def _raise_missed(self, row: Row) -> None:
        """Tell the clinic of a miss the same day; a second one, or no place by the deadline, goes to the surgeon."""
        again = self.now.book.latest(row.code)
        assert again is not None
        assert again.deadline is not None
        assert row.placed is not None
        has_place = again.placed is not None and again.placed <= again.deadline
        code = "missed_first" if row.attempt == 1 else "missed_again"
        if not has_place:
            code = "missed_no_place"
        again_on = {"rebooked_on": again.placed, "deadline": again.deadline, "attempt": row.attempt}
        values = {"visit": row.code, "title": row.rule.title, **again_on}
        level = Level.AMBER if code == "missed_first" else Level.RED
        self._raise(level, "missed", row.placed, [Reason("S8", code, values)], row.code)

    def _somebody_came(self, on: date) -> bool:
        return any(isinstance(entry, facts.Attended) and entry.on == on for entry in self.course.history)

    def _named_elsewhere(self, index: int, *, from_on: date, to_on: date) -> frozenset[str]:
        """Give the codes that other attended or missed entries name in a span of days (R17)."""
        return frozenset(
            other.visit
            for position, other in enumerate(self.course.history)
            if position != index and isinstance(other, facts.Attended | facts.Missed) and from_on <= other.on <= to_on
        )

    def _need_extra(self, extra: AddedVisit, window: DatedWindow, cause_on: date, reason: Reason) -> Row:
        """Let a visit already inside the window serve, or add one (R26)."""
        book = self.now.book
        union_on = self.union.confirmed_on
        row = book.serving(window, on=cause_on, needs_film=extra.with_film, union_on=union_on)
        if row is None:
            not_before = window.earliest if extra.never_early else None
            row = book.add_extra(extra.rule(self.shared), window, cause_on, not_before=not_before)
            row.stops_at_union = extra.stops_at_union
        row.gain(reason, extra.contents(self.shared))
        return row

    # -- films and union -----------------------------------------------------------------------------------------

    def _film(self, film: Film, index: int) -> None:
        judgement = self.now.watch.read(film) if self.so_far else None
        if judgement is not None:
            self._film_judged(judgement, index)
        scored = Scored.of(film, self.shared.union)
        if scored is not None:
            self._film_scored(scored)
        if self.so_far:
            self._consider_delayed_union(film.on, is_decision_visit=False)

    def _film_judged(self, judgement: FilmJudgement, index: int) -> None:
        on, colour = judgement.film.on, judgement.colour
        state = None if colour is None else colour.value
        self.films.append(FilmState(on, index, state, judgement.reasons, judgement.is_new_baseline))
        if colour in {FilmColour.RED, FilmColour.AMBER}:
            level = Level.RED if colour is FilmColour.RED else Level.AMBER
            self._raise(level, "alignment", on, judgement.reasons)
        if judgement.is_first_red:
            self._need_extra(SLIP_FILM, DatedWindow.after(on, self.shared.extra_film), on, SLIP_FILM.reason(on))

    def _film_scored(self, scored: Scored) -> None:
        union, on = self.union, scored.on
        union.read(scored)
        for alert in self.alerts:
            if alert.kind == "delayed union" and alert.on == on:
                alert.reasons = [self.delayed.reason(self.now.treatment)]  # the day's film was read after the visit
        falling = union.falling_score(scored)
        low = union.low_score(scored, self.now.treatment) if self.so_far and union.confirmed_on is None else None
        reasons = [reason for reason in (falling, low) if reason is not None]
        if reasons:
            self._raise(Level.RED if falling else Level.AMBER, HIGH_RISK, on, reasons)
        nonunion = union.possible_nonunion(scored)
        if nonunion is not None:
            self._raise(Level.AMBER, "possible non-union", on, [nonunion])
        self._book_nonunion_film(scored)
        self._suggest_union()

    def _book_nonunion_film(self, scored: Scored) -> None:
        due_on = self.union.nonunion_film_due_on(scored)
        if due_on is None or not self.so_far or self.now.book.is_waiting_for(UNION_FILM.rule_code):
            return
        window = DatedWindow(due_on, due_on, due_on + timedelta(days=self.shared.union.nonunion_film_latest_days))
        self._need_extra(UNION_FILM, window, scored.on, UNION_FILM.reason(scored.on))

    def _suggest_union(self) -> None:
        suggested = self.union.suggestion()
        if suggested is not None:
            on, reason = suggested
            self._raise(Level.INFO, "union suggested", on, [reason])

    def _consider_delayed_union(self, on: date, *, is_decision_visit: bool) -> None:
        if self.ended_on is None and self.delayed.consider(on, is_decision_visit=is_decision_visit):
            self._raise_delayed_union()

    def _raise_delayed_union(self) -> None:
        on = self.delayed.raised_on
        assert on is not None
        self._raise(Level.AMBER, "delayed union", on, [self.delayed.reason(self.now.treatment)])

    def _clinical_union(self, entry: facts.ClinicalUnion, index: int) -> None:
        self.union.clinical = entry
        self._suggest_union()

    def _union_confirmed(self, entry: facts.UnionConfirmed, index: int) -> None:
        self.union.confirmed_on = self.union.confirmed_on or entry.on

    def _wedged(self, entry: facts.Wedged, index: int) -> None:
        self.now.watch.wedge(entry.on)
        window = DatedWindow.after(entry.on, self.shared.extra_film)
        self._need_extra(WEDGE_FILM, window, entry.on, WEDGE_FILM.reason(entry.on))

    # -- findings and orders -------------------------------------------------------------------------------------

    def _gate_findings(self, entry: facts.GateFindings, index: int) -> None:
        self._findings_of_the_day.append((entry, self.findings.record(entry)))

    def _consider_findings(self, day: date) -> None:
        """Look at the day's findings once its films are read, whichever was written down first (R59)."""
        if not self._findings_of_the_day or self._findings_of_the_day[0][0].on > day:
            return
        for entry, recorded in self._findings_of_the_day:
            reasons = self._alarming(recorded)
            if reasons and self.so_far:
                self._raise(Level.RED, HIGH_RISK, entry.on, reasons, entry.visit)
        self._findings_of_the_day = []

    def _alarming(self, recorded: dict[str, Finding]) -> list[Reason]:
        rise = self.shared.union.pain_rise if self.union.score_has_not_risen() else None
        return alarming(recorded, pain_rise=rise)

    def _stage_ordered(self, order: facts.StageOrdered, index: int) -> None:
        now, stage, reason = self.now, self.now.stage, None
        if order.by is not facts.Authoriser.SURGEON and order.stage.rank > stage.rank:
            is_alarm = now.is_alarm_unanswered or any(self._alarming(found) for _, found in self._findings_of_the_day)
            reason = why_order_has_no_effect(order, self.ladder(), stage, is_alarm_unanswered=is_alarm)
        if reason is not None:
            self._raise(Level.AMBER, "scope", order.on, [reason])
            return
        now.orders.take(order)
        if order.by is facts.Authoriser.SURGEON:
            now.is_alarm_unanswered = False
        self._let_reviews_lapse(order)

    def _let_reviews_lapse(self, order: facts.StageOrdered) -> None:
        """Drop gate reviews still to come that a surgeon's order has made needless (R35)."""
        if order.by is not facts.Authoriser.SURGEON:
            return
        for stage, codes in self.now.gate_codes.items():
            row = self.now.book.latest(codes[-1])
            if len(codes) == 1 or row is None or not row.is_open or stage.rank > order.stage.rank:
                continue
            if row.placed is None or row.placed > order.on:
                codes.pop()
                row.lapsed = row.rule.is_extra and not self._is_needed(row)

    def _is_needed(self, row: Row) -> bool:
        """Say whether an extra visit has another purpose than the review that lapsed."""
        is_film = any(why.rule in {"S12", "S16"} for why in row.why)
        return is_film or any(codes[-1] == row.code for codes in self.now.gate_codes.values())

    def ladder(self) -> tuple[LadderRow, ...]:
        """Write the ladder of the treatment in force, as known so far."""
        now = self.now
        rules = ladder_rules(now.pathway, self.course.injury, now.orders)
        visits = {rule.stage: now.gate_visit(rule) for rule in rules}
        return ladder(rules, visits, now.orders, self._evidence(), self.course.weights, now.pathway)

    def _evidence(self) -> Evidence:
        return Evidence(self.findings, self.now.watch.on_baseline, self.union, self.shared)

    # -- what the days themselves bring --------------------------------------------------------------------------

    def _end_of_day(self, day: date) -> None:
        self._close_day(day)
        self._book_what_the_day_brought(day)

    def _close_day(self, day: date) -> None:
        self._consider_findings(day)
        if day < self.now.treatment.on or self.ended_on is not None:
            return
        self._consider_discharges(day)
        now = self.now
        for rule in now.reviewed:
            if not now.orders.surgeon_reached(rule.stage):
                self._review_gate(rule, day)

    def _review_gate(self, rule: StageRule, day: date) -> None:
        """Add a review when the gate visit has passed without an order, or its findings say no (S10, R35)."""
        codes = self.now.gate_codes.setdefault(rule.stage, [rule.gate_visit])
        row = self.now.book.latest(codes[-1])
        if row is None or row.state is not VisitState.ATTENDED or row.placed is None or row.placed > day:
            return
        if row.placed == day and not self._findings_say_no(rule, self.now.gate_visit(rule)):
            return
        window = DatedWindow.after(row.placed, self.shared.gate_review)
        values = {"stage": rule.stage.value, "visit": row.code, "title": row.rule.title, "attended": row.placed}
        reason = Reason("S10", "gate_review", values)
        review = self._need_extra(GATE_REVIEW, window, row.placed, reason)
        self.now.gate_codes[rule.stage].append(review.code)

    def _findings_say_no(self, rule: StageRule, visit: GateVisit) -> bool:
        on = visit.placed_on
        is_recorded = any(
            isinstance(entry, facts.GateFindings) and (entry.visit == visit.code or entry.on == on)
            for entry in self.course.history
        )
        return is_recorded and any(gate_state(gate, visit, self._evidence()).met is not True for gate in rule.gates)

    def _clot_review_closed(self, entry: facts.ClotReviewClosed, index: int) -> None:
        self.now.clot_closed_on = self.now.clot_closed_on or entry.on

    def _antibiotic_review_closed(self, entry: facts.AntibioticReviewClosed, index: int) -> None:
        self.antibiotics_closed_on.append(entry.on)

    def _discharged(self, entry: facts.Discharged, index: int) -> None:
        self._discharges.append(entry)

    def _consider_discharges(self, day: date) -> None:
        """End the plan at the close of the day, when everything asked for is there (R24)."""
        if not self._discharges or self._discharges[0].on > day:
            return
        for entry in self._discharges:
            missing = self.now.missing_for_discharge(union_confirmed_on=self.union.confirmed_on)
            if entry.reason is None and missing:
                self._raise(
                    Level.AMBER, "scope", entry.on, [Reason("R24", "discharge_incomplete", {"missing": missing})]
                )
            else:
                self.ended_on = entry.on
        self._discharges = []


_ANYTIME = (facts.Film, facts.GateFindings, facts.ClinicalUnion, facts.UnionConfirmed, facts.AntibioticReviewClosed)
_TOLD: dict[type, Callable[[FollowUp, Any, int], None]] = {
    facts.Booked: FollowUp._booked,
    facts.Attended: FollowUp._attended,
    facts.Missed: FollowUp._missed,
    facts.Film: FollowUp._film,
    facts.GateFindings: FollowUp._gate_findings,
    facts.StageOrdered: FollowUp._stage_ordered,
    facts.Wedged: FollowUp._wedged,
    facts.ClinicalUnion: FollowUp._clinical_union,
    facts.UnionConfirmed: FollowUp._union_confirmed,
    facts.ClotReviewClosed: FollowUp._clot_review_closed,
    facts.AntibioticReviewClosed: FollowUp._antibiotic_review_closed,
    facts.Discharged: FollowUp._discharged,
}
