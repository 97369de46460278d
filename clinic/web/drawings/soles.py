"""Soles seen from above, as you see your own feet: left on the left, toes away from you.

Seen from above a foot cannot be mistaken for its mirror image, and the pair never swaps,
not even where the writing runs from right to left.
"""

from dataclasses import dataclass

from django.utils.safestring import SafeString

from clinic.web.drawings.svg import clipped, group, path, picture
from rehab.engine.facts import Side

WIDTH, HEIGHT = 30, 64  # of one sole
PAIR_WIDTH = 68
LEFT_SOLE = (
    "M17.5 1.5C24 1.5 28 7.5 27.7 17C27.4 26.5 22.8 32 22.2 40C21.8 46 23.4 49.5 22.9 55"
    "C22.4 60.3 19.2 62.8 15.2 62.5C10.8 62.1 8.2 58.6 8.6 53C9 47 7.6 42 5.6 36"
    "C3 28 1.6 21.5 3.4 13.5C5.2 5.8 11 1.5 17.5 1.5Z"
)
MIRRORED = f"translate({WIDTH} 0) scale(-1 1)"


@dataclass(frozen=True, slots=True)
class Load:
    """What the injured sole may carry: the filled share in per cent, and how sure it is."""

    percent: int | None  # None: no limit
    is_planned: bool = False

    @property
    def share(self) -> float:
        """Filled part of the sole from the heel, 0 to 1."""
        return 1.0 if self.percent is None else min(self.percent, 100) / 100

    @property
    def hangs(self) -> bool:
        """True when the foot stays off the floor."""
        return self.percent == 0


def sole(side: Side, class_: str) -> SafeString:
    """One sole."""
    return path(LEFT_SOLE, class_, transform=MIRRORED if side is Side.RIGHT else None)


def loaded_sole(side: Side, load: Load) -> SafeString:
    """The injured sole: filled from the heel as far as the share it may carry; dashed while planned."""
    outline = "sole-planned" if load.is_planned else "sole-injured"
    if load.hangs:
        return sole(side, f"{outline} sole-off")
    top = HEIGHT * (1 - load.share)
    filled = sole(side, "sole-fill-planned" if load.is_planned else "sole-fill")
    return group(clipped(-2, top, WIDTH + 4, HEIGHT - top + 2, filled), sole(side, outline))


def standing_soles(side: Side, load: Load) -> SafeString:
    """The pair on a tread, 68 by 64: the injured sole with its load, the other one plain."""
    injured, good = loaded_sole(side, load), sole(_other(side), "sole-good")
    left, right = (injured, good) if side is Side.LEFT else (good, injured)
    lift = -9 if load.hangs else 0
    return group(
        group(left, y=lift if side is Side.LEFT else 0),
        group(right, x=PAIR_WIDTH - WIDTH, y=lift if side is Side.RIGHT else 0),
    )


def side_soles(side: Side) -> SafeString:
    """The small pair that stands before "LEFT leg" or "RIGHT leg": the injured sole is filled."""
    shapes = {other: sole(other, "sole-mark-filled" if other is side else "sole-mark") for other in Side}
    pair = group(shapes[Side.LEFT]), group(shapes[Side.RIGHT], x=PAIR_WIDTH - WIDTH)
    return picture(PAIR_WIDTH, HEIGHT, *pair, class_="soles")


def stage_soles(side: Side, load: Load) -> SafeString:
    """The pair with its load as a picture of its own, for lists."""
    return picture(PAIR_WIDTH, HEIGHT + 10, group(standing_soles(side, load), y=9), class_="stage-soles")


def one_sole(side: Side, load: Load) -> SafeString:
    """The injured sole alone, for the narrow ladder; the side is said in words beside it."""
    return picture(WIDTH + 2, HEIGHT + 2, group(loaded_sole(side, load), x=1, y=1), class_="one-sole")


def _other(side: Side) -> Side:
    return Side.LEFT if side is Side.RIGHT else Side.RIGHT
