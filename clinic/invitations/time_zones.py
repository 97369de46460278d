"""The VTIMEZONE part of an invitation, as bytes (RFC 5545 section 3.6.5).

Why we write our own, and never use RDATE: docs/decisions/0011-our-own-time-zones.md.
"""

from datetime import datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from clinic.invitations.clock_rules import (
    ClockChange,
    ClockRule,
    ClockState,
    YearlyChange,
    clock_rule_of,
    real_changes,
    state_at,
)

EPOCH = 1970  # RRULE series begin here, like those of most calendars
WEEKDAYS = ("SU", "MO", "TU", "WE", "TH", "FR", "SA")
LAST_WEEK = 5


@lru_cache(maxsize=512)
def zone_bytes(zone: str, first_year: int, last_year: int) -> bytes:
    """Give the zone's VTIMEZONE, right for every moment of these years.

    The usual form is one yearly rule for each of the two changes. Where no yearly rule can
    say it, or where tzdata and its rule disagree about these years, each
    change gets its own part instead.
    """
    rule = clock_rule_of(zone)
    if rule and rule.fits_a_yearly_calendar_rule and _agrees_with_tzdata(rule, zone, first_year, last_year):
        parts = _yearly_parts(rule)
    else:
        parts = _single_parts(zone, first_year, last_year)
    lines = ["BEGIN:VTIMEZONE", f"TZID:{zone}", *parts, "END:VTIMEZONE", ""]
    return "\r\n".join(lines).encode("ascii")


def _agrees_with_tzdata(rule: ClockRule, zone: str, first_year: int, last_year: int) -> bool:
    """Say whether rule and tzdata have the same changes, and the same offset to begin with."""
    by_rule = [change for year in range(first_year, last_year + 1) for change in rule.changes_in(year)]
    really = real_changes(zone, first_year, last_year)
    first = by_rule[0].before if by_rule else rule.winter
    before = state_at(ZoneInfo(zone), datetime.fromisoformat(f"{first_year}-01-01T00:00Z"))
    return before.offset == first.offset and list(map(_essence, by_rule)) == list(map(_essence, really))


def _essence(change: ClockChange) -> tuple[datetime, timedelta]:
    return change.instant, change.after.offset


def _yearly_parts(rule: ClockRule) -> list[str]:
    if rule.summer is None:
        return _part("STANDARD", f"{EPOCH}0101T000000", rule.winter, rule.winter)
    return [
        *_yearly_part("STANDARD", rule.summer.ends, rule.summer.state, rule.winter),
        *_yearly_part("DAYLIGHT", rule.summer.begins, rule.winter, rule.summer.state),
    ]


def _yearly_part(kind: str, change: YearlyChange, before: ClockState, after: ClockState) -> list[str]:
    week = -1 if change.week == LAST_WEEK else change.week
    rule = f"RRULE:FREQ=YEARLY;BYMONTH={change.month};BYDAY={week}{WEEKDAYS[change.weekday]}"
    return _part(kind, f"{change.wall_time_in(EPOCH):%Y%m%dT%H%M%S}", before, after, rule)


def _single_parts(zone: str, first_year: int, last_year: int) -> list[str]:
    """Write what holds before the first change, then each change; a year more before, where an alarm may ring."""
    changes = real_changes(zone, first_year - 1, last_year)
    start = state_at(ZoneInfo(zone), datetime.fromisoformat(f"{first_year - 1}-01-01T00:00Z"))
    starts_in_summer = bool(changes) and changes[0].after.offset < changes[0].before.offset
    parts = _part("DAYLIGHT" if starts_in_summer else "STANDARD", f"{EPOCH}0101T000000", start, start)
    for change in changes:
        kind = "DAYLIGHT" if change.after.offset > change.before.offset else "STANDARD"
        parts += _part(kind, f"{change.wall_time:%Y%m%dT%H%M%S}", change.before, change.after)
    return parts


def _part(kind: str, starts: str, before: ClockState, after: ClockState, *rule: str) -> list[str]:
    return [
        f"BEGIN:{kind}",
        f"DTSTART:{starts}",
        *rule,
        f"TZNAME:{after.name}",
        f"TZOFFSETFROM:{_offset(before.offset)}",
        f"TZOFFSETTO:{_offset(after.offset)}",
        f"END:{kind}",
    ]


def _offset(offset: timedelta) -> str:
    """Write an offset as +HHMM, with seconds only where history has them (RFC 5545 section 3.3.14)."""
    minutes, seconds = divmod(abs(int(offset.total_seconds())), 60)
    sign = "-" if offset < timedelta(0) else "+"
    return f"{sign}{minutes // 60:02}{minutes % 60:02}" + (f"{seconds:02}" if seconds else "")
