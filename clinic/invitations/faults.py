"""Our own check of a finished .ics file: icalendar writes an empty event without a word.

It reads the bytes as a stranger would and shares no code with the writer. Each fault
is a sentence with the number of its RFC.
"""

import re
from datetime import date
from typing import Any

from icalendar import Calendar

Component = Any  # icalendar types a property as a union of some thirty kinds
ONCE_AND_NEEDED = ("UID", "DTSTAMP", "DTSTART", "SUMMARY")
AT_MOST_ONCE = ("SEQUENCE", "STATUS", "CLASS", "TRANSP", "LOCATION", "DESCRIPTION", "ORGANIZER", "DTEND", "DURATION")
METHODS = ("REQUEST", "CANCEL", "PUBLISH")
_CONTROL = re.compile(rb"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
_LONGEST = 75


def faults_in(ics: bytes) -> list[str]:
    """List everything wrong with an .ics file that we would send; an empty list means it may go."""
    faults = _line_faults(ics)
    try:
        calendar = Calendar.from_ical(ics)
    except (ValueError, IndexError, KeyError, AssertionError) as problem:
        return [*faults, f"It cannot be read as a calendar (RFC 5545 section 3.4): {problem}"]
    if calendar.name != "VCALENDAR":
        return [*faults, "It does not begin with VCALENDAR (RFC 5545 section 3.4)."]
    return [*faults, *_calendar_faults(calendar), *_zone_faults(calendar, ics), *_event_faults(calendar)]


def _line_faults(ics: bytes) -> list[str]:
    """Check lines as octets (RFC 5545 section 3.1)."""
    faults = []
    if not ics.endswith(b"\r\n") or ics.count(b"\n") != ics.count(b"\r\n") or ics.count(b"\r") != ics.count(b"\r\n"):
        faults.append("A line does not end in CRLF (RFC 5545 section 3.1).")
    if _CONTROL.search(ics):
        faults.append("There is a control character (RFC 5545 section 3.1).")
    for number, line in enumerate(ics.split(b"\r\n"), 1):
        if len(line) > _LONGEST:
            faults.append(f"Line {number} has {len(line)} octets; 75 is the most (RFC 5545 section 3.1).")
        try:
            line.decode()
        except UnicodeDecodeError:
            faults.append(f"Line {number} is not UTF-8 by itself (RFC 5545 section 3.1).")
    return faults


def _calendar_faults(calendar: Component) -> list[str]:
    faults = [f"{part.name}: {name} cannot be read: {why}" for part in calendar.walk() for name, why in part.errors]
    if not calendar.get("PRODID"):
        faults.append("PRODID is missing (RFC 5545 section 3.7.3).")
    if calendar.get("VERSION") != "2.0":
        faults.append("VERSION is not 2.0 (RFC 5545 section 3.7.4).")
    if calendar.get("METHOD") not in METHODS:
        faults.append("METHOD is none of REQUEST, CANCEL and PUBLISH (RFC 5546 section 3.2).")
    return faults


def _zone_faults(calendar: Component, ics: bytes) -> list[str]:
    """Check that each zone named is there, before the events and in the form that all calendars read."""
    zones = calendar.walk("VTIMEZONE")
    known = [str(zone.get("TZID")) for zone in zones]
    used = {part[name].params["TZID"] for part in calendar.walk("VEVENT") for name in part if _has_zone(part[name])}
    faults = [f"VTIMEZONE for {zone} is missing (RFC 5545 section 3.6.5)." for zone in sorted(used - set(known))]
    if len(known) != len(set(known)):
        faults.append("A time zone is there twice (RFC 5545 section 3.6.5).")
    if zones and ics.rfind(b"BEGIN:VTIMEZONE") > ics.find(b"BEGIN:VEVENT"):
        faults.append("A time zone stands after an event; it belongs before.")
    for part in (part for zone in zones for part in zone.subcomponents):
        if "RDATE" in part:
            faults.append("A time zone uses RDATE, which several calendars read wrongly.")
        if "RRULE" in part and not {"BYMONTH", "BYDAY"} <= set(part["RRULE"]):
            faults.append("A time zone's RRULE lacks BYMONTH or BYDAY, which some calendars need.")
    return faults


def _has_zone(value: object) -> bool:
    return "TZID" in getattr(value, "params", {})


def _event_faults(calendar: Component) -> list[str]:
    events, method = calendar.walk("VEVENT"), calendar.get("METHOD")
    if not events:
        return ["There is no event in it (RFC 5545 section 3.6)."]
    faults = [fault for event in events for fault in _one_event_faults(event, method)]
    if len({event.get("UID") for event in events if not isinstance(event.get("UID"), list)}) > 1:
        faults.append("One message is about one UID (RFC 5546 section 3.2).")
    return faults


def _one_event_faults(event: Component, method: str | None) -> list[str]:
    """Check one event; a value that is there twice is reported once and not looked at further."""
    twice = [name for name in (*ONCE_AND_NEEDED, *AT_MOST_ONCE) if isinstance(event.get(name), list)]
    faults = [f"{name} is there twice (RFC 5545 section 3.6.1)." for name in twice]
    faults += [f"{name} is missing (RFC 5545 section 3.6.1)." for name in ONCE_AND_NEEDED if not event.get(name)]
    if faults:
        return faults
    return [*_event_time_faults(event), *_party_faults(event, method), *_alarm_faults(event, method)]


def _event_time_faults(event: Component) -> list[str]:
    faults = []
    if not event["DTSTAMP"].to_ical().endswith(b"Z"):
        faults.append("DTSTAMP is not in UTC (RFC 5545 section 3.8.7.2).")
    if ("DTEND" in event) == ("DURATION" in event):
        faults.append("Exactly one of DTEND and DURATION is needed (RFC 5545 section 3.6.1).")
    if "DTEND" in event:
        faults += _end_faults(event["DTSTART"].dt, event["DTEND"].dt)
    return faults


def _end_faults(start: date, end: date) -> list[str]:
    if type(start) is not type(end) or _is_floating(start) != _is_floating(end):
        return ["DTSTART and DTEND are of different kinds (RFC 5545 section 3.8.2.2)."]
    return [] if end > start else ["It ends before it begins (RFC 5545 section 3.8.2.2)."]


def _is_floating(when: date) -> bool:
    return getattr(when, "tzinfo", None) is None


def _party_faults(event: Component, method: str | None) -> list[str]:
    faults = []
    if not event.get("ORGANIZER"):
        faults.append("ORGANIZER is missing (RFC 5546 section 3.2).")
    if method == "REQUEST" and "ATTENDEE" not in event:
        faults.append("A request needs an ATTENDEE (RFC 5546 section 3.2.2).")
    if method == "PUBLISH" and "ATTENDEE" in event:
        faults.append("A published event has no ATTENDEE (RFC 5546 section 3.2.1).")
    if method == "CANCEL" and (event.get("STATUS") != "CANCELLED" or "SEQUENCE" not in event):
        faults.append("A cancellation needs STATUS:CANCELLED and a SEQUENCE (RFC 5546 section 3.2.5).")
    return faults


def _alarm_faults(event: Component, method: str | None) -> list[str]:
    alarms = event.walk("VALARM")
    if alarms and method == "CANCEL":
        return ["A cancellation carries no alarm (RFC 5546 section 3.2.5)."]
    needed = ("ACTION", "TRIGGER", "DESCRIPTION")
    missing = {name for alarm in alarms for name in needed if name not in alarm}
    return [f"An alarm lacks {name} (RFC 5545 section 3.6.6)." for name in sorted(missing)]
