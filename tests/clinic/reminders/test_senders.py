import email
import json
import smtplib
import socket
from dataclasses import asdict
from datetime import timedelta
from email import policy

import pytest
from aiosmtpd.controller import Controller
from django.utils import translation

from clinic.followup.services import book_visit
from clinic.invitations.writing import invitation_bytes
from clinic.people.models import Patient, Site
from clinic.reminders.models import OutboxMessage
from clinic.reminders.rendering import render
from clinic.reminders.senders.email import send_email
from clinic.reminders.senders.failures import CannotSend
from clinic.reminders.senders.sms import send_sms
from clinic.reminders.sending import send_due
from clinic.web.queries import messages_not_arrived
from tests.support.cast import DAY_ZERO
from tests.support.text_gateway import text_gateway


def written(message):
    """The message with its words, as it is when it leaves."""
    for name, value in asdict(render(message)).items():
        setattr(message, name, value)
    return message


class Mailbox:
    """A mail server that keeps what it takes; `refusal` is its answer to an address."""

    def __init__(self):
        self.taken, self.refusal = [], None

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: N802 - aiosmtpd's name
        if self.refusal:
            return self.refusal
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):  # noqa: N802 - aiosmtpd's name
        self.taken.append(envelope)
        return "250 OK"


@pytest.fixture
def mail_server(settings):
    mailbox = Mailbox()
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    controller = Controller(mailbox, hostname="127.0.0.1", port=port)
    controller.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port
    yield mailbox
    controller.stop()


def test_a_real_mail_server_gets_the_confirmation_with_its_invitation(mail_server, confirmation):
    assert send_due(lambda: DAY_ZERO) == {"sent": 1}

    (envelope,) = mail_server.taken
    assert envelope.rcpt_tos == ["ann.tolliver@example.org"]
    assert b"text/calendar; method=" in envelope.content
    assert b"Auto-Submitted: auto-generated" in envelope.content
    assert f"Message-ID: <{confirmation.uuid}@harbour.example.org>".encode() in envelope.content


@pytest.mark.parametrize(
    ("answer", "state"),
    [("550 5.1.1 no such user", "dead"), ("451 4.3.0 come back later", "failed"), ("452 4.2.2 full", "failed")],
)
def test_what_the_mail_server_answers_decides_whether_it_is_tried_again(mail_server, confirmation, answer, state):
    mail_server.refusal = answer

    assert send_due(lambda: DAY_ZERO) == {state: 1}
    confirmation.refresh_from_db()
    assert confirmation.last_error.startswith(answer[:3])


def test_a_mail_server_that_is_away_is_tried_again(settings, confirmation):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 9

    assert send_due(lambda: DAY_ZERO) == {"failed": 1}


@pytest.mark.parametrize(
    ("fault", "permanent"),
    [
        (smtplib.SMTPAuthenticationError(535, b"wrong password"), False),  # ours to mend, not the patient's address
        (smtplib.SMTPSenderRefused(550, b"not you", "appointments@harbour.example.org"), False),
        (smtplib.SMTPDataError(554, b"refused"), True),
        (smtplib.SMTPServerDisconnected("gone"), False),
        (TimeoutError(), False),
    ],
)
def test_only_the_patient_s_own_address_is_given_up(monkeypatch, confirmation, fault, permanent):
    def fail(_mail):
        raise fault

    monkeypatch.setattr("django.core.mail.EmailMultiAlternatives.send", fail)

    with pytest.raises(CannotSend) as refused:
        send_email(written(confirmation))
    assert refused.value.permanent is permanent


@pytest.mark.parametrize(
    "wrong", [{"place_in_messages": "Fracture clinic, floor 2"}, {"neutral_name": "Harbour\nBcc: all@example.org"}]
)
def test_an_email_that_must_not_be_written_is_given_up_at_once_and_shown_to_a_person(confirmation, site, wrong):
    Site.objects.filter(pk=site.pk).update(**wrong)

    assert send_due(lambda: DAY_ZERO) == {"dead": 1}
    confirmation.refresh_from_db()
    assert confirmation.last_error.startswith("this e-mail cannot be written")
    assert list(messages_not_arrived(site)) == [confirmation]


