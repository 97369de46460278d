"""What an answer from a patient's calendar means (RFC 5546 sections 2.1.5, 3.2.3 and 3.2.7).

Nothing here changes a booking. A refusal, a counter-proposal, a remark, and everything
we cannot read or do not trust, goes to a person.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from typing import Any

from icalendar import Calendar

from clinic.invitations.invitation import Invitation

Component = Any  # icalendar types a property as a union of some thirty kinds
MOST_OCTETS = 100_000  # a real answer has one or two thousand


class Part(StrEnum):
    """What somebody answered (RFC 5545 section 3.2.12)."""

    ACCEPTED = "ACCEPTED"
    DECLINED = "DECLINED"
    TENTATIVE = "TENTATIVE"


class Verdict(StrEnum):
    """What to do with the message."""

    TAKEN = "taken"  # record the answer
    STALE = "stale"  # a newer revision or a newer answer is known: change nothing
    REVIEW = "review"  # a person must look; change nothing


class Why(StrEnum):
    """Why a message is stale or needs a person."""

    UNREADABLE = "unreadable"
    NOT_AN_ANSWER = "not an answer"
    COUNTER_PROPOSAL = "counter-proposal"
    OTHER_APPOINTMENT = "other appointment"
    OTHER_PERSON = "other person"
    OTHER_SENDER = "other sender"
    UNKNOWN_REVISION = "revision never sent"
    UNKNOWN_ANSWER = "unknown answer"
    OLD_REVISION = "old revision"
    OLD_ANSWER = "old answer"


@dataclass(frozen=True, slots=True)
class Answer:
    """What one person answered, to which revision, and when."""

    part: Part
    sequence: int
    dtstamp: datetime
    comment: str = ""

    @property
    def needs_a_person(self) -> bool:
        """Say whether the clerk must act: a refusal never frees the place by itself, a remark may be a symptom."""
        return self.part is not Part.ACCEPTED or bool(self.comment)


@dataclass(frozen=True, slots=True)
class ReplyOutcome:
    """The verdict; with the answer when it is taken, and with the reason when it is not."""

    verdict: Verdict
    answer: Answer | None = None
    why: Why | None = None
    proposed_start: datetime | None = None  # of a counter-proposal


def accept_reply(data: bytes, *, invitation: Invitation, sender: str, last: Answer | None = None) -> ReplyOutcome:
    """Judge one inbound calendar message; never raises, whatever the bytes are.

    `invitation` is the newest revision sent, `sender` the address of the mail, `last`
    the newest answer taken so far. The order of arrival does not matter:
    of two answers to the same revision the one with the later DTSTAMP wins.
    """
    try:
        method, event = _read(data)
        return _judge(method, event, invitation, sender, last)
    except Exception:  # anyone may send anything: whatever cannot be read goes to a person
        return _review(Why.UNREADABLE)


def _judge(method: str, event: Component, invitation: Invitation, sender: str, last: Answer | None) -> ReplyOutcome:
    if why := _mistrust(method, event, invitation, sender):
        return _review(why)
    if method == "COUNTER":
        start = event.decoded("DTSTART", None)
        return ReplyOutcome(Verdict.REVIEW, why=Why.COUNTER_PROPOSAL, proposed_start=start)
    sequence, dtstamp = int(event.get("SEQUENCE", 0)), _utc(event.decoded("DTSTAMP"))
    if sequence > invitation.sequence:
        return _review(Why.UNKNOWN_REVISION)
    if sequence < invitation.sequence:
        return ReplyOutcome(Verdict.STALE, why=Why.OLD_REVISION)
    if last and (last.sequence, last.dtstamp) >= (sequence, dtstamp):
        return ReplyOutcome(Verdict.STALE, why=Why.OLD_ANSWER)
    part = str(event["ATTENDEE"].params.get("PARTSTAT", "")).upper()
    if part not in list(Part):
        return _review(Why.UNKNOWN_ANSWER)
    return ReplyOutcome(Verdict.TAKEN, Answer(Part(part), sequence, dtstamp, str(event.get("COMMENT", "")).strip()))


def _mistrust(method: str, event: Component, invitation: Invitation, sender: str) -> Why | None:
    """Say why the message must not be believed (RFC 6047 section 3), or None."""
    if method not in ("REPLY", "COUNTER"):
        return Why.NOT_AN_ANSWER
    if str(event.get("UID", "")) != invitation.uid or "RECURRENCE-ID" in event:
        return Why.OTHER_APPOINTMENT
    asked = _plain(invitation.attendee.address) if invitation.attendee else None
    attendee = event.get("ATTENDEE")
    if isinstance(attendee, list) or attendee is None or _plain(str(attendee)) != asked:
        return Why.OTHER_PERSON
    return Why.OTHER_SENDER if _plain(sender) != asked else None


def _read(data: bytes) -> tuple[str, Component]:
    """Give the method and the one event; raises ValueError where that cannot be done without guessing."""
    if len(data) > MOST_OCTETS:
        raise ValueError("too large for an answer")
    calendar = Calendar.from_ical(data)
    events = calendar.walk("VEVENT")
    if len(events) != 1 or any(component.errors for component in calendar.walk()):
        raise ValueError("not one faultless event")
    return str(calendar.get("METHOD", "")).upper(), events[0]


def _utc(stamp: datetime) -> datetime:
    if not isinstance(stamp, datetime) or stamp.tzinfo is None:
        raise ValueError("DTSTAMP is not in UTC")
    return stamp.astimezone(UTC)


def _plain(address: str) -> str:
    """Bring an address into the form in which two are compared: no mailto:, no case."""
    return address.strip().casefold().removeprefix("mailto:").strip()


def _review(why: Why) -> ReplyOutcome:
    return ReplyOutcome(Verdict.REVIEW, why=why)
