"""Dates and times in words, in the language of the reader."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils.dateformat import format as date_format
from django.utils.translation import gettext as _
from django.utils.translation import pgettext


def in_words(day: date) -> str:
    """Write a date for sentences: Wednesday 31 March 2027."""
    return date_format(day, pgettext("long date", "l j F Y"))


def in_short(day: date) -> str:
    """Write a date for narrow columns: Wed 31 Mar 2027."""
    return date_format(day, pgettext("short date", "D j M Y"))


def wall_time(moment: datetime) -> str:
    """Write a moment as its own clock shows it: Wednesday 31 March 2027 at 09:30."""
    return _("%(day)s at %(time)s") % {"day": in_words(moment.date()), "time": f"{moment:%H:%M}"}


def at_local_time(moment: datetime, zone: ZoneInfo) -> str:
    """Write an instant in the clinic's time."""
    return wall_time(moment.astimezone(zone))


def window_in_short(first: date, last: date) -> str:
    """Write a window for narrow columns; the year stands once when both ends share it."""
    start = date_format(first, pgettext("short date without year", "D j M")) if first.year == last.year else None
    return f"{start or in_short(first)} – {in_short(last)}"
