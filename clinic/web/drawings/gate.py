"""The gate before the next step: two posts with one bar for each condition.

A met condition is a thin bar lifted open, one not met or not known is a thick bar, shut.
"""

from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clinic.web.drawings.svg import box, circle, group, line, picture

WIDTH, HEIGHT = 46, 74
POST = 6


@dataclass(frozen=True, slots=True)
class Bar:
    """One condition: what it needs, whether it is met (None is not known), and the value with its source."""

    needs: str
    met: bool | None
    seen: str = ""

    @property
    def is_open(self) -> bool:
        """Only a recorded, sufficient finding lifts a bar: silence opens nothing."""
        return self.met is True


def shut_bars(bars: tuple[Bar, ...]) -> int:
    """How many bars are still shut."""
    return sum(not bar.is_open for bar in bars)


def gate_words(bars: tuple[Bar, ...]) -> str:
    """The title above the list of bars."""
    shut = shut_bars(bars)
    if not shut:
        return _("The gate is open. A named person begins the next step.")
    return ngettext(
        "The next step is behind this gate: %(n)d bar still shut",
        "The next step is behind this gate: %(n)d bars still shut",
        shut,
    ) % {"n": shut}


def gate_posts(bars: tuple[Bar, ...], height: float = HEIGHT) -> SafeString:
    """Posts and bars as pieces of a larger drawing; the origin is the upper left."""
    step = (height - 8) / max(len(bars), 1)
    drawn = [_bar(4 + step * (index + 0.5), is_open=bar.is_open, step=step) for index, bar in enumerate(bars)]
    return group(box(0, 0, POST, height, "gate-post"), box(WIDTH - POST, 0, POST, height, "gate-post"), *drawn)


def draw_gate(bars: tuple[Bar, ...]) -> SafeString:
    """The gate as a picture of its own, for lists."""
    return picture(WIDTH, HEIGHT, gate_posts(bars), class_="gate", label=gate_words(bars))


def bar_shape(bar: Bar) -> SafeString:
    """One bar, lifted or shut, to stand before its line in the list."""
    if bar.is_open:
        pieces = [line(3, 13, 29, 3, "gate-lifted"), circle(3.5, 13, 3.2, "gate-hinge")]
    else:
        pieces = [box(0, 4, 30, 9, "gate-shut")]
    return picture(30, 17, *pieces, class_="gate-bar")


def _bar(y: float, *, is_open: bool, step: float) -> SafeString:
    if is_open:
        return line(POST - 1, y + 3, WIDTH - POST - 3, y - 8, "gate-lifted")
    thick = min(8.0, step * 0.6)
    return box(POST, y - thick / 2, WIDTH - 2 * POST, thick, "gate-shut")
