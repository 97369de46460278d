"""How long an invitation takes, beside the quickest way there is: a string put together by hand.

The hand-built one escapes, folds, and keeps its time zone as ready text; it checks nothing,
knows no second language and serves no other zone. Ratios travel between machines, seconds do not.
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from clinic.invitations.invitation import Invitation, Mailbox
from clinic.invitations.time_zones import zone_bytes
from clinic.invitations.writing import folded, invitation_bytes
from tests.bench.timing import best_seconds

EVENTS = 1_000
FIRST = datetime(2027, 1, 4, 9, 0, tzinfo=UTC)
ESCAPES = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"})
ZONE = ZoneInfo("Europe/London")
HEAD = (
    b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Firm Footing//Appointments//EN\r\nCALSCALE:GREGORIAN\r\n"
    b"METHOD:REQUEST\r\n" + zone_bytes("Europe/London", 2027, 2027)
)
DESCRIPTION = "See your letter for what to bring.\nCannot come? Ring us on 07700 900412."


def rows() -> list[tuple[str, float, float]]:
    """Give (name, our seconds, the reference's seconds) for one invitation; both write the same bytes."""
    invitations = [_invitation(number) for number in range(EVENTS)]
    assert len({invitation_bytes(each) for each in invitations}) == EVENTS  # no two alike, and all caches warm
    assert all(invitation_bytes(each) == _hand_built(each) for each in invitations)
    ours, reference = best_seconds(
        lambda: [invitation_bytes(each) for each in invitations], lambda: [_hand_built(each) for each in invitations]
    )
    return [("one invitation : hand-built string", ours / EVENTS, reference / EVENTS)]


def _invitation(number: int) -> Invitation:
    """Give one of many: each has its own person and moment, and one of eight rooms."""
    return Invitation(
        uid=f"5b0c1b1e-8a10-4a62-93a5-{number:012d}",
        dtstamp=FIRST,
        starts_at=FIRST + timedelta(hours=number % 3_000),
        minutes=20,
        zone="Europe/London",
        organiser=Mailbox("Bookings", "bookings@example.org"),
        attendee=Mailbox(f"Person Number {number}", f"person.{number}@example.org"),
        place=("Main building, level 2", f"Desk {number % 8}"),
        phone="07700 900412",
    )


def _hand_built(invitation: Invitation) -> bytes:
    """Put the same lines together with nothing but string formatting."""
    start, end = (instant.astimezone(ZONE) for instant in invitation.instants or ())
    attendee, organiser = invitation.attendee, invitation.organiser
    assert attendee is not None
    lines = (
        "BEGIN:VEVENT",
        f"UID:{invitation.uid}",
        f"DTSTAMP:{invitation.dtstamp:%Y%m%dT%H%M%SZ}",
        f"SEQUENCE:{invitation.sequence}",
        f"DTSTART;TZID={invitation.zone}:{start:%Y%m%dT%H%M%S}",
        f"DTEND;TZID={invitation.zone}:{end:%Y%m%dT%H%M%S}",
        f"SUMMARY:{invitation.summary.translate(ESCAPES)}",
        f"DESCRIPTION:{DESCRIPTION.translate(ESCAPES)}",
        f"LOCATION:{', '.join(invitation.place).translate(ESCAPES)}",
        f"ORGANIZER;CN={organiser.name}:mailto:{organiser.address}",
        f'ATTENDEE;CN="{attendee.name}";CUTYPE=INDIVIDUAL;PARTSTAT=NEEDS-ACTION;ROLE=REQ-PARTICIPANT;RSVP=TRUE'
        f":mailto:{attendee.address}",
        "STATUS:CONFIRMED\r\nCLASS:PRIVATE\r\nTRANSP:OPAQUE",
        f"BEGIN:VALARM\r\nACTION:DISPLAY\r\nTRIGGER:-P1D\r\nDESCRIPTION:{invitation.summary.translate(ESCAPES)}",
        "END:VALARM\r\nEND:VEVENT\r\nEND:VCALENDAR",
    )
    return HEAD + b"".join(folded(line) if "\r\n" not in line else line.encode() + b"\r\n" for line in lines)
