"""Sending one claimed message: ask whether it still stands, write it, let it go, and note how it ended."""

import logging
from collections.abc import Callable, Mapping
from dataclasses import asdict
from datetime import datetime, timedelta
from random import SystemRandom

from django.utils.translation import gettext as _

from clinic.diary.calendar import starts_at
from clinic.diary.models import BookingStatus
from clinic.invitations.invitation import InvitationFaults
from clinic.reminders.claim import MAX_TRIES, Claim, claim, due_ids, free_abandoned, holding
from clinic.reminders.models import Channel, MessageKind, MessageState, OutboxMessage
from clinic.reminders.rendering import Words, render
from clinic.reminders.senders.email import send_email
from clinic.reminders.senders.failures import CannotSend
from clinic.reminders.senders.sms import send_sms

log = logging.getLogger(__name__)

Senders = Mapping[Channel, Callable[[OutboxMessage], None]]
SENDERS: Senders = {Channel.EMAIL: send_email, Channel.SMS: send_sms}
FIRST_WAIT, LONGEST_WAIT = timedelta(seconds=30), timedelta(hours=6)


def send_due(
    clock: Callable[[], datetime],
    *,
    due_by: datetime | None = None,
    at_most: int | None = 100,
    is_stopping: Callable[[], bool] = lambda: False,
) -> dict[str, int]:
    """Send what is due, and count how each message ended. What a dead sender held is freed first.

    `clock` is asked before each message: a slow mail server must not eat into the next one's lease.
    So is `is_stopping`: whoever is told to stop finishes the message in hand and claims no other.
    `due_by` asks for what is due at another instant; leases, tries and what is written down keep to the clock.
    """
    free_abandoned(clock())
    counts: dict[str, int] = {}
    for pk in due_ids(due_by or clock(), at_most=at_most):
        if is_stopping():
            break
        if state := send_if_due(pk, clock(), due_by=due_by):
            counts[state] = counts.get(state, 0) + 1
    return counts


def send_if_due(pk: int, now: datetime, *, due_by: datetime | None = None, senders: Senders = SENDERS) -> str | None:
    """Claim and send one message; give the state it ended in, or None when it was not ours to send.

    `senders` hand a message over, by channel; the demo keeps the post of its past by senders of its own.
    """
    claimed = claim(pk, now, due_by=due_by)
    if claimed is None:
        return None
    message = OutboxMessage.objects.select_related(
        "site", "booking__session__site", "booking__visit", "episode__patient", "episode__site"
    ).get(pk=pk)
    state = _send(message, claimed, now, senders)
    log.info("message %s ended %s at try %s", message.uuid, state, claimed.tries)
    return state


def _send(message: OutboxMessage, claimed: Claim, now: datetime, senders: Senders) -> str:
    if not still_stands(message):
        return _finish(claimed, MessageState.SUPERSEDED)
    if _has_begun(message, now):
        return _finish(claimed, MessageState.DEAD, last_error=_("the visit began before this could be sent"))
    try:
        _write(message, claimed)
        if not holding(claimed).update(leaving_at=now):
            return MessageState.CLAIMED  # somebody else holds it now: leave it to them
        senders[Channel(message.channel)](message)
    except CannotSend as failure:
        return _put_off(message, claimed, now, str(failure), permanent=failure.permanent)
    except Exception as fault:
        # A fault of ours must not stop the queue; it is tried again and, at the end, shown to a person.
        log.exception("message %s could not be sent", message.uuid)
        why = _("fault in the program: %(name)s") % {"name": type(fault).__name__}
        return _put_off(message, claimed, now, why, permanent=False)
    return _finish(claimed, MessageState.SENT, sent_at=now, last_error="")


def still_stands(message: OutboxMessage) -> bool:
    """Say whether the booking is still what the message tells of."""
    booking = message.booking
    wanted = BookingStatus.CANCELLED if message.kind == MessageKind.CANCELLATION else BookingStatus.BOOKED
    return booking.status == wanted and booking.sequence == message.revision


def _has_begun(message: OutboxMessage, now: datetime) -> bool:
    return starts_at(message.booking.session) <= now


def _write(message: OutboxMessage, claimed: Claim) -> None:
    """Write the words and the invitation at the first try and keep them: every further try says the same.

    Raises CannotSend.
    """
    if message.text:
        return
    words = _words_of(message)
    if not words.to:
        raise CannotSend(_("no address or number on file any more"), permanent=True)
    for name, value in (kept := asdict(words)).items():
        setattr(message, name, value)
    holding(claimed).update(**kept)


def _words_of(message: OutboxMessage) -> Words:
    try:
        return render(message)
    except InvitationFaults as faulty:  # an invitation that no further try makes right: a person must look
        raise CannotSend(_("this e-mail cannot be written: %(why)s") % {"why": faulty}, permanent=True) from faulty


def _put_off(message: OutboxMessage, claimed: Claim, now: datetime, why: str, *, permanent: bool) -> str:
    due_at = now + wait_before_try(claimed.tries + 1)
    too_late = due_at >= starts_at(message.booking.session)
    if permanent or too_late or claimed.tries >= MAX_TRIES:
        return _finish(claimed, MessageState.DEAD, last_error=why[:300])
    return _finish(claimed, MessageState.FAILED, due_at=due_at, last_error=why[:300])


def wait_before_try(number: int) -> timedelta:
    """Give the wait before a try: doubled each time up to six hours, and never the same for a whole queue."""
    longest = min(LONGEST_WAIT, FIRST_WAIT * 2 ** (number - 2))
    return longest * SystemRandom().uniform(0.5, 1)


def _finish(claimed: Claim, state: MessageState, **fields) -> str:
    """End this try; a sender whose claim was taken over in the meantime changes nothing."""
    holding(claimed).update(state=state, lease_until=None, **fields)
    return state.value
