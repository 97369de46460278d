"""Reminders still to be sent: two for an attendance, at local wall times (S14, R63, R64)."""

from collections.abc import Iterable
from datetime import date, time, timedelta

from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.pathway import ReminderRules
from rehab.engine.planned import PlannedVisit, Reminder, VisitState

DAY = timedelta(days=1)


def reminders_due(
    visits: Iterable[PlannedVisit], *, on: date, calendar: ClinicCalendar, rules: ReminderRules
) -> list[Reminder]:
    """List the reminders whose local date is later than both `on` and the visit's planning date.

    Visits of one date are one attendance with one pair of reminders, under the code with
    the earliest target. Reminder 1 goes out on any day of the week, reminder 2 on the last
    working day before; when 1 would not come before 2 it is dropped.
    """
    attendances: dict[date, PlannedVisit] = {}
    for visit in visits:
        if visit.state is not VisitState.PLANNED or not visit.is_real or visit.placed_on is None:
            continue
        first = attendances.setdefault(visit.placed_on, visit)
        if visit.target_on < first.target_on:
            attendances[visit.placed_on] = visit
    reminders = []
    for visit_on, visit in attendances.items():
        after = max(on, visit.planning_on)
        reminders += [
            Reminder(visit.code, number, calendar.instant(day, at), visit.treatment, visit_on)
            for number, day, at in _days(visit_on, calendar, rules)
            if day > after
        ]
    return sorted(reminders, key=lambda reminder: (reminder.send_at, reminder.number))


def _days(visit_on: date, calendar: ClinicCalendar, rules: ReminderRules) -> list[tuple[int, date, time]]:
    first = visit_on - timedelta(days=rules.first_days_before)
    second = calendar.working_day_on_or_before(visit_on - DAY)
    pair = [(2, second, rules.second_at)]
    return [(1, first, rules.first_at), *pair] if first < second else pair
