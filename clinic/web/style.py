"""The style page: every mark, button, field and drawing from values typed in here. Only in DEBUG."""

from datetime import date, timedelta

from django.shortcuts import render

from clinic.web.drawings.gate import Bar, draw_gate
from clinic.web.drawings.ladder import Ladder, Step, StepState
from clinic.web.drawings.marks import Mark
from clinic.web.drawings.room_left import RoomLeft, draw_room_left, left_words
from clinic.web.drawings.soles import Load
from clinic.web.drawings.time_line import Stretch, Tense, TimeLine, draw_time_line
from clinic.web.drawings.time_line_visits import Dot, DotState
from clinic.web.drawings.window_bar import WindowBar, draw_window_bar
from clinic.web.pictures import ladder_parts
from rehab.engine.facts import Side

PAST, NOW, COMING = StepState.PAST, StepState.NOW, StepState.COMING
TODAY = date(2027, 3, 31)
PLATE_BARS = (
    Bar("Plate and screws unchanged", True, "film of 31 March 2027"),
    Bar("Alignment in limits", True, "2° varus, the limit is 5°"),
    Bar("Pain on touch load 3/10 or less", None, "not recorded yet"),
    Bar("A surgeon’s order", False, "not signed yet"),
)


def _step(state, term, plain, words, note, percent, when):
    return Step(state, term, plain, words, note, Load(percent, is_planned=state is COMING), when)


UNRESTRICTED = "Unrestricted weightbearing"
LIMITED = "Limited weightbearing"
PLATE = Ladder(
    Side.RIGHT,
    (
        _step(NOW, LIMITED, "foot touch for balance", "8 kg", "at most", 10, "since 17 February 2027"),
        _step(COMING, LIMITED, "press what you practised", "42 kg", "at most", 50, "not before 31 March 2027"),
        _step(COMING, UNRESTRICTED, "as comfort allows", "no limit", "aids as needed", None, "not before 12 May 2027"),
        _step(COMING, UNRESTRICTED, "no aids needed", "no limit", "no aids", None, "not before 9 June 2027"),
    ),
    PLATE_BARS,
)
CAST = Ladder(
    Side.LEFT,
    (
        _step(PAST, "Non-weightbearing", "foot off the floor", "0 kg", "no load", 0, "until 3 March 2027"),
        _step(PAST, LIMITED, "foot touch for balance", "6 kg", "at most", 10, "until 17 March 2027"),
        _step(NOW, LIMITED, "press what you practised", "32 kg", "at most", 50, "since 17 March 2027"),
        _step(COMING, UNRESTRICTED, "as comfort allows", "no limit", "with aids", None, "not before 31 March 2027"),
        _step(COMING, UNRESTRICTED, "no aids needed", "no limit", "no aids", None, "not before 28 April 2027"),
    ),
    PLATE_BARS,
)
NO_ORDER = Ladder(
    Side.RIGHT,
    (
        _step(NOW, "Non-weightbearing", "no order on file", "0 kg", "no load", 0, "since 2 February 2027"),
        _step(COMING, UNRESTRICTED, "as comfort allows", "no limit", "aids as needed", None, "not before 2 February"),
        _step(COMING, UNRESTRICTED, "no aids needed", "no limit", "no aids", None, "not before 15 March 2027"),
    ),
    (Bar("A surgeon’s order", False, "not signed yet"),),
)


def _dot(title, note, target, state, before=4, after=4, has_place=True):
    window = target - timedelta(days=before), target + timedelta(days=after)
    return Dot(title, note, target, *window, target if has_place else None, state)


YEAR = TimeLine(
    day_0=date(2027, 2, 17),
    today=TODAY,
    stretches=(
        Stretch(date(2027, 2, 17), 0.1, "Limited, 8 kg", "foot touch, for balance", Tense.SOLID),
        Stretch(TODAY, 0.5, "Limited, 42 kg", "not before 31 March", Tense.PLANNED),
        Stretch(date(2027, 5, 12), 0.85, "Unrestricted", "not before 12 May", Tense.PLANNED),
        Stretch(date(2027, 6, 9), 1.0, "Unrestricted, no aids", "not before 9 June", Tense.PLANNED),
    ),
    visits=(
        _dot("Wound check", "3 March, came", date(2027, 3, 3), DotState.CAME),
        _dot("6 weeks: film, gait", "today, 09:40", TODAY, DotState.TODAY),
        _dot("12 weeks", "Wed 12 May", date(2027, 5, 12), DotState.BOOKED, 7, 7),
        _dot("16 weeks", "Wed 9 June", date(2027, 6, 9), DotState.BOOKED, 7, 4),
        _dot("24 weeks", "no place yet", date(2027, 8, 4), DotState.NO_PLACE, 7, 7, has_place=False),
        _dot("36 weeks", "if not healed", date(2027, 10, 27), DotState.IF_NOT_HEALED, 7, 7, has_place=False),
        _dot("52 weeks", "no place yet", date(2028, 2, 16), DotState.NO_PLACE, 14, 14, has_place=False),
    ),
    slow_from=date(2027, 8, 3),
    slow_words="24 weeks from the injury",
)
INSIDE = WindowBar(
    date(2027, 4, 7),
    date(2027, 4, 14),
    date(2027, 4, 21),
    place_on=date(2027, 4, 16),
    clinic_days=(date(2027, 4, 9), date(2027, 4, 12), date(2027, 4, 19)),
)
OUTSIDE = WindowBar(
    date(2027, 4, 12),
    date(2027, 4, 14),
    date(2027, 4, 16),
    place_on=date(2027, 4, 19),
    was_on=date(2027, 4, 14),
    today=date(2027, 4, 13),
)
ROOMS = (RoomLeft("Consultation", 12, 11), RoomLeft("X-ray", 9, 5, 2), RoomLeft("Plaster", 40, 30, 4))


def show_style(request):
    """Show everything once."""
    return render(
        request,
        "style/page.html",
        {
            "marks": list(Mark),
            "ladders": [ladder_parts(ladder) for ladder in (PLATE, CAST, NO_ORDER)],
            "time_line": draw_time_line(YEAR),
            "windows": [draw_window_bar(bar) for bar in (INSIDE, OUTSIDE)],
            "rooms": [(room, draw_room_left(room), left_words(room)) for room in ROOMS],
            "gate": draw_gate(PLATE_BARS),
        },
    )
