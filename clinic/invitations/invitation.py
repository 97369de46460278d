"""What one invitation says: a frozen value, checked when made."""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.utils.translation import gettext as _

from clinic.common.neutral_words import clinical_words_in

_ADDRESS = re.compile(r"[^\s@<>\"\x00-\x1f\x7f]+@[^\s@<>\"\x00-\x1f\x7f]+")


class Method(StrEnum):
    """What the receiving calendar shall do (RFC 5546 section 3.2)."""

    REQUEST = "REQUEST"  # put it in, and answer
    CANCEL = "CANCEL"  # take it out
    PUBLISH = "PUBLISH"  # put it in; nobody is asked to answer


class Status(StrEnum):
    """How firm the appointment is (RFC 5545 section 3.8.1.11)."""

    TENTATIVE = "TENTATIVE"  # a held place
    CONFIRMED = "CONFIRMED"
    CANCELLED = "CANCELLED"


class InvitationFaults(ValueError):
    """An invitation that must not be written; `faults` names everything that is wrong."""

    def __init__(self, faults: list[str]):
        super().__init__(" ".join(faults))
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Mailbox:
    """A name and an e-mail address."""

    name: str
    address: str


def neutral_summary() -> str:
    """Say what every calendar may show."""
    return _("Clinic appointment")


@dataclass(frozen=True, slots=True, kw_only=True)
class Invitation:
    """One revision of the invitation to one visit.

    `uid` stays the same for as long as the visit is booked. `starts_at` is an aware
    moment, or a plain date for a note that fills a whole day; `zone` is the IANA name of
    the clinic's zone, whose wall time the calendar shows. Nothing clinical may
    stand in it: the constructor refuses such words, so they cannot be sent by mistake.
    """

    uid: str
    dtstamp: datetime
    starts_at: datetime | date
    zone: str
    organiser: Mailbox
    minutes: int | None = None
    attendee: Mailbox | None = None
    place: tuple[str, ...] = ()
    phone: str = ""
    summary: str = ""
    sequence: int = 0
    method: Method = Method.REQUEST
    status: Status = Status.CONFIRMED

    def __post_init__(self):
        if not self.summary:
            object.__setattr__(self, "summary", neutral_summary())
        if faults := [*_time_faults(self), *_party_faults(self), *_wording_faults(self)]:
            raise InvitationFaults(faults)

    @property
    def instants(self) -> tuple[datetime, datetime] | None:
        """Give start and end in UTC, or None for a note that fills a whole day. The end is not part of the visit."""
        if not isinstance(self.starts_at, datetime):
            return None
        start = self.starts_at.astimezone(UTC)
        return start, start + timedelta(minutes=self.minutes or 0)

    @property
    def description(self) -> str:
        """Point to the letter and the telephone, and say nothing else."""
        lines = [_("See your letter for what to bring.")]
        if self.phone:
            lines.append(_("Cannot come? Ring us on %(phone)s.") % {"phone": self.phone})
        return "\n".join(lines)


def _time_faults(invitation: Invitation) -> list[str]:
    """Name what is wrong with the times."""
    faults = []
    if not invitation.uid.strip():
        faults.append(_("An invitation needs a UID: use new_uid() for a new booking."))
    if invitation.dtstamp.tzinfo is None:
        faults.append(_("The time of the revision (dtstamp) needs a time zone."))
    if invitation.sequence < 0:
        faults.append(_("The sequence starts at 0 and only rises; %(n)s is below 0.") % {"n": invitation.sequence})
    try:
        ZoneInfo(invitation.zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        faults.append(
            _("“%(zone)s” is not a time zone; a name such as Europe/London is needed.") % {"zone": invitation.zone}
        )
    if not isinstance(invitation.starts_at, datetime):
        if invitation.minutes is not None:
            faults.append(_("A note for a whole day has no minutes."))
        return faults
    if invitation.starts_at.tzinfo is None:
        faults.append(_("The start needs a time zone, or the calendar would guess one."))
    if not isinstance(invitation.minutes, int) or invitation.minutes < 1:
        faults.append(_("An appointment lasts at least 1 minute; %(n)s was given.") % {"n": invitation.minutes})
    return faults


def _party_faults(invitation: Invitation) -> list[str]:
    """Name what is wrong with who invites whom (RFC 5546 sections 3.2.1, 3.2.2 and 3.2.5)."""
    faults = []
    for role, box in ((_("organiser"), invitation.organiser), (_("attendee"), invitation.attendee)):
        if box is not None and not _ADDRESS.fullmatch(box.address):
            faults.append(
                _("The %(role)s's address “%(address)s” is not an e-mail address.")
                % {"role": role, "address": box.address}
            )
    if invitation.method is Method.REQUEST and invitation.attendee is None:
        faults.append(_("A request needs somebody to ask: give the attendee, or publish instead."))
    if invitation.method is Method.PUBLISH and invitation.attendee is not None:
        faults.append(_("A published appointment names no attendee: send a request instead."))
    if (invitation.method is Method.CANCEL) != (invitation.status is Status.CANCELLED):
        faults.append(_("Method CANCEL and status CANCELLED go together."))
    return faults


def _wording_faults(invitation: Invitation) -> list[str]:
    """Name clinical words in what strangers may read. The attendee's own name is left alone."""
    shown = {
        _("title"): invitation.summary,
        _("place"): "\n".join(invitation.place),
        _("telephone"): invitation.phone,
        _("organiser"): f"{invitation.organiser.name} {invitation.organiser.address}",
        _("UID"): invitation.uid,
    }
    return [
        _("The %(where)s says “%(words)s”; a calendar may be seen by others, so use a neutral wording.")
        % {"where": where, "words": "”, “".join(words)}
        for where, text in shown.items()
        if (words := clinical_words_in(text))
    ]
