"""Bookings follow the plan: who came, who did not, whose visit is no longer needed."""

from dataclasses import dataclass, field
from datetime import datetime
from uuid import uuid4

from clinic.diary.models import Booking, BookingStatus
from clinic.diary.room import give_back_room, hold_sessions
from clinic.people.models import Episode
from clinic.reminders.models import OutboxMessage
from clinic.reminders.owing import owe_cancellation
from rehab.models import PlannedVisit
from rehab.models.planned_visit import VisitRowState


@dataclass(slots=True)
class FollowedUp:
    """What became of an episode's bookings after a new plan."""

    cancelled: list[Booking] = field(default_factory=list)
    to_look_at: list[Booking] = field(default_factory=list)
    messages: list[OutboxMessage] = field(default_factory=list)


ENDED: dict[str, str] = {VisitRowState.ATTENDED: BookingStatus.ATTENDED, VisitRowState.MISSED: BookingStatus.MISSED}


def live_bookings(episode: Episode) -> list[Booking]:
    """List the episode's bookings that still hold a place. One query."""
    found = episode.bookings.filter(status=BookingStatus.BOOKED)
    return list(found.select_related("visit", "session").order_by("id"))


def follow_up(episode: Episode, *, at: datetime) -> FollowedUp:
    """Bring every live booking of an episode into line with the plan's stored rows.

    Attended and missed visits close their booking. A visit that the plan gave up loses its place
    and the patient is told. A place outside the window stays, and is shown to a person: the
    clinic decides, the program moves nobody by itself.
    """
    done = FollowedUp()
    live = live_bookings(episode)
    if given_up := [booking.session_id for booking in live if _is_given_up(booking.visit)]:
        hold_sessions(given_up)
    for booking in live:
        visit = booking.visit
        if visit.state in ENDED:
            _close(booking, ENDED[visit.state], at)
        elif _is_given_up(visit):
            done.messages += end_booking(booking, at=at)
            done.cancelled.append(booking)
        elif not may_come_on(visit, booking.session.on) and booking.accepted_by_id is None:
            done.to_look_at.append(booking)
    return done


def _is_given_up(visit: PlannedVisit) -> bool:
    """Say whether the plan holds the visit no longer, though nobody came to it or missed it."""
    return visit.state not in ENDED and (visit.state != VisitRowState.PLANNED or not visit.is_real)


def may_come_on(visit: PlannedVisit, on) -> bool:
    """Say whether a day is inside a visit's window. The deadline after a miss does not widen it (R18)."""
    return visit.earliest_on <= on <= visit.latest_on


def _close(booking: Booking, status: str, at: datetime) -> None:
    booking.status, booking.changed_at = status, at
    booking.save(update_fields=["status", "changed_at"])


def end_booking(booking: Booking, *, at: datetime) -> list[OutboxMessage]:
    """Give a booking's place back and tell the patient, unless other visits still need the attendance."""
    booking.refresh_from_db()
    heirs = list(booking.shared_by.filter(status=BookingStatus.BOOKED).order_by("id"))
    if booking.shares_with_id is None and heirs:
        _hand_over(booking, heirs)
        booking.refresh_from_db()
    elif booking.shares_with_id is None:
        give_back_room(booking.session, booking.stations)
    else:
        _need_less(booking)
    booking.sequence += 1
    booking.status, booking.changed_at = BookingStatus.CANCELLED, at
    booking.save(update_fields=["sequence", "status", "changed_at"])
    is_last = booking.shares_with_id is None and not heirs
    return owe_cancellation(booking, at=at) if is_last else []


def _need_less(ending: Booking) -> None:
    """Give back the room that only this visit of a shared attendance needed."""
    lead = Booking.objects.select_related("visit", "session").filter(shared_by=ending.pk).get()
    if lead.status != BookingStatus.BOOKED:
        return
    others = lead.shared_by.filter(status=BookingStatus.BOOKED).exclude(pk=ending.pk).select_related("visit")
    needed = {station for each in (lead, *others) for station in each.visit.stations}
    only_here = (set(ending.visit.stations) & set(lead.stations)) - needed
    if only_here:
        give_back_room(lead.session, only_here)
        Booking.objects.filter(pk=lead.pk).update(stations=sorted(set(lead.stations) - only_here))


def _hand_over(booking: Booking, heirs: list[Booking]) -> None:
    """Let the attendance live on under another visit: same place, same calendar entry, no message."""
    first, *others = heirs
    needed = {station for heir in heirs for station in heir.visit.stations}
    give_back_room(booking.session, set(booking.stations) - needed)
    calendar_uid = booking.calendar_uid
    Booking.objects.filter(pk=booking.pk).update(calendar_uid=uuid4(), stations=[])
    Booking.objects.filter(pk=first.pk).update(
        shares_with=None,
        stations=sorted(set(booking.stations) & needed),
        calendar_uid=calendar_uid,
        sequence=booking.sequence,
    )
    booking.messages.update(booking=first)  # also what was sent: it tells whether the patient knows of this entry
    Booking.objects.filter(pk__in=[other.pk for other in others]).update(shares_with=first)
