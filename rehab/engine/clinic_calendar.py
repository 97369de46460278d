"""Which days are open, which are working days, and the nearest of them: look-ups, no searching."""

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from rehab.engine.facts import Clinic

SATURDAY = 5
DAY = timedelta(days=1)


class CalendarTooShort(LookupError):
    """The calendar does not reach the day asked for: build it for a longer span."""


class ClinicCalendar:
    """The clinic's days from `first` to `last`, as tables indexed by day.

    An *open day* is one of the clinic's weekdays, not a public holiday, not closed, not full.
    A *working day* is Monday to Friday and not a public holiday; closures play no part.
    `holidays` must hold every public holiday of the clinic's country between the two days.
    Raises CalendarTooShort when asked about a day outside the span.
    """

    __slots__ = (
        "_first",
        "_instants",
        "_next_open",
        "_previous_open",
        "_previous_working",
        "_span",
        "clinic",
        "holidays",
        "timetables",
    )

    def __init__(self, clinic: Clinic, holidays: frozenset[date], first: date, last: date) -> None:
        self.clinic = clinic
        self.holidays = holidays
        self._first = first.toordinal()
        self._span = last.toordinal() - self._first + 1
        days = [first + DAY * n for n in range(self._span)]
        open_days = [day if self._counts_as_open(day) else None for day in days]
        working = [day if day.weekday() < SATURDAY and day not in holidays else None for day in days]
        self._previous_open = _carried_forward(open_days)
        self._next_open = _carried_forward(open_days[::-1])[::-1]
        self._previous_working = _carried_forward(working)
        self._instants: dict[tuple[date, time], datetime] = {}
        self.timetables: dict[tuple[object, ...], tuple[Any, Any]] = {}  # filled by rehab.engine.timetable

    def _counts_as_open(self, day: date) -> bool:
        clinic = self.clinic
        is_clinic_day = day.weekday() in clinic.clinic_days and day not in self.holidays
        return is_clinic_day and day not in clinic.closed_on and day not in clinic.full_on

    def _at(self, day: date) -> int:
        index = day.toordinal() - self._first
        if 0 <= index < self._span:
            return index
        first = date.fromordinal(self._first)
        raise CalendarTooShort(f"{day} is outside the calendar, which runs from {first} for {self._span} days")

    def is_open(self, day: date) -> bool:
        """Say whether the clinic sees people on this day and has room."""
        return self._previous_open[self._at(day)] == day

    def is_working_day(self, day: date) -> bool:
        """Say whether the day is Monday to Friday and not a public holiday."""
        return self._previous_working[self._at(day)] == day

    def working_day_on_or_before(self, day: date) -> date:
        """Roll a day back to a working day, when it is not one already."""
        found = self._previous_working[self._at(day)]
        if found is None:
            raise CalendarTooShort(f"no working day on or before {day} in this calendar")
        return found

    def open_on_or_after(self, day: date) -> date | None:
        """Find the first open day from this day on, or None when the calendar ends first."""
        return self._next_open[self._at(day)]

    def nearest_open(self, target: date, earliest: date, latest: date) -> date | None:
        """Find the open day nearest to `target` between the two days (both allowed); a tie goes to the earlier.

        Distance is in civil days and always to the target. Returns None when no day is open.
        """
        if earliest > latest:
            return None
        after = self._next_open[self._at(max(target, earliest))]
        if after is not None and after > latest:
            after = None
        before = self._previous_open[self._at(min(target, latest))] if target >= earliest else None
        if before is None or before < earliest:
            return after
        if after is None or (target - before) <= (after - target):
            return before
        return after

    def why_closed(self, day: date) -> str | None:
        """Name why a day is not open: "public holiday", "not a clinic day", "closed", "full"; None when it is."""
        if day in self.holidays:
            return "public holiday"
        if day.weekday() not in self.clinic.clinic_days:
            return "not a clinic day"
        if day in self.clinic.closed_on:
            return "closed"
        return "full" if day in self.clinic.full_on else None

    def instant(self, day: date, at: time) -> datetime:
        """Turn a local wall time into UTC; a time the clock change skips or repeats is read with fold=0."""
        known = self._instants.get((day, at))
        if known is None:
            known = datetime.combine(day, at, tzinfo=self.clinic.time_zone).astimezone(UTC)
            self._instants[day, at] = known
        return known

    def appointment_at(self, day: date) -> datetime:
        """Give the instant (UTC) of the clinic's appointment time on a day."""
        return self.instant(day, self.clinic.appointment_time)


def _carried_forward(days: list[date | None]) -> list[date | None]:
    """Fill each gap with the last day seen before it."""
    filled: list[date | None] = []
    seen: date | None = None
    for day in days:
        seen = day if day is not None else seen
        filled.append(seen)
    return filled
