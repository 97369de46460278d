"""State marks: a word and a shape, the colour third. The shapes are for the eye, the word is the text."""

from enum import StrEnum

from django.utils.functional import Promise
from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy as _

from clinic.web.drawings.svg import box, circle, line, path, picture, tag


class Mark(StrEnum):
    """Every state that a row, a film, a message or a gate bar can be in."""

    OVERDUE = "overdue"
    NO_PLACE = "no place"
    OVER_LIMIT = "over limit"
    OUTSIDE = "outside"
    DID_NOT_COME = "did not come"
    DID_NOT_ARRIVE = "did not arrive"
    DUE_TODAY = "due today"
    CHANGED = "changed"
    HELD = "held"
    WAITING = "waiting"
    EXPECTED = "expected"
    ON_ITS_WAY = "on its way"
    MOVED = "moved"
    CALLED_OFF = "called off"
    REPLACED = "replaced"
    IN_LIMITS = "in limits"
    INSIDE = "inside"
    HERE = "here"
    DONE = "done"
    ARRIVED = "arrived"
    ACCEPTED = "accepted"
    SHUT = "shut"
    OPEN = "open"


WORDS: dict[Mark, Promise] = {
    Mark.OVERDUE: _("Overdue"),
    Mark.NO_PLACE: _("No place"),
    Mark.OVER_LIMIT: _("Over the limit"),
    Mark.OUTSIDE: _("Outside window"),
    Mark.DID_NOT_COME: _("Did not come"),
    Mark.DID_NOT_ARRIVE: _("Did not arrive"),
    Mark.DUE_TODAY: _("Due today"),
    Mark.CHANGED: _("Changed"),
    Mark.HELD: _("Held"),
    Mark.WAITING: _("Waiting"),
    Mark.EXPECTED: _("Expected"),
    Mark.ON_ITS_WAY: _("On its way"),
    Mark.MOVED: _("Moved"),
    Mark.CALLED_OFF: _("Called off"),
    Mark.REPLACED: _("Replaced"),
    Mark.IN_LIMITS: _("In limits"),
    Mark.INSIDE: _("Inside window"),
    Mark.HERE: _("Here"),
    Mark.DONE: _("Done"),
    Mark.ARRIVED: _("Arrived"),
    Mark.ACCEPTED: _("Accepted"),
    Mark.SHUT: _("Shut"),
    Mark.OPEN: _("Open"),
}

_TAG = path("M1 3H11L17 8.5L11 14H1Z", "fill")
_TRIANGLE = (path("M8.5 1L16.5 15.5H0.5Z", "fill"), line(8.5, 6.2, 8.5, 10.6, "knock"), circle(8.5, 13, 1.1, "hole"))
_SLASHED_RING = (circle(8.5, 8.5, 7, "stroke"), line(3.8, 13.2, 13.2, 3.8, "stroke"))
_HALF_RING = (circle(8.5, 8.5, 7, "stroke"), path("M8.5 1.5A7 7 0 0 1 8.5 15.5Z", "fill"))
_HELD = (box(1.5, 1.5, 14, 14, "stroke"), line(6.4, 5, 6.4, 12, "stroke"), line(10.6, 5, 10.6, 12, "stroke"))
_DASHED_RING = (circle(8.5, 8.5, 7, "stroke dashed"),)
_ARROW = (path("M1 8.5H15M9.6 3.4L15 8.5L9.6 13.6", "stroke"),)
_LINED_SQUARE = (box(1.5, 1.5, 14, 14, "stroke"), line(1.5, 8.5, 15.5, 8.5, "stroke"))
_TICKED_DISC = (circle(8.5, 8.5, 8, "fill"), path("M4.6 8.8L7.4 11.6L12.4 5.8", "knock"))
_TICK = (path("M1.5 9L6 13.5L15.5 3.5", "stroke heavy"),)
_BAR = (box(0, 6, 17, 5.5, "fill"),)

_BRICK, _OCHRE, _SLATE, _MOSS, _INK = "brick", "ochre", "slate", "moss", "ink"
SHAPES: dict[Mark, tuple[str, tuple[SafeString, ...]]] = {
    Mark.OVERDUE: (_BRICK, (_TAG,)),
    Mark.NO_PLACE: (_BRICK, (_TAG,)),
    Mark.OVER_LIMIT: (_BRICK, _TRIANGLE),
    Mark.OUTSIDE: (_BRICK, _TRIANGLE),
    Mark.DID_NOT_COME: (_BRICK, _SLASHED_RING),
    Mark.DID_NOT_ARRIVE: (_BRICK, _SLASHED_RING),
    Mark.DUE_TODAY: (_OCHRE, _HALF_RING),
    Mark.CHANGED: (_OCHRE, _HALF_RING),
    Mark.HELD: (_OCHRE, _HELD),
    Mark.WAITING: (_SLATE, _DASHED_RING),
    Mark.EXPECTED: (_SLATE, _DASHED_RING),
    Mark.ON_ITS_WAY: (_SLATE, _DASHED_RING),
    Mark.MOVED: (_SLATE, _ARROW),
    Mark.CALLED_OFF: (_SLATE, _LINED_SQUARE),
    Mark.REPLACED: (_SLATE, _LINED_SQUARE),
    Mark.IN_LIMITS: (_MOSS, _TICKED_DISC),
    Mark.INSIDE: (_MOSS, _TICKED_DISC),
    Mark.HERE: (_MOSS, _TICKED_DISC),
    Mark.DONE: (_MOSS, _TICKED_DISC),
    Mark.ARRIVED: (_MOSS, _TICK),
    Mark.ACCEPTED: (_MOSS, _TICK),
    Mark.SHUT: (_INK, _BAR),
    Mark.OPEN: (_MOSS, _TICKED_DISC),
}


def mark_shape(mark: Mark) -> SafeString:
    """The shape alone, 17 by 17, hidden from screen readers."""
    return picture(17, 17, *SHAPES[mark][1], class_="mark-shape")


def state_mark(mark: Mark, words: object = None) -> SafeString:
    """Shape and bold word, never parted; `words` replaces the usual word ("Here, 08:51")."""
    said = WORDS[mark] if words is None else words
    return tag("span", mark_shape(mark), tag("b", said), class_=f"mark mark-{SHAPES[mark][0]}")
