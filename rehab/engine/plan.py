"""`make_plan`: all rules applied to one course on one day. The values it gives are in planned.py."""

from collections.abc import Iterable
from datetime import date, timedelta

from rehab.engine import tasks
from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.facts import Course, Stage, Treatment
from rehab.engine.follow_up import FollowUp
from rehab.engine.pathway import Pathway, Pathways
from rehab.engine.planned import (
    Alert,
    FilmState,
    GateState,
    LadderRow,
    Level,
    Plan,
    PlannedVisit,
    Reason,
    Reminder,
    Scope,
    StageNow,
    Task,
    TaskState,
    Unmatched,
    VisitState,
)
from rehab.engine.reminders import reminders_due
from rehab.engine.scope import judge_scope, warnings
from rehab.engine.treatment_so_far import RaisedAlert, TreatmentSoFar
from rehab.engine.weight_bearing import cap_kg, stage_now

__all__ = [
    "Alert",
    "FilmState",
    "GateState",
    "LadderRow",
    "Level",
    "Plan",
    "PlannedVisit",
    "Reason",
    "Reminder",
    "Scope",
    "StageNow",
    "Task",
    "TaskState",
    "Unmatched",
    "VisitState",
    "make_plan",
]

DAY = timedelta(days=1)
UNTIL_UNION = frozenset({"high risk", "delayed union", "possible non-union", "union suggested"})


def make_plan(course: Course, pathways: Pathways, calendar: ClinicCalendar, on: date | None = None) -> Plan:
    """Compute everything that follows from what is known of one injury.

    `on` is a civil date in the clinic's time zone (default: the newest anchor). It never
    moves a place and never hides history: it only decides which reminders are still due
    and which visits are overdue, and counts towards the day of the evidence (R1).
    The same facts always give the same plan. A course out of scope gets a plan without
    visits, non-weightbearing, and a task that keeps it on a clinician's list (R6).

    Raises CalendarTooShort when the calendar does not span the course and its plan.
    """
    treatment = course.treatments[-1]
    pathway = pathways[treatment.kind]
    on = on or treatment.on
    scope = judge_scope(course, pathway)
    if not scope.is_accepted:
        return _refused(course, treatment, pathway, scope, on)
    evidence_on = max([on, *(entry.on for entry in course.history[-1:])])
    told = FollowUp(course, pathways, calendar, evidence_on).tell()
    return _written(told, scope, on)


def _refused(course: Course, treatment: Treatment, pathway: Pathway, scope: Scope, on: date) -> Plan:
    alert = Alert(Level.RED, "scope", on, scope.refused_because)
    task = Task(tasks.ARRANGE_FOLLOW_UP, on, TaskState.OPEN, len(course.treatments), why=scope.refused_because)
    cap = cap_kg(Stage.NWB, course.weights, treatment.on, pathway.shared)
    return Plan(
        pathway_treatment=treatment.kind,
        pathway_version=pathway.version,
        approved_by=pathway.approved_by,
        scope=scope,
        anchor_on=treatment.on,
        healing_clock_from=course.injury.on,
        visits=(),
        stages=(),
        stage_now=StageNow(Stage.NWB, cap, treatment.on, None),
        tasks=(task,),
        reminders=(),
        alerts=(alert,),
    )


def _written(told: FollowUp, scope: Scope, on: date) -> Plan:
    """Write what was told as one frozen value."""
    now, course = told.now, told.course
    books = [_visits_of(told, so_far) for so_far in told.so_far]
    current = books[-1]
    ended = told.ended_on is not None
    reminders = () if ended else reminders_due(current, on=on, calendar=told.calendar, rules=told.shared.reminders)
    return Plan(
        pathway_treatment=now.treatment.kind,
        pathway_version=now.pathway.version,
        approved_by=now.pathway.approved_by,
        scope=scope,
        anchor_on=now.treatment.on,
        healing_clock_from=course.injury.on,
        visits=tuple(visit for book in books for visit in book),
        stages=told.ladder(),
        stage_now=stage_now(now.orders, now.treatment.on, course.weights, told.shared),
        tasks=tuple(_tasks(told, books)),
        reminders=tuple(reminders),
        alerts=tuple(_alerts(told, scope, current, on)),
        films=tuple(told.films),
        union_confirmed_on=told.union.confirmed_on,
        ended_on=told.ended_on,
        unmatched=tuple(told.unmatched),
    )


def _visits_of(told: FollowUp, so_far: TreatmentSoFar) -> list[PlannedVisit]:
    """Write the visits of one treatment; those of an earlier one as known on the day before the conversion."""
    is_current = so_far is told.now
    is_over = not is_current or told.ended_on is not None
    known_on = told.evidence_on
    if not is_current:
        known_on = min(known_on, told.so_far[so_far.number].treatment.on - DAY)
    return so_far.book.written(on=known_on, union_on=told.union.confirmed_on, is_over=is_over)


