from datetime import UTC, datetime, timedelta

import pytest
from django.core import mail
from django.core.management import call_command
from django.db import transaction

from clinic.common import clock
from clinic.diary.models import Booking
from clinic.followup.services import book_visit, cancel_booking, mark_attended, move_booking
from clinic.reminders.claim import LEASE, MAX_TRIES, claim, due_ids, free_abandoned, holding
from clinic.reminders.models import MessageState, OutboxMessage
from clinic.reminders.senders.failures import CannotSend
from clinic.reminders.sending import send_due, send_if_due, wait_before_try
from tests.support.cast import DAY_ZERO, date, make_session

MINUTE = timedelta(minutes=1)
REMINDER_1 = datetime(2027, 2, 8, 10, 0, tzinfo=UTC)


def state_of(message):
    message.refresh_from_db()
    return message.state


def fixed(at):
    return lambda: at


def test_what_is_due_is_sent_once(confirmation, gateway):
    assert send_due(fixed(DAY_ZERO)) == {"sent": 1}
    assert send_due(fixed(DAY_ZERO)) == {}
    assert gateway.taken == [str(confirmation.uuid)]


def test_a_run_that_was_missed_is_made_up(reminder, gateway):
    send_due(fixed(REMINDER_1 + timedelta(days=2)))

    assert state_of(reminder) == MessageState.SENT


def test_nothing_leaves_before_its_time(reminder, gateway):
    send_due(fixed(REMINDER_1 - MINUTE))

    assert state_of(reminder) == MessageState.DUE


def test_a_message_is_claimed_by_one_only(confirmation):
    assert claim(confirmation.pk, DAY_ZERO).tries == 1
    assert claim(confirmation.pk, DAY_ZERO) is None


def test_a_sender_that_died_before_it_began_costs_the_lease_and_no_message(confirmation, gateway):
    claim(confirmation.pk, DAY_ZERO)
    assert send_due(fixed(DAY_ZERO + LEASE)) == {}

    assert send_due(fixed(DAY_ZERO + LEASE + MINUTE)) == {"sent": 1}


def test_a_sender_that_died_while_it_was_leaving_makes_it_uncertain_and_it_goes_again(confirmation, gateway):
    claimed = claim(confirmation.pk, DAY_ZERO)
    holding(claimed).update(leaving_at=DAY_ZERO)

    free_abandoned(DAY_ZERO + LEASE + MINUTE)
    assert state_of(confirmation) == MessageState.UNCERTAIN
    send_due(fixed(DAY_ZERO + LEASE + MINUTE))

    assert state_of(confirmation) == MessageState.SENT
    assert confirmation.tries == 2


def test_a_sender_that_comes_back_from_the_dead_changes_nothing(confirmation, gateway):
    late = claim(confirmation.pk, DAY_ZERO)
    send_due(fixed(DAY_ZERO + LEASE + MINUTE))

    assert holding(late).update(state=MessageState.FAILED) == 0
    assert state_of(confirmation) == MessageState.SENT


def test_a_server_that_is_down_is_tried_again_later_and_later(confirmation, gateway):
    gateway.answers = [CannotSend("mail server not reached", permanent=False)]
    send_due(fixed(DAY_ZERO))

    assert state_of(confirmation) == MessageState.FAILED
    assert confirmation.last_error == "mail server not reached"
    assert timedelta(seconds=15) <= confirmation.due_at - DAY_ZERO <= timedelta(seconds=30)
    assert send_due(fixed(DAY_ZERO)) == {}
    assert send_due(fixed(DAY_ZERO + MINUTE)) == {"sent": 1}


@pytest.mark.parametrize(
    ("number", "shortest", "longest"),
    [
        (2, timedelta(seconds=15), timedelta(seconds=30)),
        (3, timedelta(seconds=30), timedelta(minutes=1)),
        (6, timedelta(minutes=4), timedelta(minutes=8)),
        (12, timedelta(hours=3), timedelta(hours=6)),  # capped: 30 s doubled ten times would be 8.5 hours
    ],
)
def test_waits_double_up_to_six_hours_and_differ(number, shortest, longest):
    waits = {wait_before_try(number) for _ in range(50)}

    assert all(shortest <= wait <= longest for wait in waits)
    assert len(waits) > 1


def test_an_address_that_never_works_is_given_up_at_once_for_a_person_to_ring(confirmation, gateway):
    gateway.answers = [CannotSend("550 no such user", permanent=True)]

    assert send_due(fixed(DAY_ZERO)) == {"dead": 1}
    assert state_of(confirmation) == MessageState.DEAD


def test_tries_run_out(confirmation, gateway):
    at = DAY_ZERO
    for _ in range(MAX_TRIES):
        gateway.answers = [CannotSend("451 later", permanent=False)]
        OutboxMessage.objects.filter(pk=confirmation.pk).update(due_at=at)
        send_if_due(confirmation.pk, at)
    assert state_of(confirmation) == MessageState.DEAD
    assert confirmation.tries == MAX_TRIES


