"""Our own check of a finished file: each line spoilt on purpose is noticed."""

import pytest

from clinic.invitations.faults import faults_in
from clinic.invitations.invitation import Method, Status
from clinic.invitations.writing import invitation_bytes
from tests.clinic.invitations.cast import visit, whole_day

GOOD = invitation_bytes(visit())
CANCELLED = invitation_bytes(visit(method=Method.CANCEL, status=Status.CANCELLED, sequence=1))


@pytest.mark.parametrize(
    "invitation",
    [
        visit(),
        whole_day(),
        visit(zone="Asia/Gaza"),
        visit(method=Method.PUBLISH, attendee=None),
        visit(method=Method.CANCEL, status=Status.CANCELLED, sequence=1),
        visit(status=Status.TENTATIVE, place=("Ä" * 90,)),
    ],
)
def test_what_we_write_has_no_fault(invitation):
    assert faults_in(invitation_bytes(invitation)) == []


@pytest.mark.parametrize("ics", [b"", b"\r\n", b"hello", b"BEGIN:VEVENT\r\nEND:VEVENT\r\n", b"BEGIN:VCALENDAR\r\n"])
def test_what_is_no_calendar_is_said_to_be_none(ics):
    assert faults_in(ics)


def test_an_empty_calendar_has_no_event():
    assert "There is no event in it (RFC 5545 section 3.6)." in faults_in(b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n")


def test_an_empty_event_lacks_all_it_needs():
    start, end = GOOD.index(b"UID:"), GOOD.index(b"END:VEVENT")

    assert faults_in(GOOD[:start] + GOOD[end:]) == [
        "UID is missing (RFC 5545 section 3.6.1).",
        "DTSTAMP is missing (RFC 5545 section 3.6.1).",
        "DTSTART is missing (RFC 5545 section 3.6.1).",
        "SUMMARY is missing (RFC 5545 section 3.6.1).",
    ]


@pytest.mark.parametrize(
    ("good", "old", "new", "fault"),
    [
        (GOOD, b"\r\nSEQUENCE", b"\nSEQUENCE", "does not end in CRLF"),
        (GOOD, b"Clinic app", b"Clinic\x07 app", "control character"),
        (GOOD, b"SUMMARY:", b"SUMMARY:" + b"x" * 70, "75 is the most"),
        (GOOD, b"SUMMARY:", b"SUMMARY:\xc3", "not UTF-8 by itself"),
        (GOOD, b"PRODID:-//Firm Footing//Appointments//EN\r\n", b"", "PRODID is missing"),
        (GOOD, b"VERSION:2.0", b"VERSION:1.0", "VERSION is not 2.0"),
        (GOOD, b"METHOD:REQUEST\r\n", b"", "METHOD is none of"),
        (GOOD, b"METHOD:REQUEST", b"METHOD:PUBLISH", "A published event has no ATTENDEE"),
        (GOOD, b"DTSTAMP:20260302T090000Z", b"DTSTAMP:20260302T090000", "DTSTAMP is not in UTC"),
        (GOOD, b"DTSTAMP:20260302T090000Z", b"DTSTAMP:soon", "DTSTAMP cannot be read"),
        (GOOD, b"20260414T104000", b"20260414T102000", "ends before it begins"),
        (GOOD, b"\r\nSUMMARY:", b"\r\nDURATION:PT20M\r\nSUMMARY:", "Exactly one of DTEND and DURATION"),
        (GOOD, b"DTEND;TZID=Europe/London:20260414T104000", b"DTEND;VALUE=DATE:20260415", "different kinds"),
        (GOOD, b"TZID:Europe/London", b"TZID:Europe/Paris", "VTIMEZONE for Europe/London is missing"),
        (GOOD, b"RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=-1SU", b"RDATE:20260329T010000", "uses RDATE"),
        (GOOD, b";BYDAY=-1SU", b"", "lacks BYMONTH or BYDAY"),
        (GOOD, b"STATUS:CONFIRMED", b"STATUS:CONFIRMED\r\nSTATUS:CONFIRMED", "STATUS is there twice"),
        (GOOD, b"TRIGGER:-P1D\r\n", b"", "An alarm lacks TRIGGER"),
        (GOOD, b"ORGANIZER;CN=Bookings:mailto:bookings@example.org\r\n", b"", "ORGANIZER is missing"),
        (CANCELLED, b"STATUS:CANCELLED", b"STATUS:CONFIRMED", "needs STATUS:CANCELLED"),
        (CANCELLED, b"SEQUENCE:1\r\n", b"", "needs STATUS:CANCELLED and a SEQUENCE"),
    ],
)
def test_each_spoilt_line_is_noticed(good, old, new, fault):
    assert old in good
    found = faults_in(good.replace(old, new))

    assert any(fault in each for each in found), found


def test_two_events_with_two_uids_are_noticed():
    event = GOOD[GOOD.index(b"BEGIN:VEVENT") : GOOD.index(b"END:VCALENDAR")]
    other = event.replace(b"UID:5b0c", b"UID:6c1d")

    assert "One message is about one UID (RFC 5546 section 3.2)." in faults_in(
        GOOD.replace(b"END:VCALENDAR", other + b"END:VCALENDAR")
    )


def test_an_event_before_its_time_zone_is_noticed():
    zone = GOOD[GOOD.index(b"BEGIN:VTIMEZONE") : GOOD.index(b"BEGIN:VEVENT")]
    turned = GOOD.replace(zone, b"").replace(b"END:VCALENDAR", zone + b"END:VCALENDAR")

    assert "A time zone stands after an event; it belongs before." in faults_in(turned)


def test_an_alarm_in_a_cancellation_is_noticed():
    alarm = GOOD[GOOD.index(b"BEGIN:VALARM") : GOOD.index(b"END:VEVENT")]

    assert faults_in(CANCELLED.replace(b"END:VEVENT", alarm + b"END:VEVENT")) == [
        "A cancellation carries no alarm (RFC 5546 section 3.2.5)."
    ]
