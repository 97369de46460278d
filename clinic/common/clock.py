"""What time it is. Everything else takes the time as an argument."""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo


def now() -> datetime:
    """Give this instant, in UTC."""
    return datetime.now(UTC)


def clinic_today(zone: ZoneInfo, at: datetime | None = None) -> date:
    """Give the civil date in the clinic's time zone: never the server's."""
    return (at or now()).astimezone(zone).date()


def clinic_instant(day: date, wall_time: time, zone: ZoneInfo) -> datetime:
    """Turn a clinic's wall time into an instant in UTC; one that the clock change repeats or skips has fold=0."""
    return datetime.combine(day, wall_time, tzinfo=zone).astimezone(UTC)