def test_a_message_is_given_up_when_the_next_try_would_come_after_the_visit_has_begun(reminder, gateway):
    gateway.answers = [CannotSend("429", permanent=False)]
    just_before = datetime(2027, 2, 15, 9, 29, 55, tzinfo=UTC)

    send_if_due(reminder.pk, just_before)

    assert state_of(reminder) == MessageState.DEAD


def test_a_reminder_that_could_not_leave_before_the_visit_is_shown_to_a_person(reminder, gateway):
    send_if_due(reminder.pk, datetime(2027, 2, 15, 9, 30, tzinfo=UTC))

    assert state_of(reminder) == MessageState.DEAD
    assert gateway.taken == []


def test_a_fault_of_the_program_does_not_stop_the_queue(confirmation, gateway):
    gateway.answers = [RuntimeError("a fault")]

    assert send_due(fixed(DAY_ZERO)) == {"failed": 1}
    assert state_of(confirmation) == MessageState.FAILED
    assert "RuntimeError" in confirmation.last_error


def test_only_the_new_time_is_ever_sent_after_a_move(reminder, booked, clerk, site, gateway):
    move_booking(booked, make_session(site, date(2027, 2, 17)), by=clerk, at=DAY_ZERO)

    send_due(fixed(datetime(2027, 2, 11, 10, 0, tzinfo=UTC)))

    sent = OutboxMessage.objects.filter(state=MessageState.SENT)
    assert {message.revision for message in sent} == {1}
    assert len(gateway.taken) == 2  # the confirmation of the new place and its first reminder


def test_what_was_claimed_just_before_a_cancellation_is_overtaken_as_it_leaves(booked, confirmation, clerk, gateway):
    Booking.objects.filter(pk=booked.pk).update(sequence=1, status="cancelled")

    assert send_due(fixed(DAY_ZERO)) == {"superseded": 1}
    assert gateway.taken == []


def test_a_visit_that_was_attended_early_is_not_reminded_of(booked, visit, clerk, gateway, reminder):
    mark_attended(visit("N1"), by=clerk, on=date(2027, 2, 4), at=datetime(2027, 2, 4, 12, tzinfo=UTC))

    send_due(fixed(REMINDER_1))

    assert state_of(reminder) == MessageState.SUPERSEDED


def test_every_message_ever_owed_is_in_one_state(booked, visit, clerk, site, gateway):
    gateway.answers = [CannotSend("550", permanent=True)]
    send_due(fixed(DAY_ZERO))
    move_booking(booked, make_session(site, date(2027, 2, 17)), by=clerk, at=DAY_ZERO)
    send_due(fixed(DAY_ZERO))
    cancel_booking(Booking.objects.get(), by=clerk, why="in hospital", at=DAY_ZERO)

    states = list(OutboxMessage.objects.values_list("state", flat=True))
    counts = {state: states.count(state) for state in set(states)}
    assert counts == {"dead": 1, "sent": 1, "superseded": 4, "due": 1}
    assert sum(counts.values()) == OutboxMessage.objects.count() == 7


def test_a_rolled_back_booking_leaves_no_message(ann, visit, clerk, first_session):
    def book_and_break():
        book_visit(visit("N1"), first_session, by=clerk, at=DAY_ZERO)
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        transaction.atomic(book_and_break)()

    assert OutboxMessage.objects.count() == 0
    assert Booking.objects.count() == 0


def test_due_messages_come_the_longest_overdue_first(confirmation, reminder):
    assert due_ids(REMINDER_1, at_most=10) == [confirmation.pk, reminder.pk]
    assert due_ids(REMINDER_1, at_most=1) == [confirmation.pk]


def test_the_command_sends_what_is_due_at_an_instant_and_counts_it(booked, capsys):
    call_command("send_reminders", now="2027-02-08T10:00:00Z")

    assert capsys.readouterr().out == "2 sent\n"
    assert len(mail.outbox) == 1  # the text stays on the page of messages: no gateway is set


def test_the_command_leaves_alone_what_another_sender_holds_however_far_its_instant(confirmation, gateway, capsys):
    claim(confirmation.pk, clock.now(), due_by=DAY_ZERO)

    call_command("send_reminders", now="2028-01-01T00:00:00Z")

    assert state_of(confirmation) == MessageState.CLAIMED
    assert str(confirmation.uuid) not in gateway.taken


def test_the_command_notes_when_a_message_left_by_the_clock(confirmation, gateway):
    before = clock.now()

    call_command("send_reminders", now="2027-02-03T00:00:00Z")

    assert state_of(confirmation) == MessageState.SENT
    assert before <= confirmation.sent_at <= clock.now()


def test_the_command_tries_each_message_once(confirmation, gateway, capsys):
    gateway.answers = [CannotSend("mail server not reached", permanent=False)] * 3

    call_command("send_reminders", now="2028-01-01T00:00:00Z")

    assert capsys.readouterr().out == "3 failed\n"
    assert state_of(confirmation) == MessageState.FAILED
    assert confirmation.due_at - clock.now() <= timedelta(seconds=30)


def test_the_command_with_nothing_due_says_so(booked, capsys):
    call_command("send_reminders", now="2027-02-01T10:00:00Z")

    assert capsys.readouterr().out == "nothing was due\n"
