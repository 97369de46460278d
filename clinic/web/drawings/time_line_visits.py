"""The visits under the ruler of the time line: window boxes, discs, and names that never touch."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from django.utils.safestring import SafeString, mark_safe

from clinic.web.drawings.svg import box, circle, group, line, path, text, width_of

ROW_HEIGHT, LABEL_GAP, LEADER_GAP = 48, 12, 1
AT_DOT = 4  # how far a name begins before the middle of its dot
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
    """A name below the line: the dot it belongs to, where that lies, the name's left edge, width and row.

    A turned name ends at its dot instead of beginning there.
    """

    dot: Dot
    x: float
    left: float
    width: float
    row: int
    is_turned: bool = False

    def agrees_with(self, other: "_Label") -> bool:
        """True when neither name touches the other, nor the other's leader."""
        if self.row == other.row:
            return self.left + self.width + LABEL_GAP <= other.left or other.left + other.width + LABEL_GAP <= self.left
        lower, upper = (self, other) if self.row > other.row else (other, self)
        return not upper.left - LEADER_GAP < lower.x < upper.left + upper.width + LEADER_GAP


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
    """Names that touch neither each other nor another's leader, each in the uppermost row that allows it.

    A name begins at its dot, so the names are placed from right to left: each leader passes to the
    left of all names above it. Near the right end a name ends at its dot instead, and such names
    are placed first, from left to right.
    """
    labels = sorted((_from_dot(dot, x(dot.on or dot.target_on)) for dot in dots), key=lambda label: label.x)
    turned: list[_Label] = []
    begun: list[_Label] = []
    for label in reversed(labels):
        end = label.left + label.width
        is_in_the_way = any(label.left < other.x < end + LEADER_GAP for other in turned)
        (turned if end > right or is_in_the_way else begun).append(label)
    placed: list[_Label] = []
    for label in reversed(turned):
        placed.append(_in_row(replace(label, left=max(label.x + AT_DOT - label.width, 0), is_turned=True), placed))
    for label in begun:
        placed.append(_in_row(label, placed))
    return placed


def _from_dot(dot: Dot, at: float) -> _Label:
    width = max(width_of(dot.title, 16, bold=True), width_of(dot.note, 15))
    return _Label(dot, at, max(at - AT_DOT, 0), width, 0)


def _in_row(label: _Label, placed: list[_Label]) -> _Label:
    """The label in the first row where it agrees with all others; below all of them when there is none."""
    deepest = max((other.row for other in placed), default=-1) + 1
    tried = (replace(label, row=row) for row in range(deepest))
    fitting = (each for each in tried if all(each.agrees_with(other) for other in placed))
    return next(fitting, replace(label, row=deepest))


def _leader(label: _Label, y: float) -> SafeString:
    return line(label.x, y + 9, label.x, y + 10 + label.row * ROW_HEIGHT, "leader")


def _name(label: _Label, y: float) -> SafeString:
    top = y + 30 + label.row * ROW_HEIGHT
    x, anchor = (label.left + label.width, "end") if label.is_turned else (label.left, None)
    title = text(x, top, label.dot.title, "dot-title", anchor)
    return title + text(x, top + 19, label.dot.note, "dot-note", anchor)


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
