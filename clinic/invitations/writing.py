"""From an invitation to the bytes of an .ics file (RFC 5545)."""

import re
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from icalendar import vCalAddress, vText
from icalendar.parser import Contentline

from clinic.invitations.invitation import Invitation, Mailbox, Method
from clinic.invitations.time_zones import zone_bytes

PRODUCT = "-//Firm Footing//Appointments//EN"
FILE_NAME = "appointment.ics"
LINE_OCTETS = 75  # RFC 5545 section 3.1, the line end not counted
UTC_FORM = "%Y%m%dT%H%M%SZ"
# A day before: common practice, no source; never instead of our own reminders.
_ALARM_HEAD = b"BEGIN:VALARM\r\nACTION:DISPLAY\r\nTRIGGER:-P1D\r\n"

# All controls but the newline. Surrogates cannot be written as UTF-8 at all.
_CONTROLS = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\ud800-\udfff]")
_LINE_ENDS = re.compile(r"\r\n?|[\x85\u2028\u2029]")


def invitation_bytes(invitation: Invitation) -> bytes:
    """Write the invitation: CRLF line ends, no line over 75 octets, one event, the zone it needs.

    The same invitation gives the same bytes. The time zone is spliced in from a
    cache: icalendar would write it anew each time, and in a form that
    some calendars read wrongly (see time_zones.py).
    """
    local = _wall_times(invitation)
    return b"".join(
        (
            b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\n",
            f"PRODID:{PRODUCT}\r\nCALSCALE:GREGORIAN\r\nMETHOD:{invitation.method}\r\n".encode(),
            zone_bytes(invitation.zone, local[0].year, local[1].year) if local else b"",
            _event_bytes(invitation, local),
            b"END:VCALENDAR\r\n",
        )
    )


def clean_text(text: str) -> str:
    """Drop control characters, and make every kind of line end a newline."""
    return _CONTROLS.sub("", _LINE_ENDS.sub("\n", text)).strip()


def folded(line: str) -> bytes:
    """Give one content line as bytes, folded at 75 octets and never inside a character."""
    octets = line.encode()
    if len(octets) <= LINE_OCTETS:
        return octets + b"\r\n"
    pieces, start, room = [], 0, LINE_OCTETS
    while start < len(octets):
        end = _character_start(octets, start + room)
        pieces.append(octets[start:end])
        start, room = end, LINE_OCTETS - 1  # the blank that marks a continuation counts
    return b"\r\n ".join(pieces) + b"\r\n"


def _character_start(octets: bytes, at: int) -> int:
    """Step back from `at` to where a character begins: UTF-8 continuation octets are 10xxxxxx."""
    while at < len(octets) and octets[at] & 0xC0 == 0x80:
        at -= 1
    return at


def _wall_times(invitation: Invitation) -> tuple[datetime, datetime] | None:
    """Give start and end by the clinic's clock, or None where the clock cannot say them.

    A wall time that comes twice in autumn means its first pass (RFC 5545 section 3.3.5), but
    ical.js 2.2.1 takes the second. Such a time is written in UTC, which needs no zone.
    """
    if invitation.instants is None:
        return None
    zone = ZoneInfo(invitation.zone)
    start, end = (instant.astimezone(zone) for instant in invitation.instants)
    return None if _comes_twice(start) or _comes_twice(end) else (start, end)


def _comes_twice(local: datetime) -> bool:
    return local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()


def _event_bytes(invitation: Invitation, local: tuple[datetime, datetime] | None) -> bytes:
    fixed = f"STATUS:{invitation.status}\r\nCLASS:PRIVATE\r\nTRANSP:{_transparency(invitation)}\r\n"
    # A cancellation carries no alarm: RFC 5546 section 3.2.5.
    alarm = b"" if invitation.method is Method.CANCEL else _alarm_bytes(invitation.summary)
    return b"".join(
        (
            b"BEGIN:VEVENT\r\n",
            _line("UID", vText(clean_text(invitation.uid))),
            f"DTSTAMP:{invitation.dtstamp.astimezone(UTC):{UTC_FORM}}\r\nSEQUENCE:{invitation.sequence}\r\n".encode(),
            *_time_lines(invitation, local),
            _text_line("SUMMARY", invitation.summary),
            _text_line("DESCRIPTION", invitation.description),
            _text_line("LOCATION", ", ".join(invitation.place)),
            _organiser_line(invitation.organiser),
            _line("ATTENDEE", _asked(invitation.attendee)) if invitation.attendee else b"",
            fixed.encode(),
            alarm,
            b"END:VEVENT\r\n",
        )
    )


def _time_lines(invitation: Invitation, local: tuple[datetime, datetime] | None) -> tuple[bytes, bytes]:
    """Write start and end: by the clinic's clock, in UTC, or as dates."""
    times: tuple[date, date]
    if local:
        kind, form, times = f";TZID={invitation.zone}", "%Y%m%dT%H%M%S", local
    elif invitation.instants:
        kind, form, times = "", UTC_FORM, invitation.instants
    else:
        kind, form, times = ";VALUE=DATE", "%Y%m%d", (invitation.starts_at, invitation.starts_at + timedelta(days=1))
    start, end = times
    return folded(f"DTSTART{kind}:{start:{form}}"), folded(f"DTEND{kind}:{end:{form}}")


def _transparency(invitation: Invitation) -> str:
    """A visit takes the person's time; a note for a day does not (RFC 5545 section 3.8.2.7)."""
    return "OPAQUE" if invitation.instants else "TRANSPARENT"


def _line(name: str, value: vText | vCalAddress) -> bytes:
    """Write one property; icalendar escapes the value and quotes its parameters."""
    return folded(Contentline.from_parts(name, value.params, value))


@lru_cache(maxsize=1024)
def _text_line(name: str, text: str) -> bytes:
    """Write a text; kept, because all appointments of a place share theirs. An empty one leaves no line."""
    text = clean_text(text)
    return _line(name, vText(text)) if text else b""


@lru_cache(maxsize=1024)
def _organiser_line(organiser: Mailbox) -> bytes:
    return _line("ORGANIZER", _address(organiser))


def _alarm_bytes(summary: str) -> bytes:
    """Write an alarm a day before. Many calendars put their own in its place (common report, not checked)."""
    return b"".join((_ALARM_HEAD, _text_line("DESCRIPTION", summary), b"END:VALARM\r\n"))


def _address(box: Mailbox) -> vCalAddress:
    address = vCalAddress(f"mailto:{box.address}")
    if name := " ".join(clean_text(box.name).split()):
        address.params["CN"] = name
    return address


def _asked(box: Mailbox) -> vCalAddress:
    address = _address(box)
    address.params.update(
        {"CUTYPE": "INDIVIDUAL", "ROLE": "REQ-PARTICIPANT", "PARTSTAT": "NEEDS-ACTION", "RSVP": "TRUE"}
    )
    return address
