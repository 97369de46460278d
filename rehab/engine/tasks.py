"""Tasks a clinician must do: clot-prevention, consultant and antibiotic reviews. Never a dose, never a stop order."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.facts import Injury, OpenGrade, Treatment
from rehab.engine.pathway import SharedRules
from rehab.engine.planned import Reason, Task, TaskState

CLOT_REVIEW = "clot prevention review"
CONSULTANT_REVIEW = "consultant review"
ANTIBIOTIC_REVIEW = "antibiotic review"
ARRANGE_FOLLOW_UP = "clinician must arrange follow-up"
GRADE_III = frozenset({OpenGrade.IIIA, OpenGrade.IIIB, OpenGrade.IIIC})


def clot_reviews(
    anchor_on: date,
    number: int,
    *,
    until: date,
    closed_on: date | None,
    calendar: ClinicCalendar,
    shared: SharedRules,
) -> list[Task]:
    """Date the clot-prevention reviews of one treatment (S13, R60).

    The first falls so many days after the anchor, the next ones at a fixed interval from
    it, each rolled back on its own to a working day. They recur until the first due on or
    after `until`; closing the review closes all and stops the recurrence.
    """
    stop = until if closed_on is None else closed_on
    tasks: list[Task] = []
    days = shared.clot_review_first_day
    while True:
        nominal = anchor_on + timedelta(days=days)
        due_on = calendar.working_day_on_or_before(nominal)
        state = TaskState.CLOSED if closed_on else TaskState.OPEN if due_on >= stop else TaskState.OVERDUE
        why = Reason("S13", "clot_review", {"days": days, "anchor_on": anchor_on, "nominal_on": nominal})
        tasks.append(Task(CLOT_REVIEW, due_on, state, number, why=(why,)))
        if due_on >= stop:
            return tasks
        days += shared.clot_review_every_days


def consultant_review_due_at(injury: Injury, shared: SharedRules) -> datetime:
    """Give the instant (UTC) by which a consultant must have looked: elapsed hours from presentation."""
    return injury.presented_at.astimezone(UTC) + timedelta(hours=shared.consultant_review_hours)


def consultant_review(
    injury: Injury,
    visit_on: date | None,
    number: int,
    *,
    is_done: bool,
    calendar: ClinicCalendar,
    shared: SharedRules,
) -> Task | None:
    """Ask for a consultant's notes-and-images review when the first visit comes after the hours allowed (R61).

    Elapsed hours from presentation. Source: 72 h, British Orthopaedic Association statement
    on fracture-clinic review.
    """
    due_at = consultant_review_due_at(injury, shared)
    if visit_on is not None and calendar.appointment_at(visit_on) <= due_at:
        return None
    why = Reason("R61", "consultant_review", {"hours": shared.consultant_review_hours})
    state = TaskState.CLOSED if is_done else TaskState.OPEN
    return Task(CONSULTANT_REVIEW, _local_date(due_at, calendar), state, number, due_at=due_at, why=(why,))


def antibiotic_reviews(
    injury: Injury, first: Treatment, closed_on: Sequence[date], *, calendar: ClinicCalendar, shared: SharedRules
) -> list[Task]:
    """Ask for antibiotic reviews of an open fracture: after wound closure, and after a grade III injury (R62).

    Elapsed hours. An unknown closure counts as the first treatment's start: earlier, so
    safe. Each recorded review closes the earliest one still open.
    """
    if injury.open_grade is OpenGrade.CLOSED:
        return []
    closure = injury.wound_closed_at or first.at
    due = [("antibiotic_after_closure", closure, shared.antibiotic_hours_after_closure)]
    if injury.open_grade in GRADE_III:
        due.append(("antibiotic_after_injury", injury.at, shared.antibiotic_hours_after_injury))
    moments = sorted((start.astimezone(UTC) + timedelta(hours=hours), code, hours) for code, start, hours in due)
    tasks = []
    for index, (due_at, code, hours) in enumerate(moments):
        state = TaskState.CLOSED if index < len(closed_on) else TaskState.OPEN
        why = (Reason("R62", code, {"hours": hours}),)
        tasks.append(Task(ANTIBIOTIC_REVIEW, _local_date(due_at, calendar), state, 1, due_at=due_at, why=why))
    return tasks


def _local_date(instant: datetime, calendar: ClinicCalendar) -> date:
    return instant.astimezone(calendar.clinic.time_zone).date()


def called_off(tasks: Iterable[Task]) -> list[Task]:
    """Cancel what is still to do of a treatment that was converted."""
    return [task if task.state is TaskState.CLOSED else replace(task, state=TaskState.CANCELLED) for task in tasks]


def closed(tasks: Iterable[Task]) -> list[Task]:
    """Close what is still to do when the plan ends."""
    return [replace(task, state=TaskState.CLOSED) if task.state is not TaskState.CANCELLED else task for task in tasks]


def overdue(tasks: Iterable[Task], on: date) -> list[Task]:
    """Mark what should have been done before a day."""
    return [
        replace(task, state=TaskState.OVERDUE) if task.state is TaskState.OPEN and task.due_on < on else task
        for task in tasks
    ]
