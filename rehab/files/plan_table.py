"""A plan as text to be read on a screen or a line printer: 100 columns, no colour."""

from collections.abc import Iterable, Iterator
from textwrap import wrap

from django.utils.translation import gettext as _

from rehab.engine.facts import Stage, Treatment
from rehab.engine.plan import Alert, LadderRow, Plan, PlannedVisit, Reason, Reminder, Task, TaskState
from rehab.files.planning import PlannedCourse
from rehab.words import (
    at_local_time,
    finding_name,
    gate_met,
    gate_needs,
    in_short,
    in_words,
    number,
    pathway_text,
    plain_stage,
    printed_stage,
    reason_text,
    reasons_text,
)
from rehab.words.dates import window_in_short
from rehab.words.terms import (
    alert_kind_name,
    alert_level_name,
    authoriser_name,
    side_name,
    task_name,
    task_state_name,
    treatment_name,
    visit_state_name,
)

COLUMNS = 100
LIMITED = (Stage.TTWB, Stage.PWB25, Stage.PWB50, Stage.PWB75)
STAR = "*"  # beside a visit that is only made when the bone has not united


def plan_table(planned: PlannedCourse) -> str:
    """Write a plan as text, each part under its own heading, ending with a line break."""
    plan = planned.plan
    parts = [_head(planned)]
    if plan.scope.refused_because:
        parts.append(_section(_("NO PLAN IS MADE"), _reasons(plan.scope.refused_because)))
    if plan.scope.needs_sign_off:
        parts.append(_section(_("A SURGEON SIGNS OFF FIRST"), _reasons(plan.scope.needs_sign_off)))
    for position, treatment in enumerate(planned.course.treatments, start=1):
        visits = [visit for visit in plan.visits if visit.treatment == position]
        if visits:
            parts.append(_visits(treatment, visits))
    if plan.stages:
        parts.append(_ladder(plan.stages))
    parts += [_tasks(planned), _reminders(planned), _section(_("ALERTS"), _alerts(plan.alerts))]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _text(text: str, indent: int = 2) -> Iterator[str]:
    yield from wrap(text, COLUMNS, initial_indent=" " * indent, subsequent_indent=" " * indent)


def _labelled(label: str, text: str, width: int = 26) -> Iterator[str]:
    yield from wrap(text, COLUMNS, initial_indent=f"  {label:<{width}}", subsequent_indent=" " * (width + 2))


def _section(heading: str, lines: Iterable[str]) -> list[str]:
    """Put a heading above lines; a part without lines is left out."""
    body = list(lines)
    return [heading, *body] if body else []


def _reasons(reasons: Iterable[Reason]) -> Iterator[str]:
    for reason in reasons:
        yield from _text(reason_text(reason))


def _head(planned: PlannedCourse) -> list[str]:
    plan, injury = planned.plan, planned.course.injury
    treatment = treatment_name(plan.pathway_treatment)
    heading = _("FOLLOW-UP PLAN: %(side)s tibia, %(treatment)s")
    return [
        heading % {"side": side_name(injury.side), "treatment": treatment},
        *_approval(plan),
        "",
        *_labelled(_("Injury, healing clock from"), in_words(plan.healing_clock_from), 28),
        *_labelled(_("Day 0 of the treatment"), in_words(plan.anchor_on), 28),
        *_labelled(_("Stage now"), _stage_now(plan), 28),
    ]


def _approval(plan: Plan) -> Iterator[str]:
    words = {"version": plan.pathway_version, "who": plan.approved_by}
    if plan.approved_by:
        yield from wrap(_("Approved by %(who)s, pathway version %(version)s.") % words, COLUMNS)
    else:
        text = _("NOT APPROVED: no clinician of this clinic has signed pathway version %(version)s.") % words
        yield from wrap(text, COLUMNS)


def _stage_now(plan: Plan) -> str:
    now = plan.stage_now
    words = {"stage": printed_stage(now.stage), "since": in_words(now.since)}
    if now.ordered_by is None:
        first = _("%(stage)s. No order on file since %(since)s.") % words
    else:
        words["by"] = authoriser_name(now.ordered_by)
        first = _("%(stage)s, ordered by a %(by)s on %(since)s.") % words
    return f"{first} {plain_stage(now.stage, now.cap_kg)}"


def _visits(treatment: Treatment, visits: list[PlannedVisit]) -> list[str]:
    words = {"treatment": treatment_name(treatment.kind), "day": in_words(treatment.on)}
    heading = _("VISITS: %(treatment)s, day 0 on %(day)s") % words
    names = (_("Visit"), _("Place"), _("Day"), _("Healing"), _("Target"), _("Window"), _("State"))
    lines = [_visit_columns(*names)]
    for visit in visits:
        lines += [*_visit(visit)]
    if any(visit.only_if_not_united for visit in visits):
        lines += [*_text(_("%(star)s only when the bone has not united") % {"star": STAR})]
    return _section(heading, lines)


