"""A clinic's own days as facts: when it sees people, when it is shut, and its frozen public holidays."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, time
from functools import lru_cache
from zoneinfo import ZoneInfo

from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.facts import Clinic, Course

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
YEARS_AHEAD = 3  # longer than any plan, its reviews and the search for a place


@dataclass(frozen=True)
class ClinicDays:
    """A clinic and its public holidays, from which the calendar of any course is made."""

    clinic: Clinic
    holidays: frozenset[date]

    def calendar_for(self, course: Course) -> ClinicCalendar:
        """Make the calendar that a course's plan can ask about; whole years, so that courses share it."""
        days = [course.injury.on, *(treatment.on for treatment in course.treatments)]
        days += [entry.on for entry in course.history]
        return _calendar(self.clinic, self.holidays, min(days).year - 1, max(days).year + YEARS_AHEAD)


@lru_cache(maxsize=64)
def _calendar(clinic: Clinic, holidays: frozenset[date], first_year: int, last_year: int) -> ClinicCalendar:
    return ClinicCalendar(clinic, holidays, date(first_year, 1, 1), date(last_year, 12, 31))


def clinic_facts(
    *,
    time_zone: str,
    clinic_days: Iterable[str],
    appointment_time: time,
    country: str,
    subdivision: str | None,
    closed_on: Iterable[date] = (),
) -> Clinic:
    """Turn what is on file of a clinic into the fact.

    Which sessions are full plays no part here: a plan must not move because other people were
    booked. Room is asked of the diary when a place is chosen, and a place once chosen is a fact.
    """
    return Clinic(
        time_zone=ZoneInfo(time_zone),
        clinic_days=frozenset(WEEKDAYS.index(day) for day in clinic_days),
        appointment_time=appointment_time,
        country=country,
        subdivision=subdivision,
        closed_on=frozenset(closed_on),
    )
