"""Claiming messages: nobody sends what another is sending, and nothing stays behind when a sender dies."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import F, Q
from django.utils.translation import gettext as _

from clinic.reminders.models import MessageState, OutboxMessage

LEASE = timedelta(minutes=5)  # well above the longest a send may take: 20 s to reach a server, 240 s for a task
MAX_TRIES = 12

WAITING = (MessageState.DUE, MessageState.FAILED, MessageState.UNCERTAIN)


@dataclass(frozen=True, slots=True)
class Claim:
    """A message that is ours to send, for this try and no other."""

    pk: int
    tries: int


def due_ids(due_by: datetime, *, at_most: int | None) -> list[int]:
    """List what is due, the longest overdue first. Due means at or before the instant: a run missed is made up."""
    due = OutboxMessage.objects.filter(state__in=WAITING, due_at__lte=due_by).order_by("due_at", "id")
    return list(due.values_list("pk", flat=True)[:at_most])


def claim(pk: int, now: datetime, *, due_by: datetime | None = None) -> Claim | None:
    """Take one message if it is due and nobody holds it: one conditional update, on every database.

    `due_by` (default: now) may run ahead of the clock; the lease runs from now in any case.
    """
    due = OutboxMessage.objects.filter(pk=pk, state__in=WAITING, due_at__lte=due_by or now)
    taken = due.update(state=MessageState.CLAIMED, lease_until=now + LEASE, tries=F("tries") + 1, leaving_at=None)
    if not taken:
        return None
    tries = OutboxMessage.objects.values_list("tries", flat=True).get(pk=pk)
    return Claim(pk, tries)


def holding(claimed: Claim):
    """The message as a query that is empty once the claim was lost: whoever comes too late changes nothing."""
    return OutboxMessage.objects.filter(pk=claimed.pk, state=MessageState.CLAIMED, tries=claimed.tries)


def free_abandoned(now: datetime) -> int:
    """Free what a dead sender held: not yet handed over, it is due again; else it may have left.

    An uncertain message is sent again with the same Message-ID or key: better twice than never.
    """
    left_behind = OutboxMessage.objects.filter(state=MessageState.CLAIMED, lease_until__lt=now)
    if not left_behind.exists():
        return 0
    tired = Q(tries__gte=MAX_TRIES)
    given_up = left_behind.filter(tired).update(state=MessageState.DEAD, last_error=_("the sender stopped every time"))
    unsure = left_behind.filter(leaving_at__isnull=False)
    uncertain = unsure.update(
        state=MessageState.UNCERTAIN, due_at=now, last_error=_("the sender stopped while it was leaving")
    )
    again = left_behind.update(state=MessageState.FAILED, due_at=now, last_error=_("the sender stopped"))
    return given_up + uncertain + again
