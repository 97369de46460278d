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


def at_local_time(moment: datetime, zone: ZoneInfo) -> str:
    """Write an instant in the clinic's time: Wednesday 31 March 2027 at 09:30."""
    local = moment.astimezone(zone)
    return _("%(day)s at %(time)s") % {"day": in_words(local.date()), "time": f"{local:%H:%M}"}
