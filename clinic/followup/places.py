"""Giving a visit a place, moving it, giving it back."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils.translation import gettext as _

from clinic.diary.models import Booking, BookingStatus, Session
from clinic.diary.room import SessionFull, SessionShut, give_back_room, hold_sessions, sessions_with_room, take_room
from clinic.followup.act import Act, Outcome, begin
from clinic.followup.bookings import end_booking, may_come_on
from clinic.followup.refusals import NotBookable, NotInForce, OutsideWindow
from clinic.people.duties import require
from clinic.people.models import Episode, StaffMember
from clinic.reminders.models import OutboxMessage
from clinic.reminders.owing import owe_change, owe_confirmation
from rehab.engine.facts import Booked
from rehab.models import PlannedVisit
from rehab.models.history_entry import EntryKind
from rehab.models.planned_visit import VisitRowState
from rehab.queries import standing_entry
from rehab.services import withdraw

DAY = timedelta(days=1)


@transaction.atomic
def book_visit(
    visit: PlannedVisit,
    session: Session,
    *,
    by: StaffMember,
    accepted_by: StaffMember | None = None,
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Give a visit a place in a session, with every visit that falls on the same day of the plan.

    A day outside the window of any of them needs `accepted_by`, a named clinician (S6, R16).
    Who has an attendance on that day already comes once, at its hour: the visit joins it (R64).
    Raises NotBookable, OutsideWindow, SessionFull (it names the next free session), SessionShut.
    """
    act = begin("book_visit", _episode_of(visit), by, seen_version=seen_version, at=at)
    visits = _attendance(act, visit)
    _check_place(act, visits, session, accepted_by)
    if (held := _attendance_on(act.episode, session.on)) is not None:
        act.booking = _join(act, held, visits, accepted_by)
    else:
        act.booking = _take_place(act, visits, session, accepted_by)
        act.messages += owe_confirmation(act.booking, at=act.at)
    for each in visits:
        act.record(Booked(act.today, each.code, session.on))
    return act.finish()


def _episode_of(visit: PlannedVisit) -> Episode:
    return Episode.objects.select_related("site", "patient", "injury").get(injury=visit.injury_id)


def _attendance(act: Act, visit: PlannedVisit) -> list[PlannedVisit]:
    """List the visit and those of its day that have no place yet, the earliest target first (S7, R64)."""
    visit = PlannedVisit.objects.get(pk=visit.pk)
    if visit.state != VisitRowState.PLANNED or not visit.is_real:
        raise NotBookable(_("%(visit)s is not to be booked: the plan does not hold it now.") % {"visit": visit.title})
    if visit.bookings.filter(status=BookingStatus.BOOKED).exists():
        raise NotBookable(_("%(visit)s has a place already. Move it instead.") % {"visit": visit.title})
    if visit.placed_on is None:
        return [visit]
    same_day = act.injury.planned_visits.filter(
        state=VisitRowState.PLANNED, is_real=True, placed_on=visit.placed_on
    ).exclude(bookings__status=BookingStatus.BOOKED)
    return sorted(same_day, key=lambda each: (each.target_on, each.pk))


def _check_place(act: Act, visits: Sequence[PlannedVisit], session: Session, accepted_by: StaffMember | None) -> None:
    """Refuse another site's session, and a day outside a window that no clinician has accepted."""
    require(act.name, act.by, session.site_id)
    outside = [visit for visit in visits if not may_come_on(visit, session.on)]
    if outside and accepted_by is None:
        raise OutsideWindow(outside)
    if accepted_by is not None:
        require("accept_outside_window", accepted_by, session.site_id)


def _attendance_on(episode: Episode, on: date, *, besides: Booking | None = None) -> Booking | None:
    """Give the booking that leads the other attendance of the episode on a day; None: there is none."""
    leads = episode.bookings.filter(status=BookingStatus.BOOKED, shares_with=None, session__on=on)
    others = leads.exclude(pk=besides.pk) if besides else leads
    return others.select_related("visit", "session__site").order_by("id").first()


def _take_place(act: Act, visits: Sequence[PlannedVisit], session: Session, accepted_by: StaffMember | None) -> Booking:
    """Make an attendance: the first visit's booking holds the room, the others share it."""
    stations = _stations_of(visits)
    take_room(session, stations, until=_last_day_of(visits), now=act.at)
    first, *others = visits
    lead = _make_booking(act, first, session, accepted_by, stations=stations)
    for visit in others:
        _make_booking(act, visit, session, accepted_by, shares_with=lead)
    return lead


def _join(act: Act, held: Booking, visits: Sequence[PlannedVisit], accepted_by: StaffMember | None) -> Booking:
    """Let visits share an attendance; room is taken only at the stations where it holds none yet.

    The patient has its day and hour already, so no further invitation is owed.
    """
    stations = _stations_of(visits)
    try:
        take_room(held.session, set(stations) - set(held.stations), until=None, now=act.at)
    except SessionFull as full:  # another session of this day would join the same full one: offer a later day
        later = sessions_with_room(
            held.session.site, stations, first=held.session.on + DAY, last=_last_day_of(visits), now=act.at
        )
        raise SessionFull(full.session, full.station, later.first()) from None
    except SessionShut as shut:
        values = {"time": f"{held.session.starts:%H:%M}", "why": shut}
        raise SessionShut(_("The person has a place that day already, at %(time)s. %(why)s") % values) from None
    held.stations = sorted({*held.stations, *stations})
    held.changed_at = act.at
    held.save(update_fields=["stations", "changed_at"])
    for visit in visits:
        _make_booking(act, visit, held.session, accepted_by, shares_with=held)
    return held


