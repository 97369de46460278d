"""The invitation inside an e-mail: RFC 6047 section 2.4."""

import email
from datetime import UTC, datetime
from email import policy

import pytest
from django.core.mail import EmailMultiAlternatives

from clinic.common.neutral_words import clinical_words_in
from clinic.invitations.invitation import Mailbox, Method
from clinic.invitations.mail import attach_invitation
from clinic.invitations.revisions import cancel
from clinic.invitations.writing import invitation_bytes
from tests.clinic.invitations.cast import ANN, visit

NEXT_DAY = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)
REQUEST = visit(place=("Gebäude Süd", "Desk 4"))


def message(to=("Ann Tolliver <ann.tolliver@example.org>",)) -> EmailMultiAlternatives:
    made = EmailMultiAlternatives("Your appointment", "Please come.", "bookings@example.org", list(to))
    made.attach_alternative("<p>Please come.</p>", "text/html")
    return made


def on_the_wire(invitation) -> bytes:
    made = message()
    attach_invitation(made, invitation)
    return made.message().as_bytes(linesep="\r\n")


def calendar_part(invitation):
    read = email.message_from_bytes(on_the_wire(invitation), policy=policy.default)
    return next(part for part in read.walk() if part.get_content_type() == "text/calendar")


def test_the_calendar_is_the_last_alternative_beside_text_and_html():
    read = email.message_from_bytes(on_the_wire(REQUEST), policy=policy.default)

    assert read.get_content_type() == "multipart/alternative"
    assert [part.get_content_type() for part in read.iter_parts()] == ["text/plain", "text/html", "text/calendar"]


@pytest.mark.parametrize("invitation", [REQUEST, cancel(REQUEST, now=NEXT_DAY)], ids=["request", "cancel"])
def test_the_method_of_the_part_is_that_of_the_body(invitation):
    part = calendar_part(invitation)

    assert part.get_param("method") == invitation.method
    assert f"\r\nMETHOD:{invitation.method}\r\n".encode() in part.get_payload(decode=True)


@pytest.mark.parametrize("invitation", [REQUEST, cancel(REQUEST, now=NEXT_DAY)], ids=["request", "cancel"])
def test_the_part_names_its_charset_exactly_once(invitation):
    header = calendar_part(invitation)["Content-Type"]

    assert str(header).lower().count("charset") == 1
    assert header.params["charset"] == "utf-8"
    assert header.defects == ()


def test_the_bytes_arrive_as_they_were_written():
    assert calendar_part(REQUEST).get_payload(decode=True) == invitation_bytes(REQUEST)


def test_the_file_name_gives_nothing_away():
    name = calendar_part(REQUEST).get_filename()

    assert name == "appointment.ics"
    assert clinical_words_in(name) == []


def test_a_name_cannot_add_a_header():
    wire = on_the_wire(visit(attendee=Mailbox("Ann\r\nBcc: eve@example.org", ANN.address)))

    assert b"\r\nBcc:" not in wire


@pytest.mark.parametrize("to", [("bob@example.org",), ("ann.tolliver@example.org", "bob@example.org"), ()])
def test_it_goes_to_the_attendee_and_to_nobody_else(to):
    with pytest.raises(ValueError, match="nobody else"):
        attach_invitation(message(to), REQUEST)


def test_the_case_of_an_address_does_not_matter():
    made = message(("Ann.Tolliver@EXAMPLE.org",))
    attach_invitation(made, REQUEST)

    assert len(made.alternatives) == 2


def test_one_message_carries_one_invitation():  # RFC 5546 section 3.2: one UID a message
    made = message()
    attach_invitation(made, REQUEST)

    with pytest.raises(ValueError, match="one invitation"):
        attach_invitation(made, REQUEST)


def test_a_published_appointment_may_go_to_anybody():
    made = message(("carer@example.org",))
    attach_invitation(made, visit(method=Method.PUBLISH, attendee=None))

    assert 'method="PUBLISH"' in made.message().as_string()
