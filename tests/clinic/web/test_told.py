from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from clinic.reminders.models import MessageState, OutboxMessage
from tests.support import cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def told(signed_in, clerk, booked):
    return lambda: signed_in(clerk).get(reverse("episode", args=[booked.episode.uuid]))


def test_reminders_that_wait_take_one_line_and_crowd_nothing_out(told, booked):
    OutboxMessage.objects.filter(kind="confirmation").update(state=MessageState.SENT, sent_at=cast.DAY_ZERO)
    waiting = OutboxMessage.objects.filter(state=MessageState.DUE)

    answer = told()

    assert [message.kind for message in answer.context["told"].sent] == ["confirmation"]
    assert answer.context["told"].n_waiting == waiting.count() > 1
    assert f"{waiting.count()} messages to send" in answer.content.decode()


def test_what_did_not_arrive_stands_before_what_was_sent(told, booked):
    OutboxMessage.objects.filter(kind="confirmation").update(state=MessageState.SENT, sent_at=cast.DAY_ZERO)
    OutboxMessage.objects.filter(kind="first reminder").update(state=MessageState.DEAD, last_error="number not in use")

    text = told().content.decode()

    assert text.index("number not in use") < text.index("Confirmation of a visit, e-mail")


def test_the_newest_that_left_stand_first_and_the_rest_are_counted(told, booked):
    first = OutboxMessage.objects.filter(kind="confirmation").get()
    first.state, first.sent_at = MessageState.SENT, cast.DAY_ZERO
    first.save()
    for n in range(1, 9):
        first.pk, first.uuid, first.revision = None, uuid4(), n
        first._state.adding = True
        first.sent_at = cast.DAY_ZERO + timedelta(hours=n)
        first.save()

    shown = told().context["told"]

    assert [message.revision for message in shown.sent] == [8, 7, 6, 5, 4, 3]
    assert shown.n_more == 3


def test_the_number_to_ring_is_written_as_people_read_it(told):
    assert "07700\N{NO-BREAK SPACE}900123" in told().content.decode()
