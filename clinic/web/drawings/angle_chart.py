"""Angles of the bone from film to film against the limit: both directions share one axis, straight in the middle."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clinic.web.drawings.dates import day_and_month, in_words
from clinic.web.drawings.svg import box, circle, join, line, path, picture, text, width_of
from rehab.words import number

WIDTH, HEIGHT = 560, 230
LEFT, RIGHT, TOP, BOTTOM = 118, 552, 12, 196
BEYOND = 2  # degrees drawn past the outermost value


@dataclass(frozen=True, slots=True)
class Reading:
    """One film's angle, signed: below zero towards the first direction. An older treatment's film is an outline."""

    on: date
    degrees: Decimal
    words: str
    is_of_older_treatment: bool = False


@dataclass(frozen=True, slots=True)
class AngleChart:
    """The films of one plane, oldest first, and the limit in both directions."""

    title: str
    negative: str  # "varus"
    positive: str  # "valgus"
    limit: Decimal
    readings: tuple[Reading, ...]

    def is_over(self, reading: Reading) -> bool:
        """True past the limit; equal to it is acceptable."""
        return abs(reading.degrees) > self.limit


class Scale:
    """Days and degrees to pixels."""

    def __init__(self, chart: AngleChart):
        self.most = float(max([chart.limit, *(abs(reading.degrees) for reading in chart.readings)])) + BEYOND
        self.first = chart.readings[0].on
        self.days = max((chart.readings[-1].on - self.first).days, 1)

    def x(self, on: date) -> float:
        """Where a day lies."""
        return LEFT + 22 + (RIGHT - LEFT - 170) * (on - self.first).days / self.days

    def y(self, degrees: Decimal | float) -> float:
        """Where an angle lies: the first direction above, as both are drawn from straight in the middle."""
        return (TOP + BOTTOM) / 2 + float(degrees) / self.most * (BOTTOM - TOP) / 2


def angle_words(chart: AngleChart) -> str:
    """The chart in words: each film with its value, and which are over the limit."""
    said = [_said(chart, reading) for reading in chart.readings]
    limit = _("Limit %(limit)s° either way.") % {"limit": number(chart.limit)}
    return f"{chart.title}. {limit} {' '.join(said)}"


def _said(chart: AngleChart, reading: Reading) -> str:
    words = _("%(on)s: %(words)s, over the limit.") if chart.is_over(reading) else _("%(on)s: %(words)s, in limits.")
    return words % {"on": in_words(reading.on), "words": reading.words}


def draw_angle_chart(chart: AngleChart) -> SafeString:
    """The chart as a picture; needs at least one reading."""
    scale = Scale(chart)
    pieces = [*_ground(chart, scale), _course(chart, scale), *_points(chart, scale)]
    return picture(WIDTH, HEIGHT, *pieces, class_="angle-chart", label=angle_words(chart))


def _ground(chart: AngleChart, scale: Scale) -> list[SafeString]:
    """The tint beyond the limit on both sides, the limits, and straight in the middle."""
    upper, lower, middle = scale.y(-chart.limit), scale.y(chart.limit), scale.y(0)
    limit = f"{number(chart.limit)}°"
    return [
        box(LEFT, TOP, RIGHT - LEFT, upper - TOP, "chart-over"),
        box(LEFT, lower, RIGHT - LEFT, BOTTOM - lower, "chart-over"),
        line(LEFT, upper, RIGHT, upper, "chart-limit"),
        line(LEFT, lower, RIGHT, lower, "chart-limit"),
        line(LEFT, middle, RIGHT, middle, "chart-straight"),
        text(LEFT - 8, upper + 5, limit, "chart-axis", "end"),
        text(LEFT - 8, upper + 23, chart.negative, "chart-axis", "end"),
        text(LEFT - 8, lower - 13, chart.positive, "chart-axis", "end"),
        text(LEFT - 8, lower + 5, limit, "chart-axis", "end"),
        text(LEFT - 8, middle + 5, _("straight"), "chart-axis", "end"),
        line(LEFT, BOTTOM, RIGHT, BOTTOM, "chart-floor"),
    ]


def _course(chart: AngleChart, scale: Scale) -> SafeString:
    """Films of one treatment joined in order; a new treatment starts a new line."""
    now = [reading for reading in chart.readings if not reading.is_of_older_treatment]
    points = [f"{scale.x(reading.on):.1f} {scale.y(reading.degrees):.1f}" for reading in now]
    return path("M" + "L".join(points), "chart-course") if len(points) > 1 else join([])


def _points(chart: AngleChart, scale: Scale) -> list[SafeString]:
    pieces: list[SafeString] = []
    free_from = 0.0
    for place, reading in enumerate(chart.readings):
        x, y = scale.x(reading.on), scale.y(reading.degrees)
        old = " chart-old" if reading.is_of_older_treatment else ""
        if chart.is_over(reading):
            pieces.append(path(f"M{x:.1f} {y - 10:.1f}l9.5 17h-19z", f"chart-triangle{old}"))
        else:
            pieces.append(circle(x, y, 7, f"chart-disc{old}"))
        pieces.append(_value(reading, x, y, place, is_last=reading is chart.readings[-1]))
        on = day_and_month(reading.on)
        if x >= free_from:
            pieces += [line(x, BOTTOM, x, BOTTOM + 6, "chart-tick"), text(x, BOTTOM + 23, on, "chart-axis", "middle")]
            free_from = x + width_of(on, 15) + 6
    return pieces


def _value(reading: Reading, x: float, y: float, place: int, *, is_last: bool) -> SafeString:
    """The value beside the last film, and by turns below and above the ones before it."""
    if is_last:
        return text(x + 14, y + 5, reading.words, "chart-value")
    return text(x, y - 15 if place % 2 else y + 25, reading.words, "chart-value", "middle" if place else "start")
