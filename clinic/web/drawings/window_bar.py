"""The window of one visit as a bar: earliest to latest, the target, the place, today."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clinic.web.drawings.dates import day_and_month, in_words
from clinic.web.drawings.svg import box, circle, line, path, picture, text

WIDTH, HEIGHT, MIDDLE = 230, 46, 15
MARGIN = 20
BEYOND_DAYS = 3  # shown on each side of the window


@dataclass(frozen=True, slots=True)
class WindowBar:
    """A visit's window and where it stands in it; `was_on` is a place given up."""

    earliest_on: date
    target_on: date
    latest_on: date
    place_on: date | None = None
    was_on: date | None = None
    today: date | None = None
    clinic_days: Sequence[date] = ()

    @property
    def days_from_target(self) -> int | None:
        """Days late (positive) or early (negative), None without a place."""
        return None if self.place_on is None else (self.place_on - self.target_on).days

    def holds(self, on: date) -> bool:
        """True inside the window."""
        return self.earliest_on <= on <= self.latest_on


class Scale:
    """Days to pixels, wide enough for the window and everything marked."""

    def __init__(self, bar: WindowBar):
        marked = [day for day in (bar.place_on, bar.was_on) if day]
        self.first = min([bar.earliest_on, *marked]).toordinal() - BEYOND_DAYS
        self.last = max([bar.latest_on, *marked]).toordinal() + BEYOND_DAYS

    def x(self, on: date) -> float:
        """Where a day lies; days beyond the ends are drawn at the ends."""
        inside = min(max(on.toordinal(), self.first), self.last)
        return MARGIN + (WIDTH - 2 * MARGIN) * (inside - self.first) / (self.last - self.first)


def window_words(bar: WindowBar) -> str:
    """The bar in words, as a screen reader says it."""
    said = _("Window %(earliest)s to %(latest)s, target %(target)s") % {
        "earliest": in_words(bar.earliest_on),
        "latest": in_words(bar.latest_on),
        "target": in_words(bar.target_on),
    }
    return f"{said}, {_place_words(bar)}."


def cost_words(bar: WindowBar) -> str:
    """How far the place lies from the target, in words."""
    days = bar.days_from_target or 0
    if days == 0:
        return _("on the target date")
    if days > 0:
        return ngettext("%(n)d day late", "%(n)d days late", days) % {"n": days}
    return ngettext("%(n)d day early", "%(n)d days early", -days) % {"n": -days}


def _place_words(bar: WindowBar) -> str:
    if bar.place_on is None:
        return _("no place yet")
    where = _("place %(on)s, %(cost)s") % {"on": in_words(bar.place_on), "cost": cost_words(bar)}
    return where if bar.holds(bar.place_on) else _("%(place)s, outside the window") % {"place": where}


def draw_window_bar(bar: WindowBar) -> SafeString:
    """The bar as a picture 46 px high, both ends dated below."""
    scale = Scale(bar)
    return picture(
        WIDTH, HEIGHT, *_ground(bar, scale), *_marks(bar, scale), class_="window-bar", label=window_words(bar)
    )


def _ground(bar: WindowBar, scale: Scale) -> list[SafeString]:
    left, right = scale.x(bar.earliest_on), scale.x(bar.latest_on)
    ticks = [line(scale.x(day), MIDDLE - 4, scale.x(day), MIDDLE + 4, "bar-tick") for day in bar.clinic_days]
    return [
        line(4, MIDDLE, WIDTH - 4, MIDDLE, "bar-days"),
        box(left, MIDDLE - 7, max(right - left, 3), 14, "bar-window"),
        *ticks,
        *_end_dates(bar, left, right),
    ]


def _end_dates(bar: WindowBar, left: float, right: float) -> list[SafeString]:
    """Dates under both ends, pushed apart when the window is short."""
    push = max(0.0, 62 - (right - left)) / 2
    return [
        text(max(left - push, 20), HEIGHT - 4, day_and_month(bar.earliest_on), "bar-date", "middle"),
        text(min(right + push, WIDTH - 20), HEIGHT - 4, day_and_month(bar.latest_on), "bar-date", "middle"),
    ]


def _marks(bar: WindowBar, scale: Scale) -> list[SafeString]:
    target = scale.x(bar.target_on)
    marks = [line(target, MIDDLE - 11, target, MIDDLE + 11, "bar-target")]
    if bar.today:
        marks.append(line(scale.x(bar.today), 0, scale.x(bar.today), 32, "bar-today"))
    if bar.was_on:
        marks.append(_given_up(scale.x(bar.was_on)))
    if bar.place_on:
        marks.append(_place(scale.x(bar.place_on), inside=bar.holds(bar.place_on)))
    return marks


def _place(x: float, *, inside: bool) -> SafeString:
    if inside:
        return circle(x, MIDDLE, 7.5, "bar-place")
    return path(f"M{x:.1f} {MIDDLE - 9}l8.5 16h-17z", "bar-outside")


def _given_up(x: float) -> SafeString:
    return path(f"M{x - 6:.1f} {MIDDLE}a6 6 0 1 0 12 0a6 6 0 1 0 -12 0M{x - 4:.1f} {MIDDLE + 4}l8 -8", "bar-was")
