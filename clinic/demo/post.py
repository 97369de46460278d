"""The post of the past: messages that fell due before today are delivered to the demo's own outbox.

They go through the same claim, the same question whether they still stand and the same words as
real ones; only the last step differs: nothing leaves this machine.
"""

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

from clinic.people.models import Episode
from clinic.reminders.claim import WAITING
from clinic.reminders.models import Channel, OutboxMessage
from clinic.reminders.senders.failures import CannotSend
from clinic.reminders.sending import Senders, send_if_due


def _keep(_message: OutboxMessage) -> None:
    """Deliver a message by keeping it: the row with its words is the demo's outbox."""


def _number_not_in_use(_message: OutboxMessage) -> None:
    raise CannotSend("number not in use", permanent=True)


DELIVERED: Senders = {Channel.EMAIL: _keep, Channel.SMS: _keep}
NO_TEXTS: Senders = {Channel.EMAIL: _keep, Channel.SMS: _number_not_in_use}


def deliver_past(episode: Episode, until: datetime, *, texts_arrive: bool) -> int:
    """Deliver what fell due for an episode up to an instant, each at its own time; say how many messages ended."""
    due = OutboxMessage.objects.filter(episode=episode, state__in=WAITING, due_at__lte=until)
    senders = DELIVERED if texts_arrive else NO_TEXTS
    found = list(due.order_by("due_at", "id").values_list("pk", "due_at"))
    return sum(send_if_due(pk, due_at, senders=senders) is not None for pk, due_at in found)


@contextmanager
def quiet_post() -> Iterator[None]:
    """Keep hundreds of lines about old messages out of the log while the demo is loaded."""
    log = logging.getLogger("clinic.reminders.sending")
    level = log.level
    log.setLevel(logging.WARNING)
    try:
        yield
    finally:
        log.setLevel(level)
