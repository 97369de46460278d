"""The year ahead: day 0 to week 52 in one strip, the busy first weeks drawn wider.

Above the ruler the load as a stair, below it each visit in its window. What is so is solid,
what is planned is dashed, and nothing solid reaches past today.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from itertools import pairwise

from django.utils.formats import date_format
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clinic.web.drawings.dates import in_words
from clinic.web.drawings.svg import box, clipped, group, line, paragraph, path, picture, text, width_of, wrapped
from clinic.web.drawings.time_line_visits import Dot, draw_visits

WIDTH = 1200
LEFT, RIGHT = 10, 1186
FOLD_WEEK, LAST_WEEK = 16, 52
FOLD_X = LEFT + (RIGHT - LEFT) * 0.655
FOLD_GAP = 14
MONTHS_Y, FLAG_Y, SLOW_Y, RULER_Y = 16, 28, 70, 204
STAIR_HEIGHT = 112
ROOM_FOR_NOTE = 110


class Tense(StrEnum):
    """Whether a stretch of load is so, or planned."""

    SOLID = "solid"
    PLANNED = "planned"


@dataclass(frozen=True, slots=True)
class Stretch:
    """A load from a day on, until the next stretch begins; `height` is 0 (none) to 1 (no limit)."""

    from_on: date
    height: float
    words: str
    note: str
    tense: Tense


@dataclass(frozen=True, slots=True)
class TimeLine:
    """What the strip shows. `slow_from` is the day from which slow healing is judged."""

    day_0: date
    today: date
    stretches: tuple[Stretch, ...]
    visits: tuple[Dot, ...]
    slow_from: date | None = None
    slow_words: str = ""


@dataclass(frozen=True, slots=True)
class Scale:
    """Days to pixels: weeks 0 to 16 take two thirds, then a fold and a closer scale."""

    day_0: date
    last_day: int

    def x(self, on: date) -> float:
        """Where a day lies; days beyond the strip are drawn at its ends."""
        day = min(max((on - self.day_0).days, 0), self.last_day)
        fold = FOLD_WEEK * 7
        if day <= fold:
            return LEFT + (FOLD_X - LEFT) * day / fold
        start = FOLD_X + FOLD_GAP
        return start + (RIGHT - start) * (day - fold) / (self.last_day - fold)

    def week(self, number: int) -> float:
        """Where a week begins."""
        return self.x(self.day_0 + timedelta(weeks=number))


def scale_for(strip: TimeLine) -> Scale:
    """52 weeks, or as long as the last visit needs."""
    furthest = max([(dot.on or dot.target_on) for dot in strip.visits], default=strip.day_0)
    return Scale(strip.day_0, max((LAST_WEEK + 1) * 7, (furthest - strip.day_0).days + 14))


def draw_time_line(strip: TimeLine) -> SafeString:
    """The wide drawing; its words are the dated list beside it."""
    scale = scale_for(strip)
    visits, bottom = draw_visits(strip.visits, scale.x, RULER_Y + 52, RIGHT)
    pieces = [*_months(strip, scale), *_slow(strip, scale), *_stair(strip, scale), *_ruler(strip, scale)]
    return picture(WIDTH, round(bottom), *pieces, *_today(strip, scale, bottom), visits, class_="time-line-wide")


def _months(strip: TimeLine, scale: Scale) -> list[SafeString]:
    """Names of months where they begin, left out where they would touch."""
    starts = [*_month_starts(strip.day_0, scale.last_day)]
    pieces = []
    for first, following in zip(starts, [*starts[1:], None], strict=True):
        x, end = scale.x(first), scale.x(following) if following else float(WIDTH)
        name = date_format(first, "F" if x < FOLD_X - 60 else "M")
        if x + width_of(name, 16) + 8 <= end:
            pieces += [line(x, 0, x, 22, "month-line"), text(x + 5, MONTHS_Y, name, "month")]
    return pieces


def _month_starts(day_0: date, days: int) -> list[date]:
    """Day 0 itself (so that its month has a name) and every first of a month after it."""
    every = (day_0 + timedelta(days=n) for n in range(1, days))
    return [day_0, *(on for on in every if on.day == 1)]


def _stair(strip: TimeLine, scale: Scale) -> list[SafeString]:
    ends = [*(stretch.from_on for stretch in strip.stretches[1:]), strip.day_0 + timedelta(days=scale.last_day)]
    pieces: list[SafeString] = []
    for stretch, until in zip(strip.stretches, ends, strict=True):
        pieces += _stretch(stretch, scale.x(stretch.from_on), scale.x(until))
    pieces += [_riser(a, b, scale) for a, b in pairwise(strip.stretches) if b.tense is Tense.PLANNED]
    labels = [_label(s, scale.x(s.from_on), scale.x(u)) for s, u in zip(strip.stretches, ends, strict=True)]
    return pieces + labels


def _top(stretch: Stretch) -> float:
    return RULER_Y - max(stretch.height * STAIR_HEIGHT, 3)


def _stretch(stretch: Stretch, left: float, right: float) -> list[SafeString]:
    top, width = _top(stretch), max(right - left, 0.0)
    if stretch.tense is Tense.SOLID:
        return [box(left, top, width, RULER_Y - top, "load-solid")]
    hatch = clipped(left, top, max(width, 0.1), RULER_Y - top, path(_hatching(left, right), "load-hatch"))
    return [hatch, line(left, top, right, top, "load-planned")]


def _hatching(left: float, right: float) -> str:
    """Slanting lines over the whole height; the box they are drawn in cuts them off."""
    start = int(left - STAIR_HEIGHT) // 9 * 9
    return "".join(f"M{x} {RULER_Y}l{STAIR_HEIGHT} -{STAIR_HEIGHT}" for x in range(start, int(right), 9))


def _riser(before: Stretch, after: Stretch, scale: Scale) -> SafeString:
    x = scale.x(after.from_on)
    return line(x, _top(before), x, _top(after), "load-planned")


def _label(stretch: Stretch, left: float, right: float) -> SafeString:
    """Inside its stretch, above a low one; left out where there is no room."""
    room = right - left - 12
    words = wrapped(stretch.words, 15.5, room, bold=True)
    if room < 64 or _widest(words, []) > room:
        return box(left, RULER_Y, 0, 0, "none")
    note = wrapped(stretch.note, 14.5, room) if stretch.note and room > ROOM_FOR_NOTE else []
    height = 19 * len(words) + 18 * len(note) + 8
    if height > RULER_Y - _top(stretch) - 5:  # inside there is no room: above the line
        return _lines(left + 6, _top(stretch) - height + 17, words, note)
    y = _top(stretch) + 5
    if stretch.tense is Tense.SOLID:
        return group(_lines(left + 9, y + 17, words, note), class_="load-inside")
    ground = box(left + 4, y, _widest(words, note) + 10, height, "load-ground")
    return ground + _lines(left + 9, y + 17, words, note)


def _lines(x: float, y: float, words: list[str], note: list[str]) -> SafeString:
    term = paragraph(x, y, words, 19, "load-words")
    return term + paragraph(x, y + 19 * len(words), note, 18, "load-note")


def _widest(words: list[str], note: list[str]) -> float:
    return max([*(width_of(w, 15.5, bold=True) for w in words), *(width_of(n, 14.5) for n in note)])


def _week_without_mast(strip: TimeLine) -> int:
    """The first even week behind which the mast of today does not stand."""
    days = (strip.today - strip.day_0).days
    return 2 if 0 <= days <= 14 else 0


def _ruler(strip: TimeLine, scale: Scale) -> list[SafeString]:
    """Weeks: a tick each, a number every second week, every fourth after the fold."""
    last = scale.last_day // 7
    pieces = [
        line(LEFT, RULER_Y, FOLD_X, RULER_Y, "ruler"),
        path(f"M{FOLD_X:.1f} {RULER_Y}l4 -9l6 18l4 -9H{RIGHT}", "ruler"),
        text(scale.week(_week_without_mast(strip)) + 16, RULER_Y + 26, _("weeks"), "ruler-unit"),
    ]
    for week in range(last + 1):
        x, is_numbered = scale.week(week), week % (2 if week <= FOLD_WEEK else 4) == 0
        pieces.append(line(x, RULER_Y, x, RULER_Y + (9 if is_numbered else 5), "ruler-tick"))
        if is_numbered:
            pieces.append(text(x, RULER_Y + 26, week, "ruler-week", "middle"))
    return pieces


def _slow(strip: TimeLine, scale: Scale) -> list[SafeString]:
    """The ochre pointer below the flag of today: from this day slow healing is judged."""
    if strip.slow_from is None:
        return []
    x, mast = scale.x(strip.slow_from), scale.x(strip.today)
    pointer = path(f"M{x - 7:.1f} {SLOW_Y - 12}h14l-7 11z", "slow-pointer")
    is_mast_behind = x < mast < x + 26 + width_of(strip.slow_words, 15, bold=True)
    where, anchor = (x - 13, "end") if is_mast_behind else (x + 13, "start")
    words = text(where, SLOW_Y, strip.slow_words, "slow-words", anchor)
    return [line(x, SLOW_Y - 1, x, RULER_Y + 44, "slow-line"), pointer, words]


def _today(strip: TimeLine, scale: Scale, bottom: float) -> list[SafeString]:
    """A black mast with a flag giving the full date; the flag turns round near the right end."""
    x, words = scale.x(strip.today), _("Today, %(date)s") % {"date": in_words(strip.today)}
    width = width_of(words, 16, bold=True) + 22
    way = 1 if x + width < RIGHT else -1
    flag = path(f"M{x:.1f} {FLAG_Y}h{way * width:.1f}l{-way * 8} 12l{way * 8} 12h{-way * width:.1f}z", "flag")
    words_x, anchor = (x + 9, "start") if way == 1 else (x - 9, "end")
    mast = line(x, FLAG_Y, x, RULER_Y + 44, "mast")
    return [mast, flag, text(words_x, FLAG_Y + 17, words, "flag-words", anchor)]
