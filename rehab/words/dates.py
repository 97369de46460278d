"""Dates and times in words, in the language of the reader."""

from datetime import date, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo

from django.utils.dateformat import format as date_format
from django.utils.translation import get_language, pgettext
from django.utils.translation import gettext as _


def in_words(day: date) -> str:
    """Write a date for sentences: Wednesday 31 March 2027."""
    return _written(day, pgettext("long date", "l j F Y"), get_language())


def in_short(day: date) -> str:
    """Write a date for narrow columns: Wed 31 Mar 2027."""
    return _written(day, pgettext("short date", "D j M Y"), get_language())


@lru_cache(maxsize=8192)
def _written(day: date, pattern: str, _language: str | None) -> str:
    """Write a date once a language: plans name the same days over and over."""
    return date_format(day, pattern)


def wall_time(moment: datetime) -> str:
    """Write a moment as its own clock shows it: Wednesday 31 March 2027 at 09:30."""
    return _("%(day)s at %(time)s") % {"day": in_words(moment.date()), "time": f"{moment:%H:%M}"}


def at_local_time(moment: datetime, zone: ZoneInfo) -> str:
    """Write an instant in the clinic's time."""
    return wall_time(moment.astimezone(zone))


def window_in_short(first: date, last: date) -> str:
    """Write a window for narrow columns; the year stands once when both ends share it."""
    if first.year != last.year:
        return f"{in_short(first)} – {in_short(last)}"
    start = _written(first, pgettext("short date without year", "D j M"), get_language())
    return f"{start} – {in_short(last)}"
