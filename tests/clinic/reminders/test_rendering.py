from email import message_from_bytes
from email.policy import default
from pathlib import Path

import pytest
from django.conf import settings
from django.core import mail
from icalendar import Calendar

from clinic.common.neutral_words import clinical_words_in
from clinic.followup.services import cancel_booking, move_booking
from clinic.reminders.models import Channel, MessageKind, MessageState, OutboxMessage
from clinic.reminders.rendering import render
from clinic.reminders.sending import send_due
from tests.support.cast import DAY_ZERO, date, make_session

TEMPLATES = sorted((Path(settings.BASE_DIR) / "templates" / "messages").iterdir())


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_no_template_gives_away_a_clinical_matter(template):
    assert clinical_words_in(template.read_text()) == []


@pytest.mark.parametrize("kind", MessageKind.values)
@pytest.mark.parametrize("channel", Channel.values)
def test_a_message_names_day_time_place_and_telephone_and_nothing_clinical(confirmation, kind, channel):
    confirmation.kind, confirmation.channel = kind, channel

    words = render(confirmation)

    everything = " ".join([words.subject, words.text, words.html])
    assert "Monday 15 February 2027" in words.text
    assert "09:30" in words.text
    assert "07700 900412" in words.text
    assert clinical_words_in(everything) == []
    assert "{" not in everything


def test_a_text_message_is_one_line(reminder):
    words = render(reminder)

    assert "\n" not in words.text
    assert words.to == "+447700900123"


def test_an_email_says_that_nobody_reads_answers_and_what_to_ring_in_an_emergency(confirmation):
    for part in (render(confirmation).text, render(confirmation).html):
        assert "Nobody reads answers to this message. In an emergency ring 999." in part


def test_a_name_is_escaped_in_html_and_plain_in_text(confirmation):
    confirmation.episode.patient.given_name = "Ann & <b>"

    words = render(confirmation)

    assert "Dear Ann & <b>," in words.text
    assert "Dear Ann &amp; &lt;b&gt;," in words.html


def sent_email():
    send_due(lambda: DAY_ZERO)
    return message_from_bytes(mail.outbox[-1].message().as_bytes(), policy=default)


def event_of(email):
    part = next(part for part in email.walk() if part.get_content_type() == "text/calendar")
    calendar = Calendar.from_ical(part.get_content())
    return part, calendar, calendar.walk("VEVENT")[0]


def test_the_email_carries_a_stable_message_id_and_says_it_was_generated(confirmation):
    email = sent_email()

    assert email["Message-ID"] == f"<{confirmation.uuid}@harbour.example.org>"
    assert email["Auto-Submitted"] == "auto-generated"
    assert email["To"] == "ann.tolliver@example.org"
    assert email["From"] == "Harbour Clinic <appointments@harbour.example.org>"


def test_a_second_try_says_exactly_the_same(confirmation):
    first = sent_email()
    OutboxMessage.objects.filter(pk=confirmation.pk).update(state=MessageState.UNCERTAIN, due_at=DAY_ZERO)
    second = sent_email()

    assert first["Message-ID"] == second["Message-ID"]
    assert event_of(first)[0].get_content() == event_of(second)[0].get_content()


def test_the_confirmation_invites(confirmation, booked):
    part, calendar, event = event_of(sent_email())

    assert part["Content-Type"].params["method"] == calendar["METHOD"] == "REQUEST"
    assert event["UID"] == str(booked.calendar_uid)
    assert event["SEQUENCE"] == 0
    assert event["DTSTART"].dt.isoformat() == "2027-02-15T09:30:00+00:00"


def test_a_move_sends_the_same_entry_at_a_higher_sequence(booked, clerk, site):
    sent_email()
    move_booking(booked, make_session(site, date(2027, 2, 17)), by=clerk, at=DAY_ZERO)

    _, calendar, event = event_of(sent_email())

    assert calendar["METHOD"] == "REQUEST"
    assert (event["UID"], event["SEQUENCE"]) == (str(booked.calendar_uid), 1)
    assert event["DTSTART"].dt.isoformat() == "2027-02-17T09:30:00+00:00"


def test_a_cancellation_takes_the_entry_out(booked, clerk):
    sent_email()
    cancel_booking(booked, by=clerk, why="in hospital", at=DAY_ZERO)

    _, calendar, event = event_of(sent_email())

    assert (calendar["METHOD"], event["STATUS"]) == ("CANCEL", "CANCELLED")
    assert (event["UID"], event["SEQUENCE"]) == (str(booked.calendar_uid), 1)
