"""One person seen from the side of the hurt leg: a pose in, shapes out."""

from dataclasses import dataclass
from math import sqrt

from clinic.documents.figures.canvas import BODY, DAMSON, EDGE, FAR, INK, WHITE, Canvas, Point

THIGH, SHANK = 43.0, 43.0
UPPER_ARM, FOREARM = 29.0, 27.0


@dataclass(frozen=True)
class Pose:
    """Where the joints are, in centimetres. The hurt leg is always the near one.

    A hand without a tip holds the rail, or hangs free. `near` is the hurt side.
    """

    hip: Point
    shoulder: Point
    hurt_ankle: Point
    good_ankle: Point
    near_hand: Point
    far_hand: Point
    near_tip: Point | None = None
    far_tip: Point | None = None
    hurt_pitch: float = 0.0  # how far the toes point up (or down, when negative)
    good_pitch: float = 0.0


def middle_joint(start: Point, end: Point, first: float, second: float, *, forward: bool) -> Point:
    """Where a knee (bends forward) or an elbow (bends back) lies between two joints."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    span = min(max(sqrt(dx * dx + dy * dy), 1.0), first + second - 0.01)
    along = (first * first - second * second + span * span) / (2 * span)
    aside = sqrt(max(first * first - along * along, 0.0)) * (1 if forward else -1)
    ux, uy = dx / span, dy / span
    return (start[0] + ux * along - uy * aside, start[1] + uy * along + ux * aside)


def foot(ankle: Point, pitch: float) -> list[Point]:
    """Heel, ball and toe of a foot whose toes are raised by `pitch`."""
    heel = (ankle[0] - 4, ankle[1] - 1.5)
    ball = (ankle[0] + 11, ankle[1] - 1.5 + pitch * 0.6)
    return [heel, ball, (ankle[0] + 16, ankle[1] - 1.5 + pitch)]


def draw_leg(canvas: Canvas, hip: Point, ankle: Point, pitch: float, colour: str, *, is_hurt: bool) -> None:
    """A leg with its foot. The hurt one gets a white gap around it and three white bands."""
    knee = middle_joint(hip, ankle, THIGH, SHANK, forward=True)
    if is_hurt:
        canvas.line([hip, knee, ankle], WHITE, 18)
        canvas.line(foot(ankle, pitch), WHITE, 11)
    canvas.line([hip, knee, ankle], colour, 13.5)
    canvas.line(foot(ankle, pitch), colour, 7.5)
    if is_hurt:
        draw_bands(canvas, knee, ankle)


def draw_bands(canvas: Canvas, knee: Point, ankle: Point) -> None:
    """Three white bands over the broken shin bone."""
    dx, dy = (ankle[0] - knee[0]) / SHANK, (ankle[1] - knee[1]) / SHANK
    for share in (0.3, 0.5, 0.7):
        x, y = knee[0] + dx * SHANK * share, knee[1] + dy * SHANK * share
        canvas.line([(x + dy * 7.2, y - dx * 7.2), (x - dy * 7.2, y + dx * 7.2)], WHITE, 3.6, cap="butt")


def draw_arm(canvas: Canvas, shoulder: Point, hand: Point, colour: str) -> None:
    """An arm with its hand."""
    elbow = middle_joint(shoulder, hand, UPPER_ARM, FOREARM, forward=False)
    canvas.line([shoulder, elbow, hand], WHITE, 12)
    canvas.line([shoulder, elbow, hand], colour, 8)


def draw_crutch(canvas: Canvas, hand: Point, tip: Point, colour: str) -> None:
    """A crutch from its cuff on the forearm, past the handle, to its tip on the floor."""
    length = sqrt((hand[0] - tip[0]) ** 2 + (hand[1] - tip[1]) ** 2)
    ux, uy = (hand[0] - tip[0]) / length, (hand[1] - tip[1]) / length
    cuff = (hand[0] + ux * 20, hand[1] + uy * 20)
    canvas.line([cuff, tip], WHITE, 6.5)
    canvas.line([cuff, tip], colour, 3.4)
    canvas.line([(hand[0] - 5 * uy, hand[1] + 5 * ux), (hand[0] + 8 * uy, hand[1] - 8 * ux)], colour, 4.4)
    canvas.line([(tip[0] - 3, tip[1] + 1), (tip[0] + 3, tip[1] + 1)], colour, 4)


def draw_person(canvas: Canvas, pose: Pose) -> None:
    """Far side first, then the body, then the hurt leg, the near crutch and the near arm."""
    draw_arm(canvas, pose.shoulder, pose.far_hand, FAR)
    if pose.far_tip:
        draw_crutch(canvas, pose.far_hand, pose.far_tip, EDGE)
    draw_leg(canvas, pose.hip, pose.good_ankle, pose.good_pitch, FAR, is_hurt=False)
    head = (pose.shoulder[0] + 5, pose.shoulder[1] + 23)
    canvas.line([pose.hip, pose.shoulder], BODY, 22)
    canvas.line([pose.shoulder, head], BODY, 9)
    canvas.disc(head, 11.5, BODY)
    draw_leg(canvas, pose.hip, pose.hurt_ankle, pose.hurt_pitch, DAMSON, is_hurt=True)
    if pose.near_tip:
        draw_crutch(canvas, pose.near_hand, pose.near_tip, INK)
    draw_arm(canvas, pose.shoulder, pose.near_hand, BODY)
