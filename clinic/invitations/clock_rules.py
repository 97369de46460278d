"""A zone's clock changes: the yearly rule that a tzdata file ends with, and the changes that really happen.

The rule is the POSIX TZ string of RFC 8536 section 3.3, for example
`GMT0BST,M3.5.0/1,M10.5.0`: the offsets are written west-positive and an hour may be
negative or go up to 167.
"""

import re
import zoneinfo
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from zoneinfo import ZoneInfo

_NAME = r"(<[^>]+>|[A-Za-z]{3,})"
_TIME = r"([+-]?\d{1,3}(?::\d\d){0,2})"
_DATE = rf"M(\d+)\.(\d)\.(\d)(?:/{_TIME})?"
_RULE = re.compile(rf"{_NAME}{_TIME}(?:{_NAME}{_TIME}?,{_DATE},{_DATE})?")
_DEFAULT_CHANGE_TIME = "2"
_ONE_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class ClockState:
    """What the clocks of a zone show for a part of the year."""

    name: str
    offset: timedelta  # east of Greenwich is positive


@dataclass(frozen=True, slots=True)
class YearlyChange:
    """A change on the n-th weekday of a month (5 = the last), `at` after its midnight, by the clock before."""

    month: int
    week: int
    weekday: int  # Sunday is 0, as in the rule
    at: timedelta

    def wall_time_in(self, year: int) -> datetime:
        """Give the wall time of the change, by the clock that is about to be changed."""
        first = date(year, self.month, 1)
        day = first + timedelta(days=(self.weekday - first.isoweekday()) % 7 + 7 * (self.week - 1))
        if day.month != self.month:
            day -= timedelta(days=7)
        return datetime(day.year, day.month, day.day) + self.at  # noqa: DTZ001 - a wall time, on purpose

    @property
    def stays_on_its_day(self) -> bool:
        """Say whether the change falls on the weekday named, as a yearly calendar rule needs."""
        return timedelta(0) <= self.at < timedelta(days=1)


@dataclass(frozen=True, slots=True)
class ClockChange:
    """One change: when, by the clock before it, and from what to what."""

    wall_time: datetime
    before: ClockState
    after: ClockState

    @property
    def instant(self) -> datetime:
        """Give the moment of the change in UTC."""
        return (self.wall_time - self.before.offset).replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Summer:
    """The part of the year with the clocks further east, and the two changes that bound it."""

    state: ClockState
    begins: YearlyChange
    ends: YearlyChange


@dataclass(frozen=True, slots=True)
class ClockRule:
    """The rule for all years to come. Without `summer` the clocks never change."""

    winter: ClockState
    summer: Summer | None = None

    def changes_in(self, year: int) -> list[ClockChange]:
        """List the year's changes in their order."""
        if self.summer is None:
            return []
        begins = ClockChange(self.summer.begins.wall_time_in(year), self.winter, self.summer.state)
        ends = ClockChange(self.summer.ends.wall_time_in(year), self.summer.state, self.winter)
        return sorted((begins, ends), key=lambda change: change.instant)

    @property
    def fits_a_yearly_calendar_rule(self) -> bool:
        """Say whether RRULE can express it: an hour of 24 and more, or below 0, slips to another day."""
        return self.summer is None or (self.summer.begins.stays_on_its_day and self.summer.ends.stays_on_its_day)


def clock_rule_of(zone: str) -> ClockRule | None:
    """Give the rule at the end of the zone's tzdata file, or None when it has none that we can read."""
    return parse_clock_rule(tzdata_file(zone).rstrip(b"\n").rpartition(b"\n")[2].decode("ascii", "replace"))


def parse_clock_rule(text: str) -> ClockRule | None:
    """Read a POSIX TZ string; None when it is not one, or counts days of the year instead of weekdays.

    "Summer" is whichever state is further east. Dublin's rule is written the other way
    round, with winter as a negative saving; it is turned here, because older calendars
    expect daylight time to be the larger offset (known tzdata remark, from memory).
    """
    found = _RULE.fullmatch(text)
    if not found:
        return None
    parts = found.groups()
    standard = ClockState(parts[0].strip("<>"), -_duration(parts[1]))
    if parts[2] is None:
        return ClockRule(standard)
    saving = ClockState(parts[2].strip("<>"), -_duration(parts[3]) if parts[3] else standard.offset + _ONE_HOUR)
    begins, ends = _yearly_change(parts[4:8]), _yearly_change(parts[8:12])
    if saving.offset < standard.offset:
        return ClockRule(saving, Summer(standard, begins=ends, ends=begins))
    return ClockRule(standard, Summer(saving, begins, ends))


def real_changes(zone: str, first_year: int, last_year: int) -> list[ClockChange]:
    """List the changes that tzdata really has from 1 January of the first year to 31 December of the last, UTC.

    A day is short enough a step: no zone changes its clock twice within one.
    """
    info, changes = ZoneInfo(zone), []
    day, end = datetime(first_year, 1, 1, tzinfo=UTC), datetime(last_year + 1, 1, 1, tzinfo=UTC)
    while day < end:
        following = day + timedelta(days=1)
        if state_at(info, day).offset != state_at(info, following).offset:
            changes.append(_change_between(info, day, following))
        day = following
    return changes


def state_at(info: ZoneInfo, moment: datetime) -> ClockState:
    """Give what the zone's clocks show at a moment."""
    local = moment.astimezone(info)
    return ClockState(local.tzname() or "", local.utcoffset() or timedelta(0))


def _change_between(info: ZoneInfo, low: datetime, high: datetime) -> ClockChange:
    """Halve the time between two moments until the second of the change is found."""
    before, after = state_at(info, low), state_at(info, high)
    while high - low > timedelta(seconds=1):
        middle = low + (high - low) // 2
        middle = middle.replace(microsecond=0)
        low, high = (middle, high) if state_at(info, middle).offset == before.offset else (low, middle)
    return ClockChange((high + before.offset).replace(tzinfo=None), before, after)


def _yearly_change(parts: tuple) -> YearlyChange:
    month, week, weekday, at = parts
    return YearlyChange(int(month), int(week), int(weekday), _duration(at or _DEFAULT_CHANGE_TIME))


def _duration(text: str) -> timedelta:
    hours, minutes, seconds = (*text.lstrip("+-").split(":"), "0", "0")[:3]
    length = timedelta(hours=int(hours), minutes=int(minutes), seconds=int(seconds))
    return -length if text.startswith("-") else length


def tzdata_file(zone: str) -> bytes:
    """Read the very file that ZoneInfo reads: the system's if there is one, else the tzdata package's."""
    ZoneInfo(zone)  # refuses names that are no zone, and names that would leave the folder
    for folder in zoneinfo.TZPATH:
        path = Path(folder, zone)
        if path.is_file():
            return path.read_bytes()
    return files("tzdata").joinpath("zoneinfo", *zone.split("/")).read_bytes()
