"""Three readers of what we write: icalendar, vobject with dateutil, and (when Node is there) ical.js."""

import io
from datetime import datetime

import vobject
from dateutil.tz import tzical
from icalendar import Calendar

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
    (zone,) = Calendar.from_ical(ics).walk("VTIMEZONE")
    return zone.to_tz(lookup_tzid=False)


def zone_by_dateutil(ics: bytes):
    """Give the time zone as dateutil understands the VTIMEZONE."""
    return tzical(io.StringIO(unfolded(ics))).get()


def written_start(ics: bytes) -> datetime:
    """Give the wall time written as the start, without any zone."""
    return by_icalendar(ics)["DTSTART"].dt.replace(tzinfo=None)