def _visit_columns(code: str, place: str, day: str, healing: str, target: str, window: str, state: str) -> str:
    return f"  {code:<5} {place:<16} {day:>4} {healing:>7}  {target:<16} {window:<33} {state}".rstrip()


def _visit(visit: PlannedVisit) -> Iterator[str]:
    yield _visit_columns(
        visit.code + (STAR if visit.only_if_not_united else ""),
        in_short(visit.placed_on) if visit.placed_on else _("none"),
        "" if visit.day is None else str(visit.day),
        "" if visit.healing_day is None else str(visit.healing_day),
        in_short(visit.target_on),
        window_in_short(visit.earliest_on, visit.latest_on),
        visit_state_name(visit.state),
    )
    yield from _text(pathway_text(visit.title), 8)
    yield from _text(_contents(visit), 8)
    if visit.deadline_on:
        yield from _text(_("Deadline: %(day)s.") % {"day": in_words(visit.deadline_on)}, 8)
    for reason in visit.why:
        yield from _text(_("Why: %(text)s (%(rule)s)") % {"text": reason_text(reason), "rule": reason.rule}, 8)


def _contents(visit: PlannedVisit) -> str:
    return "; ".join(pathway_text(content) for content in visit.contents)


def _ladder(stages: Iterable[LadderRow]) -> list[str]:
    lines: list[str] = []
    for row in stages:
        lines += [*_step(row)]
    return _section(_("STAGE LADDER: what may be ordered. Nothing begins without an order."), lines)


def _step(row: LadderRow) -> Iterator[str]:
    cap = "" if not row.cap_kg else " " + _("(at most %(kg)s kg)") % {"kg": number(row.cap_kg)}
    not_before = in_words(row.not_before) if row.not_before else _("no day yet")
    yield from _text(f"{printed_stage(row.stage)}{cap}")
    if row.cap_kg is None and row.not_before is not None and row.stage in LIMITED:
        yield from _text(plain_stage(row.stage, None), 8)
    words = {
        "day": not_before,
        "visit": row.gate_visit,
        "who": _(" or ").join(authoriser_name(by) for by in row.authorised_by),
    }
    yield from _text(_("Not before %(day)s, visit %(visit)s. Ordered by: %(who)s.") % words, 8)
    for gate in row.gates:
        text = f"{finding_name(gate.finding)}: {gate_needs(gate)} ({gate_met(gate.met)})"
        yield from _text(_("Gate: %(text)s") % {"text": text}, 8)


def _tasks(planned: PlannedCourse) -> list[str]:
    lines: list[str] = []
    for task in planned.plan.tasks:
        lines += [*_task(task, planned)]
    return _section(_("TASKS"), lines)


def _task(task: Task, planned: PlannedCourse) -> Iterator[str]:
    due = at_local_time(task.due_at, planned.clinic.time_zone) if task.due_at else in_words(task.due_on)
    words = {"task": task_name(task.kind), "due": due, "state": task_state_name(task.state)}
    yield from _text(_("%(task)s, due %(due)s: %(state)s") % words)
    if task.state in (TaskState.OPEN, TaskState.OVERDUE):
        yield from _text(reasons_text(task.why), 8)


def _reminders(planned: PlannedCourse) -> list[str]:
    return _section(
        _("REMINDERS still to be sent, clinic time"),
        (_reminder(reminder, planned) for reminder in planned.plan.reminders),
    )


def _reminder(reminder: Reminder, planned: PlannedCourse) -> str:
    sent = at_local_time(reminder.send_at, planned.clinic.time_zone)
    words = {"sent": sent, "number": reminder.number, "visit": reminder.visit, "day": in_short(reminder.visit_on)}
    return "  " + _("%(sent)s: number %(number)d for %(visit)s on %(day)s") % words


def _alerts(alerts: Iterable[Alert]) -> Iterator[str]:
    for alert in alerts:
        words = {
            "level": alert_level_name(alert.level, alert.kind),
            "code": alert.level.value,
            "kind": alert_kind_name(alert.kind),
            "day": in_words(alert.on),
            "state": _("open") if alert.is_open else _("closed"),
        }
        yield from _text(_("%(level)s (%(code)s), %(kind)s, %(day)s, %(state)s") % words)
        yield from _text(reasons_text(alert.reasons), 8)
