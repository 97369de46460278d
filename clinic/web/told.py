"""What the patient was told and given on paper: what failed first, then what left, then what waits."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clinic.audit.models import AccessEntry
from clinic.people.models import Episode
from clinic.reminders.models import Channel, MessageState, OutboxMessage
from clinic.web.drawings.marks import Mark
from rehab.engine.plan import Plan

PRINT_SHEET = "print_sheet"
SENT_LENGTH = 6  # messages that left, on the page of an episode
ON_THE_WAY = {MessageState.CLAIMED, MessageState.FAILED, MessageState.UNCERTAIN}


@dataclass(frozen=True, slots=True)
class Told:
    """The messages of an episode. Sent is all that is known: nobody saw one arrive."""

    failed: list[OutboxMessage]
    on_the_way: list[OutboxMessage]
    sent: list[OutboxMessage]  # the newest first
    n_sent: int
    n_waiting: int
    next_due: datetime | None  # of those that wait

    @property
    def is_empty(self) -> bool:
        """True when there never was a message that still counts."""
        return not (self.failed or self.on_the_way or self.sent or self.n_waiting)

    @property
    def n_more(self) -> int:
        """How many that left are not shown."""
        return self.n_sent - len(self.sent)


def told_of(messages: Iterable[OutboxMessage]) -> Told:
    """Sort the messages of an episode, the newest first, by what became of them."""
    found = list(messages)
    sent = [message for message in found if message.sent_at and message.state == MessageState.SENT]
    sent.sort(key=lambda message: message.sent_at or message.due_at, reverse=True)
    waiting = [message for message in found if message.state == MessageState.DUE]
    return Told(
        failed=[message for message in found if message.state == MessageState.DEAD],
        on_the_way=[message for message in found if message.state in ON_THE_WAY],
        sent=sent[:SENT_LENGTH],
        n_sent=len(sent),
        n_waiting=len(waiting),
        next_due=min((message.due_at for message in waiting), default=None),
    )


# Messages that did not arrive


@dataclass(frozen=True, slots=True)
class NotArrived:
    """What did not reach one person at one number or address."""

    episode: Episode
    what: str  # "4 text messages"
    visits: list[date]
    cause: str


def not_arrived(messages: Iterable[OutboxMessage]) -> list[NotArrived]:
    """One row a person and number, in the order of their oldest message."""
    groups: dict[tuple[int, str, str], list[OutboxMessage]] = {}
    for message in messages:
        groups.setdefault((message.episode_id, message.channel, message.to), []).append(message)
    return [_not_arrived(group) for group in groups.values()]


def _not_arrived(group: list[OutboxMessage]) -> NotArrived:
    newest, n = group[-1], len(group)
    words = ngettext("%(n)d text message", "%(n)d text messages", n)
    if newest.channel == Channel.EMAIL:
        words = ngettext("%(n)d e-mail", "%(n)d e-mails", n)
    visits = sorted({message.booking.session.on for message in group})
    return NotArrived(newest.episode, words % {"n": n}, visits, newest.last_error)


# Printed sheets


@dataclass(frozen=True, slots=True)
class PrintRow:
    """One printed sheet, and whether the stage it shows still holds."""

    entry: AccessEntry
    mark: Mark
    words: str


def print_rows(plan: Plan, entries: Iterable[AccessEntry]) -> list[PrintRow]:
    """Sheets that were printed, the newest first: one whose stage no longer holds is replaced (hazard H10)."""
    now = {"stage": plan.stage_now.stage.value, "since": plan.stage_now.since.isoformat()}
    rows = []
    for entry in entries:
        holds = now.items() <= entry.after.items()
        rows.append(PrintRow(entry, *((Mark.DONE, _("Printed")) if holds else (Mark.REPLACED, _("Replaced")))))
    return rows
