"""Why a message did not leave is read at the front desk, so it is written in the clinic's language."""

from datetime import timedelta

import pytest

from clinic.people.models import Patient, Site
from clinic.reminders.claim import LEASE, claim, free_abandoned
from clinic.reminders.models import OutboxMessage
from clinic.reminders.sending import send_if_due
from tests.support.cast import DAY_ZERO, datetime

MODULES = ("claim", "sending", "senders.email", "senders.sms")


@pytest.fixture(autouse=True)
def another_language(monkeypatch):
    """A language in which every sentence is the English one between two marks."""
    for module in MODULES:
        monkeypatch.setattr(f"clinic.reminders.{module}._", lambda text: f"«{text}»")


def cause(message):
    message.refresh_from_db()
    return message.last_error


def test_a_visit_that_has_begun_is_told_in_the_clinic_s_language(reminder):
    send_if_due(reminder.pk, datetime.combine(reminder.booking.session.on, DAY_ZERO.timetz()))

    assert cause(reminder) == "«the visit began before this could be sent»"


def test_an_address_taken_off_the_file_is_told_in_the_clinic_s_language(confirmation):
    Patient.objects.update(email="")

    send_if_due(confirmation.pk, DAY_ZERO)

    assert cause(confirmation) == "«no address or number on file any more»"


@pytest.mark.parametrize("wrong", [{"place_in_messages": "Fracture clinic"}, {"neutral_name": "A\nB"}])
def test_an_email_that_cannot_be_written_is_told_in_the_clinic_s_language(confirmation, site, wrong):
    Site.objects.filter(pk=site.pk).update(**wrong)

    send_if_due(confirmation.pk, DAY_ZERO)

    assert cause(confirmation).startswith("«this e-mail cannot be written: ")


def test_a_fault_of_the_program_is_told_in_the_clinic_s_language(confirmation, gateway):
    gateway.answers = [RuntimeError("a fault")]

    send_if_due(confirmation.pk, DAY_ZERO)

    assert cause(confirmation) == "«fault in the program: RuntimeError»"


def test_a_mail_server_that_is_away_is_told_in_the_clinic_s_language(settings, confirmation):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 9

    send_if_due(confirmation.pk, DAY_ZERO)

    assert cause(confirmation) == "«mail server not reached: ConnectionRefusedError»"


@pytest.mark.parametrize(
    ("address", "words"),
    [("", "«no text gateway is set: SMS_URL»"), ("http://127.0.0.1:9/texts", "«text gateway not reached: URLError»")],
)
def test_a_missing_gateway_is_told_in_the_clinic_s_language(settings, reminder, address, words):
    settings.SMS_URL, settings.TEXTS_LEAVE = address, False

    send_if_due(reminder.pk, reminder.due_at)

    assert cause(reminder) == words


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({}, "«the sender stopped»"),
        ({"leaving_at": DAY_ZERO}, "«the sender stopped while it was leaving»"),
        ({"tries": 12}, "«the sender stopped every time»"),
    ],
)
def test_a_sender_that_stopped_is_told_in_the_clinic_s_language(confirmation, fields, words):
    claim(confirmation.pk, DAY_ZERO)
    OutboxMessage.objects.filter(pk=confirmation.pk).update(**fields)

    free_abandoned(DAY_ZERO + LEASE + timedelta(minutes=1))

    assert cause(confirmation) == words
