"""Where a visit goes: rules S4 to S6 and R13 to R14, one visit at a time."""

from dataclasses import dataclass
from datetime import date, timedelta

from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.planned import Reason

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a visit goes, and why. `on` is None when no place exists."""

    on: date | None
    why: Reason


@dataclass(frozen=True, slots=True)
class DatedWindow:
    """Target (should), earliest and latest (may) as civil dates."""

    target: date
    earliest: date
    latest: date

    @classmethod
    def after(cls, cause: date, window: object) -> "DatedWindow":
        """Date a window (anything with target_day, earliest_day, latest_day) from its cause."""
        days = (window.target_day, window.earliest_day, window.latest_day)  # type: ignore[attr-defined]
        return cls(*(cause + timedelta(days=n) for n in days))

    def holds(self, day: date | None) -> bool:
        """Say whether a day lies inside; no day does not."""
        return day is not None and self.earliest <= day <= self.latest


def place(window: DatedWindow, calendar: ClinicCalendar, *, not_before: date, search_days: int) -> Place:
    """Find the open day nearest to the target, inside the window if there is one.

    A tie goes to the earlier day. With none inside, the nearest open day outside is
    proposed, never before `not_before`, at most `search_days` after the window's end;
    with none there either, no place exists and a person must act.
    Source: placement rules S4 to S6, R13, R14 (local; see docs/rules.md).
    """
    inside = calendar.nearest_open(window.target, max(window.earliest, not_before), window.latest)
    if inside is not None:
        return Place(inside, _why_inside(inside, window, calendar))
    last = window.latest + timedelta(days=search_days)
    outside = calendar.nearest_open(window.target, not_before, last)
    if outside is not None:
        return Place(outside, Reason("S6", "out_of_window", {"placed": outside, **_limits(window)}))
    return Place(None, Reason("R14", "no_place", {"days": search_days, **_limits(window)}))


def _limits(window: DatedWindow) -> dict[str, object]:
    return {"target": window.target, "earliest": window.earliest, "latest": window.latest}


def _why_inside(placed: date, window: DatedWindow, calendar: ClinicCalendar) -> Reason:
    target = window.target
    if placed == target:
        return Reason("S5", "on_target", {"target": target})
    values = {"target": target, "days": abs((placed - target).days), "because": calendar.why_closed(target)}
    if placed > target:
        return Reason("S5", "nearest_after", values)
    mirror = target + (target - placed)
    if window.holds(mirror) and calendar.is_open(mirror):
        return Reason("S5", "tie_earlier", {**values, "other": mirror})
    return Reason("S5", "nearest_before", values)