def _tasks(told: FollowUp, books: list[list[PlannedVisit]]) -> list[Task]:
    """Gather the tasks of every treatment, those of an earlier one called off."""
    course, calendar, shared = told.course, told.calendar, told.shared
    found = tasks.antibiotic_reviews(
        course.injury, course.treatments[0], told.antibiotics_closed_on, calendar=calendar, shared=shared
    )
    for so_far, visits in zip(told.so_far, books, strict=True):
        found += _tasks_of(told, so_far, visits)
    found = tasks.overdue(found, told.evidence_on)
    if told.ended_on is not None:
        found = tasks.closed(found)
    return sorted(found, key=lambda task: (task.due_on, task.kind, task.treatment))


def _tasks_of(told: FollowUp, so_far: TreatmentSoFar, visits: list[PlannedVisit]) -> list[Task]:
    is_current = so_far is told.now
    until = told.ended_on or told.evidence_on
    if not is_current:
        until = min(until, told.so_far[so_far.number].treatment.on)
    found = tasks.clot_reviews(
        so_far.treatment.on,
        so_far.number,
        until=until,
        closed_on=so_far.clot_closed_on,
        calendar=told.calendar,
        shared=told.shared,
    )
    review = _consultant_review(told, so_far, visits)
    if review is not None:
        found.append(review)
    return found if is_current else tasks.called_off(found)


def _consultant_review(told: FollowUp, so_far: TreatmentSoFar, visits: list[PlannedVisit]) -> Task | None:
    """Judge by the newest row of the first cast visit, unless one was attended in an earlier cast (R61)."""
    code, injury, shared = so_far.pathway.consultant_visit, told.course.injury, told.shared
    attended_before = any(
        row.code == code and row.state is VisitState.ATTENDED
        for earlier in told.so_far[: so_far.number - 1]
        for row in earlier.book.rows
    )
    is_long_after = tasks.consultant_review_due_at(injury, shared) < so_far.treatment.at
    if code is None or attended_before or (so_far.number > 1 and is_long_after):
        return None
    rows = [visit for visit in visits if visit.code == code]
    newest = rows[-1] if rows else None
    placed_on = newest.placed_on if newest else None
    is_done = newest is not None and newest.state is VisitState.ATTENDED
    return tasks.consultant_review(
        injury, placed_on, so_far.number, is_done=is_done, calendar=told.calendar, shared=shared
    )


def _alerts(told: FollowUp, scope: Scope, current: list[PlannedVisit], on: date) -> list[Alert]:
    """Gather all alerts, oldest first, the most urgent of a day before the rest."""
    anchor_on = told.now.treatment.on
    found = [Alert(Level.AMBER, "scope", anchor_on, (reason,)) for reason in scope.needs_sign_off]
    notes = warnings(told.course.injury, told.now.treatment, told.now.pathway)
    found += [Alert(Level.INFO, "scope", anchor_on, (reason,)) for reason in notes]
    found += [_alert(told, raised) for raised in told.alerts if _still_holds(told, raised)]
    if told.ended_on is None:
        found += _without_outcome(current, on)
        found += _without_place(current)
    return sorted(found, key=lambda alert: (alert.on, -alert.level.urgency, alert.kind))


def _still_holds(told: FollowUp, raised: RaisedAlert) -> bool:
    """Union confirmed by the day of a delayed-union review means there was none to raise (R53)."""
    confirmed_on = told.union.confirmed_on
    return raised.kind != "delayed union" or confirmed_on is None or confirmed_on > raised.on


def _alert(told: FollowUp, raised: RaisedAlert) -> Alert:
    return Alert(raised.level, raised.kind, raised.on, tuple(raised.reasons), _is_open(told, raised), raised.visit)


def _is_open(told: FollowUp, raised: RaisedAlert) -> bool:
    """A miss is settled when the visit is attended, a film by an operation, a healing alert by confirmed union."""
    if told.ended_on is not None and raised.on <= told.ended_on:
        return False
    if raised.kind in UNTIL_UNION:
        return told.union.confirmed_on is None
    if raised.kind == "alignment":
        return raised.treatment == told.now.number
    if raised.kind == "missed":
        row = told.so_far[raised.treatment - 1].book.latest(raised.visit or "")
        is_attended = row is not None and row.state is VisitState.ATTENDED
        is_needless = row is not None and told.union.confirmed_on is not None and row.is_only_until_union
        return raised.treatment == told.now.number and not is_attended and not is_needless
    return True


def _without_outcome(visits: Iterable[PlannedVisit], on: date) -> list[Alert]:
    """Name the visits whose day has passed with nothing recorded: not missed, not moved (R22)."""
    return [
        Alert(
            Level.AMBER,
            "missed",
            visit.placed_on,
            (Reason("R22", "no_outcome", {"visit": visit.code, "title": visit.title}),),
            visit=visit.code,
        )
        for visit in visits
        if visit.state is VisitState.PLANNED and visit.is_real and visit.placed_on is not None and visit.placed_on < on
    ]


def _without_place(visits: Iterable[PlannedVisit]) -> list[Alert]:
    """Name the visits for which no place exists: a person must act (R14)."""
    return [
        Alert(
            Level.RED,
            "missed",
            visit.planning_on,
            (Reason("R14", "no_place_exists", {"visit": visit.code, "title": visit.title, "latest": visit.latest_on}),),
            visit=visit.code,
        )
        for visit in visits
        if visit.state is VisitState.PLANNED and visit.placed_on is None
    ]
