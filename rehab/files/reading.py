"""Look into a course document whose structure has been checked: what is absent or at fault answers None."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from rehab.files.faults import Faults, Path
from rehab.files.right_answers import impossible_day, impossible_moment, year_out_of_range

FIRST_YEAR, LAST_YEAR = 1900, 2090  # public holidays are tabled to 2100, and a plan reaches years ahead


class Reading:
    """The document and the faults found in it so far."""

    def __init__(self, document: object, faults: Faults) -> None:
        self.document = document
        self.faults = faults

    def value(self, *path: str | int) -> Any:
        """Give what stands at a path; None when it is absent, null or at fault."""
        here: Any = self.document
        for depth, step in enumerate(path, start=1):
            here = _step_into(here, step)
            if here is None or self.faults.has(path[:depth]):
                return None
        return here

    def positions(self, *path: str | int) -> Iterator[Path]:
        """Give the path of each item of a list."""
        items = self.value(*path)
        if isinstance(items, list):
            yield from ((*path, index) for index in range(len(items)))

    def day(self, *path: str | int) -> date | None:
        """Read a civil date; one that is not in the calendar becomes a fault."""
        text = self.value(*path)
        if text is None:
            return None
        try:
            day = date.fromisoformat(text)
        except ValueError:
            self.faults.add(path, impossible_day(text))
            return None
        return day if self._is_in_range(path, day) else None

    def moment(self, *path: str | int, zone: ZoneInfo | None) -> datetime | None:
        """Read a moment as clinic time; without a known zone only a wall time can be placed."""
        text = self.value(*path)
        if text is None:
            return None
        try:
            moment = local_moment(text, zone)
        except (ValueError, OverflowError):
            self.faults.add(path, impossible_moment(text))
            return None
        return moment if moment and self._is_in_range(path, moment.date()) else None

    def _is_in_range(self, path: Path, day: date) -> bool:
        if FIRST_YEAR <= day.year <= LAST_YEAR:
            return True
        self.faults.add(path, year_out_of_range(day.year, FIRST_YEAR, LAST_YEAR))
        return False


def local_moment(text: str, zone: ZoneInfo | None) -> datetime | None:
    """Read a moment into clinic time (R3): an offset is converted first, a wall time is taken as written.

    A wall time that the clock change skips or repeats is read with fold=0. When the zone is
    unknown a wall time is still placed (as if in UTC), so that its order can be judged.
    """
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        return moment.replace(tzinfo=zone or UTC)
    return moment.astimezone(zone) if zone else None


def _step_into(here: Any, step: str | int) -> Any:
    if isinstance(here, dict) and isinstance(step, str):
        return here.get(step)
    if isinstance(here, list) and isinstance(step, int) and step < len(here):
        return here[step]
    return None
