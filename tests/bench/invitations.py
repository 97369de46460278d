"""One invitation against the same file written by hand as a string."""

from datetime import UTC, datetime, timedelta

from tests.bench.timing import Row, best_seconds

EVENTS = 400
FIRST = datetime(2027, 3, 1, 9, 30, tzinfo=UTC)
PLACE = ("Clinic 4, Ground floor", "Larkspur Infirmary; West wing", "Larkspur")


def invitation() -> Row:
    """Write invitations to different people, with the library and without."""
    from clinic.invitations.invitation import Invitation, Mailbox
    from clinic.invitations.time_zones import zone_bytes
    from clinic.invitations.writing import invitation_bytes

    organiser = Mailbox("Clinic 4", "clinic@example.org")
    invited = [
        Invitation(
            uid=f"{n:032x}@example.org",
            dtstamp=FIRST - timedelta(days=30),
            starts_at=FIRST + timedelta(days=n % 200),
            zone="Europe/London",
            organiser=organiser,
            minutes=30,
            attendee=Mailbox(f"Person {n} O’Example-Longname", f"person.{n}@example.org"),
            place=PLACE,
            phone="07700 900123",
        )
        for n in range(EVENTS)
    ]
    zone = zone_bytes("Europe/London", 2027, 2027)
    ours, by_hand = best_seconds(
        lambda: [invitation_bytes(one) for one in invited], lambda: [written_by_hand(one, zone) for one in invited]
    )
    figures = f"{EVENTS / ours:,.0f} and {EVENTS / by_hand:,.0f} a second"
    return Row("one invitation / a string built by hand", figures, by_hand / ours, at_least=1 / 25)


def written_by_hand(one, zone: bytes) -> bytes:
    """Write the same properties with nothing but escaping and folding."""
    end = one.starts_at + timedelta(minutes=one.minutes)
    lines = [
        f"UID:{escaped(one.uid)}",
        f"DTSTAMP:{one.dtstamp:%Y%m%dT%H%M%SZ}",
        f"SEQUENCE:{one.sequence}",
        f"DTSTART;TZID={one.zone}:{one.starts_at:%Y%m%dT%H%M%S}",
        f"DTEND;TZID={one.zone}:{end:%Y%m%dT%H%M%S}",
        f"SUMMARY:{escaped(one.summary)}",
        f"DESCRIPTION:{escaped(one.description)}",
        f"LOCATION:{escaped(', '.join(one.place))}",
        f'ORGANIZER;CN="{one.organiser.name}":mailto:{one.organiser.address}',
        f'ATTENDEE;CN="{one.attendee.name}";CUTYPE=INDIVIDUAL;ROLE=REQ-PARTICIPANT;PARTSTAT=NEEDS-ACTION;'
        f"RSVP=TRUE:mailto:{one.attendee.address}",
        "STATUS:CONFIRMED",
        "CLASS:PRIVATE",
        "TRANSP:OPAQUE",
        "BEGIN:VALARM",
        "ACTION:DISPLAY",
        "TRIGGER:-P1D",
        f"DESCRIPTION:{escaped(one.summary)}",
        "END:VALARM",
    ]
    head = b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//by hand//EN\r\nCALSCALE:GREGORIAN\r\nMETHOD:REQUEST\r\n"
    body = b"\r\n".join(folded(line) for line in lines)
    return head + zone + b"BEGIN:VEVENT\r\n" + body + b"\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"


def escaped(text: str) -> str:
    """Escape a text as RFC 5545 section 3.3.11 asks."""
    return text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")


def folded(line: str) -> bytes:
    """Fold a line at 75 octets, never inside a character."""
    octets = line.encode()
    if len(octets) <= 75:
        return octets
    pieces, start, room = [], 0, 75
    while start < len(octets):
        end = min(start + room, len(octets))
        while end < len(octets) and octets[end] & 0xC0 == 0x80:
            end -= 1
        pieces.append(octets[start:end])
        start, room = end, 74
    return b"\r\n ".join(pieces)
