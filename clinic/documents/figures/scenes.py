"""What each drawing shows: the pose, the floor or the step, the arrows and their words.

Drawn for a right injury, walking to the right; the canvas mirrors them for a left one.
How crutches and stairs are done: crutch leaflets of UK hospital physiotherapy services.
In no drawing for a leg that bears nothing does the hurt foot touch the floor.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString

from clinic.documents.figures.canvas import DAMSON, EDGE, INK, WHITE, Canvas, Point
from clinic.documents.figures.person import Pose, draw_person

STEP = 22.0  # centimetres: a little higher than a real stair, so that it reads at a glance
EDGE_UP, EDGE_DOWN = 100.0, 84.0

Marks = Callable[[Canvas, "Words"], None]


@dataclass(frozen=True)
class Words:
    """The few words inside a drawing."""

    hurt: str
    good: str
    load: str = ""


@dataclass(frozen=True)
class Scene:
    """One drawing: `floor` is flat, up or down; `marks` adds arrows and words."""

    pose: Pose
    marks: Marks
    floor: str = "flat"


def no_marks(canvas: Canvas, words: Words) -> None:
    """Nothing but the figure."""


def arrow(start: Point, end: Point, colour: str = INK) -> Marks:
    """An arrow."""
    return lambda canvas, words: canvas.arrow(start, end, colour)


def good_arrow(start: Point, end: Point, word: Point, anchor: str = "middle") -> Marks:
    """An arrow for the good leg, with its name."""

    def draw(canvas: Canvas, words: Words) -> None:
        canvas.arrow(start, end)
        canvas.word(word, words.good, anchor=anchor)

    return draw


def hurt_arrow(start: Point, end: Point, word: Point, anchor: str = "middle") -> Marks:
    """An arrow for the hurt leg, with its name."""

    def draw(canvas: Canvas, words: Words) -> None:
        canvas.arrow(start, end, DAMSON)
        canvas.word(word, words.hurt, DAMSON, anchor=anchor)

    return draw


def load_tag(canvas: Canvas, words: Words) -> None:
    """The load on a tag, with an arrow to the hurt foot."""
    em = canvas.label / canvas.scale
    wide, high = em * (len(words.load) * 0.58 + 0.9), em * 1.55
    left, base = canvas.width - wide - 2, 84.0
    canvas.arrow((left + wide / 2, base), (124, 10), DAMSON)
    canvas.area([(left, base), (left + wide, base), (left + wide, base + high), (left, base + high)], DAMSON)
    canvas.word((left + wide / 2, base + high * 0.3), words.load, WHITE)


def touch_word(canvas: Canvas, words: Words) -> None:
    """The load on a tag when a weight is known, else a bare arrow to the hurt foot."""
    if words.load:
        load_tag(canvas, words)
    else:
        canvas.arrow((150, 60), (124, 10), DAMSON)


def draw_floor(canvas: Canvas, floor: str) -> None:
    """The floor, or one step up or down with a rail behind."""
    end = canvas.width - 2
    if floor == "up":
        canvas.line([(4, 96), (end, 170)], EDGE, 4)
        canvas.line([(2, 0), (EDGE_UP, 0), (EDGE_UP, STEP), (end, STEP)], INK, 2.4, cap="butt")
    elif floor == "down":
        canvas.line([(4, 156), (end, 82)], EDGE, 4)
        canvas.line([(2, STEP), (EDGE_DOWN, STEP), (EDGE_DOWN, 0), (end, 0)], INK, 2.4, cap="butt")
    else:
        canvas.line([(2, 0), (end, 0)], INK, 2.4, cap="butt")


def draw_scene(scene: Scene, words: Words, title: str, *, width: float, label: float, is_mirrored: bool) -> SafeString:
    """One drawing, `width` points wide, its words `label` points high."""
    tall = 203 if scene.floor != "flat" else 187
    canvas = Canvas(170, tall, 5, width / 170, label, is_mirrored)
    draw_floor(canvas, scene.floor)
    draw_person(canvas, scene.pose)
    scene.marks(canvas, words)
    return canvas.picture(title)


CRUTCHES_AND_HURT_LEG = Scene(
    Pose((66, 88), (73, 136), (96, 10), (60, 5), (100, 82), (108, 83), (118, 0), (128, 0), hurt_pitch=5),
    arrow((112, 38), (150, 38)),
)
PRESS_HURT_LEG = Scene(
    Pose((92, 90), (101, 138), (96, 5), (60, 13), (110, 84), (117, 85), (116, 0), (124, 0), good_pitch=-9), load_tag
)
TOUCH_HURT_LEG = Scene(replace(PRESS_HURT_LEG.pose, hurt_pitch=0), touch_word)
STEP_GOOD_LEG = Scene(
    Pose((92, 88), (98, 136), (76, 7), (116, 9), (104, 82), (110, 83), (100, 0), (108, 0), good_pitch=4, hurt_pitch=-1),
    good_arrow((134, 34), (164, 34), (147, 44)),
)
STAND_ON_GOOD_LEG = Scene(
    Pose((70, 91), (74, 139), (103, 20), (68, 5), (92, 82), (98, 83), (96, 0), (102, 0), hurt_pitch=3),
    hurt_arrow((140, 8), (140, 36), (140, 42)),
)
CRUTCHES_FORWARD = Scene(
    Pose((58, 90), (68, 138), (90, 19), (54, 5), (96, 82), (104, 83), (120, 0), (128, 0), hurt_pitch=3),
    arrow((126, 44), (160, 44)),
)
HOP_GOOD_LEG = Scene(
    Pose(
        (90, 97), (102, 144), (125, 28), (86, 17), (110, 84), (117, 85), (112, 0), (120, 0), hurt_pitch=3, good_pitch=-4
    ),
    good_arrow((44, 46), (68, 22), (36, 52)),
)
STICK_AND_HURT_LEG = Scene(
    Pose((70, 88), (74, 137), (98, 9), (60, 5), (62, 84), (104, 84), None, (116, 0), hurt_pitch=5),
    hurt_arrow((122, 34), (154, 34), (140, 44)),
)
GOOD_LEG_PAST_STICK = Scene(
    Pose((92, 88), (96, 137), (70, 8), (116, 9), (98, 82), (106, 84), None, (104, 0), good_pitch=4, hurt_pitch=-2),
    good_arrow((134, 34), (164, 34), (147, 44)),
)
STRIDE_HURT = Scene(
    Pose((84, 88), (87, 137), (106, 9), (62, 9), (70, 86), (108, 90), hurt_pitch=5, good_pitch=-3),
    hurt_arrow((128, 34), (158, 34), (144, 44)),
)
STRIDE_GOOD = Scene(
    Pose((84, 88), (87, 137), (62, 9), (106, 9), (106, 90), (68, 86), good_pitch=5, hurt_pitch=-3),
    good_arrow((128, 34), (158, 34), (144, 44)),
)

UP_GOOD_FIRST = Scene(
    Pose((78, 90), (84, 137), (74, 5), (112, STEP + 5), (92, 82), (112, 143), (98, 0)),
    good_arrow((146, 62), (146, STEP + 6), (134, 4)),
    "up",
)
UP_THEN_HURT = Scene(
    Pose(
        (110, STEP + 89), (117, STEP + 136), (90, STEP + 14), (114, STEP + 5), (132, STEP + 82), (142, 157), (142, STEP)
    ),
    hurt_arrow((50, 44), (76, 32), (34, 48)),
    "up",
)
DOWN_HURT_FIRST = Scene(
    Pose((72, 90), (80, 137), (94, 6), (58, STEP + 6), (104, 78), (108, 111), (118, 0), hurt_pitch=-1, good_pitch=-3),
    hurt_arrow((146, 40), (146, 8), (146, 46)),
    "down",
)
DOWN_THEN_GOOD = Scene(
    Pose((102, 90), (107, 138), (102, 5), (78, STEP + 16), (122, 82), (132, 100), (126, 0), good_pitch=-6),
    good_arrow((44, 66), (64, 40), (40, 72)),
    "down",
)
UP_GOOD_HOP = Scene(
    Pose((86, 99), (94, 146), (62, 26), (108, STEP + 13), (92, 84), (120, 147), (92, 0), hurt_pitch=-5),
    good_arrow((150, 62), (150, STEP + 6), (134, 4)),
    "up",
)
UP_THEN_CRUTCH = Scene(
    Pose(
        (110, STEP + 91),
        (115, STEP + 138),
        (84, STEP + 32),
        (112, STEP + 5),
        (132, STEP + 84),
        (144, 158),
        (138, STEP + 4),
    ),
    arrow((150, 4 + STEP + 40), (150, STEP + 4)),
    "up",
)
DOWN_CRUTCH_FIRST = Scene(
    Pose(
        (54, STEP + 86), (64, STEP + 132), (94, STEP + 16), (52, STEP + 5), (98, 92), (96, 115), (110, 0), hurt_pitch=4
    ),
    arrow((134, 44), (134, 8)),
    "down",
)
DOWN_LOWER_ON_GOOD = Scene(
    Pose((98, 90), (106, 137), (132, 20), (98, 5), (120, 80), (130, 101), (118, 0), hurt_pitch=4),
    good_arrow((56, 54), (76, 24), (50, 60)),
    "down",
)
UP_FREE = Scene(Pose((84, 92), (92, 139), (112, STEP + 5), (76, 5), (92, 94), (120, 147)), no_marks, "up")
DOWN_FREE = Scene(
    Pose((80, 92), (86, 139), (68, STEP + 6), (100, 8), (72, 96), (114, 108), hurt_pitch=-3), no_marks, "down"
)