def test_the_invitation_is_written_in_the_patient_s_language(monkeypatch, confirmation):
    Patient.objects.update(language="cy")
    spoken = []
    monkeypatch.setattr(
        "clinic.reminders.rendering.invitation_bytes",
        lambda invitation: spoken.append(translation.get_language()) or invitation_bytes(invitation),
    )

    send_due(lambda: DAY_ZERO)

    assert spoken == ["cy"]


@pytest.mark.parametrize("changed", [{"phone": "07700 900499"}, {"place_in_messages": "West building"}])
def test_a_second_try_sends_the_same_bytes_whatever_the_site_calls_itself_by_then(
    mail_server, confirmation, site, changed
):
    mail_server.refusal = "451 4.3.0 come back later"
    send_due(lambda: DAY_ZERO)
    confirmation.refresh_from_db()
    first_try = confirmation.ics
    mail_server.refusal = None
    Site.objects.filter(pk=site.pk).update(**changed)

    assert send_due(lambda: DAY_ZERO + timedelta(minutes=1)) == {"sent": 1}

    confirmation.refresh_from_db()
    read = email.message_from_bytes(mail_server.taken[0].content, policy=policy.default)
    (invitation,) = [part for part in read.walk() if part.get_content_type() == "text/calendar"]
    assert confirmation.ics == first_try
    assert invitation.get_payload(decode=True) == first_try.encode()
    assert invitation.get_param("method") == "REQUEST"


def test_a_reminder_carries_no_invitation(confirmation, reminder):
    assert written(confirmation).ics.startswith("BEGIN:VCALENDAR\r\n")
    assert written(reminder).ics == ""


def test_a_message_to_somebody_whose_address_was_taken_off_the_file_is_given_up(confirmation):
    Patient.objects.update(email="")

    assert send_due(lambda: DAY_ZERO) == {"dead": 1}
    confirmation.refresh_from_db()
    assert confirmation.last_error == "no address or number on file any more"


def test_the_text_gateway_gets_number_words_and_key(settings, reminder):
    with text_gateway() as gateway:
        settings.SMS_URL = gateway.url
        send_sms(written(reminder))

    assert gateway.keys == {str(reminder.uuid): 1}
    assert gateway.bodies == [{"to": "+447700900123", "text": reminder.text, "key": str(reminder.uuid)}]
    assert json.dumps(gateway.bodies)


@pytest.mark.parametrize(
    ("answer", "permanent"), [(429, False), (500, False), (503, False), (400, True), (404, True), (410, True)]
)
def test_what_the_text_gateway_answers_decides_whether_it_is_tried_again(settings, reminder, answer, permanent):
    with text_gateway() as gateway:
        gateway.answers = [answer]
        settings.SMS_URL = gateway.url
        with pytest.raises(CannotSend) as refused:
            send_sms(written(reminder))

    assert refused.value.permanent is permanent


def test_a_text_gateway_that_is_away_is_tried_again(settings, reminder):
    settings.SMS_URL = "http://127.0.0.1:9/texts"

    with pytest.raises(CannotSend) as refused:
        send_sms(written(reminder))
    assert not refused.value.permanent


def test_without_a_gateway_a_text_stays_on_the_page_of_messages(settings, reminder):
    settings.SMS_URL = ""
    OutboxMessage.objects.exclude(pk=reminder.pk).delete()

    assert send_due(lambda: reminder.due_at) == {"sent": 1}
    reminder.refresh_from_db()
    assert "appointment" in reminder.text


def test_a_real_clinic_without_a_gateway_never_counts_a_text_as_sent(settings, reminder):
    settings.SMS_URL, settings.TEXTS_LEAVE = "", False
    OutboxMessage.objects.exclude(pk=reminder.pk).delete()

    assert send_due(lambda: reminder.due_at) == {"dead": 1}


def test_a_real_clinic_without_a_gateway_reminds_by_email(settings, ann, visit, clerk, first_session):
    settings.SMS_URL, settings.TEXTS_LEAVE = "", False

    book_visit(visit("N1"), first_session, by=clerk, at=DAY_ZERO)

    assert set(OutboxMessage.objects.values_list("channel", flat=True)) == {"email"}
