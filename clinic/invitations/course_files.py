"""The invitation to one visit of a course file: no patient, no database, so nobody is asked to answer."""

from dataclasses import dataclass
from datetime import datetime
from difflib import get_close_matches

from django.utils.translation import gettext as _

from clinic.invitations.invitation import Invitation, Mailbox, Method
from clinic.invitations.revisions import new_uid
from rehab.engine.facts import Clinic
from rehab.engine.plan import Plan, PlannedVisit, VisitState
from rehab.words import in_words


class NoInvitation(Exception):
    """The plan has no such visit to invite to; the text says why, and what would be right."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What a course file does not know: who invites, to where, and whom."""

    organiser: Mailbox
    minutes: int
    place: tuple[str, ...] = ()
    phone: str = ""
    attendee: Mailbox | None = None


def invitation_to(visit: PlannedVisit, clinic: Clinic, frame: Frame, *, now: datetime) -> Invitation:
    """Make the first invitation to a visit with a place, at the clinic's appointment time.

    With an attendee it is a request. Without one it is published: a calendar takes it in and
    asks for no answer.
    """
    assert visit.placed_on is not None  # visit_to_invite_to gives only visits with a place
    return Invitation(
        uid=new_uid(),
        dtstamp=now,
        starts_at=datetime.combine(visit.placed_on, clinic.appointment_time, tzinfo=clinic.time_zone),
        minutes=frame.minutes,
        zone=str(clinic.time_zone),
        organiser=frame.organiser,
        attendee=frame.attendee,
        place=frame.place,
        phone=frame.phone,
        method=Method.REQUEST if frame.attendee else Method.PUBLISH,
    )


def visit_to_invite_to(code: str, plan: Plan) -> PlannedVisit:
    """Find the visit still to come with this code; after a missed one that is its new row.

    Raises NoInvitation when there is none to be invited to.
    """
    rows = [visit for visit in plan.visits if visit.code == code]
    if not rows:
        raise NoInvitation(_unknown(code, plan))
    waiting = [visit for visit in rows if visit.state is VisitState.PLANNED]
    if not waiting:
        raise NoInvitation(_not_waiting(rows[-1]))
    visit = waiting[-1]
    if not visit.is_real:
        raise NoInvitation(_not_to_be_booked(visit))
    if visit.placed_on is None:
        raise NoInvitation(_without_a_place(visit))
    return visit


def _unknown(code: str, plan: Plan) -> str:
    codes = list(dict.fromkeys(visit.code for visit in plan.visits))
    if not codes:
        return _("This course is outside what may be planned here, so it has no visits.")
    said = _("There is no visit “%(code)s” in this plan. It has %(codes)s.") % {"code": code, "codes": ", ".join(codes)}
    near = get_close_matches(code.upper(), codes, n=1, cutoff=0.5)
    return said + (" " + _("Did you mean “%(code)s”?") % {"code": near[0]} if near else "")


def _not_waiting(visit: PlannedVisit) -> str:
    reasons = {
        VisitState.CANCELLED: _("Visit %(code)s was cancelled, so there is nothing to invite to."),
        VisitState.ATTENDED: _("Visit %(code)s was attended, so there is nothing to invite to."),
        VisitState.MISSED: _("Visit %(code)s was missed, and no new day follows it in this plan."),
    }
    return reasons[visit.state] % {"code": visit.code}


def _not_to_be_booked(visit: PlannedVisit) -> str:
    return _("Visit %(code)s is needed only if healing takes longer, so it is not to be booked yet.") % {
        "code": visit.code
    }


def _without_a_place(visit: PlannedVisit) -> str:
    said = _(
        "Visit %(code)s has no place: there is no open day between %(earliest)s and %(latest)s, or near. "
        "A person must find one before it can be put into a calendar."
    )
    words = {"code": visit.code, "earliest": in_words(visit.earliest_on), "latest": in_words(visit.latest_on)}
    return said % words
