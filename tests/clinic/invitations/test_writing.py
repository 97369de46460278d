"""The bytes of an invitation. Numbers of RFC sections say where each rule is written down."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clinic.invitations.faults import faults_in
from clinic.invitations.invitation import Mailbox, Method, Status
from clinic.invitations.writing import clean_text, folded, invitation_bytes
from tests.clinic.invitations.cast import ANN, LONDON, visit, whole_day
from tests.clinic.invitations.reading import by_icalendar, by_vobject, unfolded

# Any text a clerk may type or paste, controls and foreign scripts included.
TYPED = st.text(max_size=200)
# What is left of it when it has been cleaned: what a reader must get back.
CLEAN = TYPED.map(clean_text).filter(bool)


def with_place(text: str) -> bytes:
    """Write a visit with any text as its place, past the check for clinical words."""
    made = visit()
    object.__setattr__(made, "place", (text,))
    return invitation_bytes(made)


@given(place=TYPED, name=TYPED)
def test_every_line_is_at_most_75_octets_ends_in_crlf_and_is_utf8_by_itself(place, name):  # RFC 5545 section 3.1
    made = visit(attendee=Mailbox(name, ANN.address))
    object.__setattr__(made, "place", (place,))
    ics = invitation_bytes(made)

    lines = ics.split(b"\r\n")
    assert lines.pop() == b""
    assert all(len(line) <= 75 for line in lines)
    assert all(line.decode() is not None and b"\n" not in line and b"\r" not in line for line in lines)


@given(octets=st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=400))
def test_a_folded_line_unfolds_to_itself(octets):  # RFC 5545 section 3.1
    assert folded(octets).decode().replace("\r\n ", "") == octets + "\r\n"


def test_sixty_accented_letters_come_back_from_both_readers():  # RFC 5545 section 3.1: never inside a character
    ics = with_place("é" * 60)

    assert by_icalendar(ics)["LOCATION"] == "é" * 60
    assert by_vobject(ics).location.value == "é" * 60


@given(text=CLEAN)
def test_any_place_comes_back_as_it_was_typed(text):  # RFC 5545 section 3.3.11
    assert by_icalendar(with_place(text))["LOCATION"] == text


@given(text=CLEAN.filter(lambda text: "\\" not in text))
def test_any_place_comes_back_from_the_second_reader_as_well(text):  # RFC 5545 section 3.3.11
    assert by_vobject(with_place(text)).location.value == text


@pytest.mark.parametrize("name", ['Ann "Bo" Tolliver', "Tolliver, Ann", "Tolliver; Ann: x", "Ånn Tôlliver", "田中"])
def test_a_name_with_any_mark_in_it_comes_back(name):  # RFC 6868
    event = by_icalendar(invitation_bytes(visit(attendee=Mailbox(name, ANN.address))))

    assert event["ATTENDEE"].params["CN"] == name


def test_a_title_with_a_line_end_in_it_cannot_end_the_event():  # RFC 5545 section 3.3.11
    ics = invitation_bytes(visit(summary="Clinic\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nSUMMARY:other"))

    assert unfolded(ics).count("\r\nBEGIN:VEVENT\r\n") == 1
    assert by_icalendar(ics)["SUMMARY"] == "Clinic\nEND:VEVENT\nBEGIN:VEVENT\nSUMMARY:other"
    assert by_vobject(ics).summary.value == "Clinic\nEND:VEVENT\nBEGIN:VEVENT\nSUMMARY:other"


def test_a_name_with_a_line_end_in_it_cannot_end_the_line():  # RFC 5545 section 3.2
    ics = invitation_bytes(visit(attendee=Mailbox("Ann\r\nEND:VEVENT", ANN.address)))

    assert by_icalendar(ics)["ATTENDEE"].params["CN"] == "Ann END:VEVENT"


@pytest.mark.parametrize("control", ["\x00", "\x07", "\x1b", "\x7f", "\x9f", "\ud800"])
def test_control_characters_are_left_out(control):  # RFC 5545 section 3.1
    ics = with_place(f"Level{control} 2")

    assert by_icalendar(ics)["LOCATION"] == "Level 2"
    assert faults_in(ics) == []


def test_a_visit_starts_and_ends_by_the_clinics_clock():  # RFC 5545 section 3.3.5, form 3
    text = unfolded(invitation_bytes(visit(starts_at=datetime(2026, 4, 14, 9, 20, tzinfo=UTC))))

    assert "\r\nDTSTART;TZID=Europe/London:20260414T102000\r\n" in text
    assert "\r\nDTEND;TZID=Europe/London:20260414T104000\r\n" in text
    assert "DURATION" not in text


def test_a_visit_across_the_clock_change_keeps_its_length():  # RFC 5545 section 3.3.5
    text = unfolded(invitation_bytes(visit(starts_at=datetime(2027, 3, 28, 0, 40, tzinfo=LONDON), minutes=30)))

    assert "\r\nDTSTART;TZID=Europe/London:20270328T004000\r\n" in text
    assert "\r\nDTEND;TZID=Europe/London:20270328T021000\r\n" in text


@pytest.mark.parametrize(("fold", "utc"), [(0, "003000"), (1, "013000")])
def test_the_hour_that_comes_twice_is_written_in_utc(fold, utc):  # RFC 5545 section 3.3.5
    text = unfolded(invitation_bytes(visit(starts_at=datetime(2027, 10, 31, 1, 30, tzinfo=LONDON, fold=fold))))

    assert f"\r\nDTSTART:20271031T{utc}Z\r\n" in text
    assert "VTIMEZONE" not in text


def test_a_visit_that_ends_in_the_hour_that_comes_twice_is_in_utc_as_well():
    text = unfolded(invitation_bytes(visit(starts_at=datetime(2027, 10, 31, 0, 50, tzinfo=LONDON))))

    assert "\r\nDTSTART:20271030T235000Z\r\nDTEND:20271031T001000Z\r\n" in text


def test_a_note_for_a_whole_day_ends_on_the_next_day():  # RFC 5545 section 3.6.1
    ics = invitation_bytes(whole_day())

    assert "\r\nDTSTART;VALUE=DATE:20270331\r\nDTEND;VALUE=DATE:20270401\r\n" in unfolded(ics)
    assert "\r\nTRANSP:TRANSPARENT\r\n" in unfolded(ics)
    assert by_icalendar(ics)["DTSTART"].dt == date(2027, 3, 31)
    assert by_vobject(ics).dtend.value == date(2027, 4, 1)
    assert faults_in(ics) == []


def test_the_first_request_asks_for_an_answer():  # RFC 5545 section 3.2.12, RFC 5546 section 3.2.2
    event = by_icalendar(invitation_bytes(visit()))

    assert event["SEQUENCE"] == 0
    assert str(event["ORGANIZER"]) == "mailto:bookings@example.org"
    assert str(event["ATTENDEE"]) == "mailto:ann.tolliver@example.org"
    assert dict(event["ATTENDEE"].params) == {
        "CN": "Ann Tolliver",
        "CUTYPE": "INDIVIDUAL",
        "ROLE": "REQ-PARTICIPANT",
        "PARTSTAT": "NEEDS-ACTION",
        "RSVP": "TRUE",
    }


def test_the_alarm_rings_a_day_before_and_a_cancellation_has_none():  # RFC 5545 3.6.6, RFC 5546 3.2.5
    (alarm,) = by_icalendar(invitation_bytes(visit())).walk("VALARM")
    gone = invitation_bytes(visit(method=Method.CANCEL, status=Status.CANCELLED, sequence=1))

    assert alarm["TRIGGER"].dt == timedelta(days=-1)
    assert alarm["ACTION"] == "DISPLAY"
    assert by_icalendar(gone).walk("VALARM") == []


def test_the_product_named_is_ours():  # RFC 5545 section 3.7.3
    assert b"\r\nPRODID:-//Firm Footing//Appointments//EN\r\n" in invitation_bytes(visit())


def test_the_same_invitation_gives_the_same_bytes():
    assert invitation_bytes(visit()) == invitation_bytes(visit())


def test_a_visit_without_a_place_has_no_empty_line_for_it():
    assert b"LOCATION" not in invitation_bytes(visit(place=(), phone=""))


def test_a_third_reader_finds_the_same_words_and_days(js_reader):  # RFC 5545 section 3.3.11, RFC 6868
    place = "Gebäude Süd; level 2, desk 4 \\ left\n" + "é" * 60
    odd = visit(place=(place,), attendee=Mailbox('Ann "Bo" Tolliver, née Ås', ANN.address))
    read, day = js_reader([invitation_bytes(odd), invitation_bytes(whole_day())])

    assert (read["events"], read["method"], read["summary"]) == (1, "REQUEST", "Clinic appointment")
    assert (read["location"], read["attendeeName"]) == (place, odd.attendee.name)
    assert (day["isDate"], day["start"], day["end"]) == (True, "2027-03-31", "2027-04-01")
