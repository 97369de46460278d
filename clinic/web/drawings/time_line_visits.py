"""The visits under the ruler of the time line: window boxes, discs, and names that never touch."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from django.utils.safestring import SafeString, mark_safe

from clinic.web.drawings.svg import box, circle, group, line, path, text, width_of

ROW_HEIGHT, LABEL_GAP = 62, 12
BOX_HEIGHT = 16


class DotState(StrEnum):
    """How a visit is drawn: booked, today, came, did not come, no place yet, only if not healed, called off."""

    BOOKED = "booked"
    TODAY = "today"
    CAME = "came"
    MISSED = "missed"
    NO_PLACE = "no-place"
    IF_NOT_HEALED = "if-not-healed"
    CALLED_OFF = "called-off"


@dataclass(frozen=True, slots=True)
class Dot:
    """One visit: its window, its place (None before it has one), its name and a line below."""

    title: str
    note: str
    target_on: date
    earliest_on: date
    latest_on: date
    on: date | None
    state: DotState


@dataclass(frozen=True, slots=True)
class _Label:
    """A name below the line: the dot it belongs to, its row, its left edge and width."""

    dot: Dot
    x: float
    left: float
    row: int


def draw_visits(dots: tuple[Dot, ...], x: Callable[[date], float], y: float, right: float) -> tuple[SafeString, float]:
    """All visits with the line `y` through their discs; also the bottom of the drawing."""
    labels = _placed(dots, x, right)
    rows = max((label.row for label in labels), default=0) + 1
    leaders = [_leader(label, y) for label in labels if label.row]
    windows = [_window(dot, x, y) for dot in dots]
    discs = [_disc(dot, x(dot.on or dot.target_on), y) for dot in dots]
    names = [_name(label, y) for label in labels]
    return group(*leaders, *windows, *discs, *names), y + 22 + rows * ROW_HEIGHT


def _placed(dots: tuple[Dot, ...], x: Callable[[date], float], right: float) -> list[_Label]:
    """Names from right to left, each in the first row where it touches no other.

    That way the leader of a lower name passes to the left of all names above it.
    """
    free_up_to: list[float] = []
    labels: list[_Label] = []
    for dot in sorted(dots, key=lambda dot: dot.on or dot.target_on, reverse=True):
        at = x(dot.on or dot.target_on)
        width = max(width_of(dot.title, 16, bold=True), width_of(dot.note, 15))
        left = min(max(at - 10, 4), right - width)
        row = _free_row(left + width, free_up_to, labels)
        free_up_to[row:] = [left - LABEL_GAP, *free_up_to[row + 1 :]]
        labels.append(_Label(dot, at, left, row))
    return labels


def _free_row(end: float, free_up_to: list[float], labels: list[_Label]) -> int:
    """The first row where a name that reaches to `end` touches no other name and lies across no leader."""
    for row, free in enumerate(free_up_to):
        if end <= free and all(label.row <= row or end < label.x for label in labels):
            return row
    return len(free_up_to)


def _leader(label: _Label, y: float) -> SafeString:
    return line(label.x, y + 9, label.x, y + 10 + label.row * ROW_HEIGHT, "leader")


def _name(label: _Label, y: float) -> SafeString:
    top = y + 30 + label.row * ROW_HEIGHT
    title = text(label.left, top, label.dot.title, "dot-title")
    return title + text(label.left, top + 19, label.dot.note, "dot-note")


def _window(dot: Dot, x: Callable[[date], float], y: float) -> SafeString:
    left, right = x(dot.earliest_on), x(dot.latest_on)
    return box(left, y - BOX_HEIGHT / 2, max(right - left, 6), BOX_HEIGHT, f"dot-window dot-window-{dot.state}")


_INSIDE: dict[DotState, SafeString] = {
    DotState.BOOKED: circle(0, 0, 9, "dot"),
    DotState.TODAY: circle(0, 0, 10, "dot") + circle(0, 0, 5, "dot-ring"),
    DotState.CAME: circle(0, 0, 9, "dot-came") + path("M-4.2 0.3L-1.2 3.3L4.4 -3.2", "dot-tick"),
    DotState.MISSED: circle(0, 0, 8, "dot-missed") + line(-5.2, 5.2, 5.2, -5.2, "dot-missed"),
    DotState.NO_PLACE: circle(0, 0, 8.5, "dot-open"),
    DotState.IF_NOT_HEALED: path("M0 -10L10 0L0 10L-10 0Z", "dot-open"),
    DotState.CALLED_OFF: circle(0, 0, 7, "dot-off") + line(-7, 0, 7, 0, "dot-off"),
}


def _disc(dot: Dot, x: float, y: float) -> SafeString:
    return group(_INSIDE.get(dot.state, mark_safe("")), x=x, y=y)
