"""Three readers of what we write: icalendar, vobject with dateutil, and (when Node is there) ical.js."""

import io
import re
from datetime import datetime
from functools import lru_cache

import vobject
from dateutil.tz import tzical
from icalendar import Calendar, Timezone

ELEVEN_ZONES = (
    "Europe/London",
    "Europe/Dublin",
    "Europe/Berlin",
    "America/New_York",
    "America/St_Johns",
    "Australia/Sydney",
    "Australia/Lord_Howe",
    "Pacific/Chatham",
    "Pacific/Auckland",
    "America/Sao_Paulo",
    "Asia/Kolkata",
)


def unfolded(ics: bytes) -> str:
    """Join folded lines again (RFC 5545 section 3.1)."""
    return ics.decode().replace("\r\n ", "")


def by_icalendar(ics: bytes):
    """Give the one event as icalendar reads it."""
    (event,) = Calendar.from_ical(ics).walk("VEVENT")
    return event


def by_vobject(ics: bytes):
    """Give the one event as vobject reads it."""
    (event,) = vobject.readOne(ics.decode()).vevent_list
    return event


def zone_by_icalendar(ics: bytes):
    """Give the time zone as icalendar understands the VTIMEZONE itself, not its name."""
    return _icalendar_zone(_zone_part(ics))


def zone_by_dateutil(ics: bytes):
    """Give the time zone as dateutil understands the VTIMEZONE."""
    return _dateutil_zone(_zone_part(ics))


@lru_cache
def _icalendar_zone(part: str):
    return Timezone.from_ical(part).to_tz(lookup_tzid=False)


@lru_cache
def _dateutil_zone(part: str):
    return tzical(io.StringIO(part)).get()


def _zone_part(ics: bytes) -> str:
    """Cut out the time zone: the same zone is written alike in each invitation, and read once."""
    text, end = unfolded(ics), "END:VTIMEZONE\r\n"
    return text[text.index("BEGIN:VTIMEZONE") : text.index(end) + len(end)]


def written_start(ics: bytes) -> datetime:
    """Give the wall time written as the start, without any zone."""
    (written,) = re.findall(r"\r\nDTSTART;TZID=[^:]+:(\S+)\r\n", unfolded(ics))
    return datetime.fromisoformat(written)
