"""From one revision of an invitation to the next (RFC 5546 sections 2.1.4 and 2.1.5)."""

from dataclasses import replace
from datetime import datetime, timedelta
from uuid import uuid4

from clinic.invitations.invitation import Invitation, Mailbox, Method, Status

CHANGEABLE = {"starts_at", "minutes", "status", "zone", "summary", "place", "phone", "organiser", "attendee"}


def new_uid() -> str:
    """Give a UID for a new booking: a random UUID and nothing else (RFC 7986 section 5.3)."""
    return str(uuid4())


def revise(previous: Invitation, *, now: datetime, is_far_away: bool = False, **changes) -> Invitation:
    """Give the next revision, or `previous` itself when nothing has changed.

    A new time, length or firmness raises the sequence, so that an earlier answer no
    longer counts; a new wording or room keeps it. A new place that puts
    the answer in doubt (`is_far_away`) raises it as well. `dtstamp` is always later
    than the one before, even when two revisions fall into the same second.

    After a cancellation the same visit comes back under a new UID: a calendar that has
    deleted the old one would not take it in again.
    """
    if unknown := changes.keys() - CHANGEABLE:
        raise TypeError(f"revise() cannot change {', '.join(sorted(unknown))}")
    if changes.get("status") is Status.CANCELLED:
        raise ValueError("To cancel, use cancel(): it changes the method as well.")
    if previous.status is Status.CANCELLED:
        return _booked_again(previous, now, changes)
    method = _method_for(changes.get("attendee", previous.attendee))
    stamped = replace(previous, **changes, method=method, dtstamp=_later(previous.dtstamp, now))
    if not is_far_away and _same_but_for_the_stamp(previous, stamped):
        return previous
    raised = is_far_away or _schedule(previous) != _schedule(stamped)
    return replace(stamped, sequence=previous.sequence + raised)


def cancel(previous: Invitation, *, now: datetime) -> Invitation:
    """Give the revision that takes the visit out of the calendar; cancelling twice changes nothing."""
    if previous.status is Status.CANCELLED:
        return previous
    return replace(
        previous,
        method=Method.CANCEL,
        status=Status.CANCELLED,
        sequence=previous.sequence + 1,
        dtstamp=_later(previous.dtstamp, now),
    )


def _booked_again(cancelled: Invitation, now: datetime, changes: dict) -> Invitation:
    first = {
        "uid": new_uid(),
        "sequence": 0,
        "dtstamp": _later(cancelled.dtstamp, now),
        "method": _method_for(changes.get("attendee", cancelled.attendee)),
        "status": Status.CONFIRMED,
    }
    return replace(cancelled, **(first | changes))


def _method_for(attendee: Mailbox | None) -> Method:
    return Method.PUBLISH if attendee is None else Method.REQUEST


def _schedule(invitation: Invitation) -> tuple:
    """Give what an answer was given for: the same moment in another zone is no move."""
    return invitation.instants or invitation.starts_at, invitation.status


def _same_but_for_the_stamp(one: Invitation, other: Invitation) -> bool:
    return one == replace(other, dtstamp=one.dtstamp) and _schedule(one) == _schedule(other)


def _later(previous: datetime, now: datetime) -> datetime:
    """Give `now`, but at least the next whole second: DTSTAMP is written in whole seconds."""
    return max(now, previous + timedelta(seconds=1))
