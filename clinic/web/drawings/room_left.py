"""Room left at one station of one session: one small box a place."""

from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clinic.web.drawings.svg import box, line, picture

BOX_WIDTH, BOX_HEIGHT, STEP = 11, 14, 15
ONE_BOX_EACH_UP_TO = 24  # above it, one box stands for two places


@dataclass(frozen=True, slots=True)
class RoomLeft:
    """Places of one station: all of them, the taken ones, and those a proposal would take."""

    station: str
    places: int
    taken: int
    proposed: int = 0

    @property
    def left(self) -> int:
        """Places still open, never below 0."""
        return max(self.places - self.taken - self.proposed, 0)

    @property
    def is_doubled(self) -> bool:
        """True when one box stands for two places."""
        return self.places > ONE_BOX_EACH_UP_TO


def left_words(room: RoomLeft) -> str:
    """The number left, in words."""
    return ngettext("%(n)d left", "%(n)d left", room.left) % {"n": room.left}


def room_words(room: RoomLeft) -> str:
    """The whole bar in words."""
    said = _("%(station)s: %(taken)d of %(places)d places taken") % {
        "station": room.station,
        "taken": room.taken,
        "places": room.places,
    }
    if room.proposed:
        said += _(", %(proposed)d more in this proposal") % {"proposed": room.proposed}
    if room.is_doubled:
        said += _(". One box is two places")
    return f"{said}."


def draw_room_left(room: RoomLeft) -> SafeString:
    """Filled boxes are taken, boxes with a slanting stroke are this proposal, open boxes are left."""
    each = 2 if room.is_doubled else 1
    boxes = -(-room.places // each)
    drawn = [_box(index, _state(room, index * each)) for index in range(boxes)]
    return picture(max(boxes, 1) * STEP, BOX_HEIGHT + 2, *drawn, class_="room-left", label=room_words(room))


def _state(room: RoomLeft, place: int) -> str:
    if place < room.taken:
        return "taken"
    return "proposed" if place < room.taken + room.proposed else "open"


def _box(index: int, state: str) -> SafeString:
    x = index * STEP + 1
    square = box(x, 1, BOX_WIDTH, BOX_HEIGHT, f"room-{state}")
    if state != "proposed":
        return square
    return square + line(x + 1.5, BOX_HEIGHT - 0.5, x + BOX_WIDTH - 1.5, 2.5, "room-stroke")