def _stations_of(visits: Sequence[PlannedVisit]) -> list[str]:
    return sorted({station for visit in visits for station in visit.stations})


def _last_day_of(visits: Sequence[PlannedVisit]) -> date:
    return min(visit.latest_on for visit in visits)


def _make_booking(
    act: Act,
    visit: PlannedVisit,
    session: Session,
    accepted_by: StaffMember | None,
    *,
    stations: Sequence[str] = (),
    shares_with: Booking | None = None,
) -> Booking:
    return Booking.objects.create(
        visit=visit,
        episode=act.episode,
        session=session,
        shares_with=shares_with,
        stations=list(stations),
        accepted_by=accepted_by,
        booked_by=act.by,
        booked_at=act.at,
        changed_at=act.at,
    )


@transaction.atomic
def move_booking(
    booking: Booking,
    session: Session,
    *,
    by: StaffMember,
    accepted_by: StaffMember | None = None,
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Move an attendance to another session, with the same calendar entry at a higher sequence.

    On a day where the person has another attendance it ends in that one (R64): the old day is told as
    cancelled, and the other day's invitation stands.
    Raises NotInForce, NotBookable, OutsideWindow, SessionFull, SessionShut.
    """
    act = begin("move_booking", _episode_of(booking.visit), by, seen_version=seen_version, at=at)
    lead, riders = _held_attendance(booking)
    if lead.session_id == session.pk:
        raise NotBookable(_("The visit has its place in this session already."))
    visits = [each.visit for each in (lead, *riders)]
    _check_place(act, visits, session, accepted_by)
    held = _attendance_on(act.episode, session.on, besides=lead)
    hold_sessions([lead.session_id, held.session_id if held else session.pk])
    if held is not None:
        act.messages += _end_attendance(act, lead, riders)
        act.booking = _join(act, held, visits, accepted_by)
    else:
        _change_place(act, lead, riders, session, accepted_by)
        act.booking = lead
        act.messages += owe_change(lead, at=act.at)
    for visit in visits:
        old = standing_entry(act.injury, EntryKind.BOOKED, visit.code)
        act.record(Booked(act.today, visit.code, session.on), supersedes=old)
    return act.finish()


def _change_place(
    act: Act, lead: Booking, riders: Sequence[Booking], session: Session, accepted_by: StaffMember | None
) -> None:
    """Give the room of an attendance back and take the same room in another session."""
    give_back_room(lead.session, lead.stations)
    visits = [each.visit for each in (lead, *riders)]
    take_room(session, lead.stations, until=_last_day_of(visits), now=act.at)
    for each in (lead, *riders):
        each.session, each.accepted_by, each.changed_at = session, accepted_by, act.at
        each.sequence += 1
        each.save(update_fields=["session", "accepted_by", "changed_at", "sequence"])


def _end_attendance(act: Act, lead: Booking, riders: Sequence[Booking]) -> list[OutboxMessage]:
    """End every booking of an attendance; those that share end first, so that the last one speaks for all."""
    return [message for each in (*riders, lead) for message in end_booking(each, at=act.at)]


def _held_attendance(booking: Booking) -> tuple[Booking, list[Booking]]:
    """Read an attendance afresh, under the lock: the booking that holds the room, and those that share it."""
    related = Booking.objects.select_related("visit", "session__site", "episode__patient", "episode__site")
    held = related.get(pk=booking.pk)
    lead = related.get(pk=held.shares_with_id) if held.shares_with_id else held
    if lead.status != BookingStatus.BOOKED:
        raise NotInForce(_("This place is no longer held: %(state)s.") % {"state": lead.get_status_display()})
    return lead, list(related.filter(shares_with=lead, status=BookingStatus.BOOKED).order_by("id"))


@transaction.atomic
def cancel_booking(
    booking: Booking, *, by: StaffMember, why: str, seen_version: int | None = None, at: datetime | None = None
) -> Outcome:
    """Give an attendance's place back and tell the patient; its visits need a place again.

    Raises NotInForce.
    """
    act = begin("cancel_booking", _episode_of(booking.visit), by, seen_version=seen_version, at=at)
    lead, riders = _held_attendance(booking)
    act.messages += _end_attendance(act, lead, riders)
    for each in (*riders, lead):
        entry = standing_entry(act.injury, EntryKind.BOOKED, each.visit.code)
        if entry is not None:
            entry.injury = act.injury
            act.entry = withdraw(entry, why=why, by=by.user, at=act.at)
    act.booking = Booking.objects.select_related("session__site").get(pk=lead.pk)
    return act.finish()
