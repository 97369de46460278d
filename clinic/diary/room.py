"""The room in a session: taken and given back, never beyond what there is."""

from collections.abc import Iterable
from datetime import date, datetime

from django.db.models import Count, F, Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from clinic.diary.calendar import starts_at
from clinic.diary.models import Session, SessionRoom, SessionStatus, Station
from clinic.people.models import Site


class SessionFull(Exception):
    """A station of the session has no room left. `next_free` is the next session that has, or None."""

    def __init__(self, session: Session, station: str, next_free: Session | None) -> None:
        self.session, self.station, self.next_free = session, station, next_free
        super().__init__(f"{_taken(session, station)} {_offer(next_free)}")


class SessionShut(Exception):
    """The session is called off, or has begun already."""


def _taken(session: Session, station: str) -> str:
    values = {"day": date_format(session.on, "l j F"), "station": Station(station).label}
    return _("%(day)s has no room left for %(station)s.") % values


def _offer(next_free: Session | None) -> str:
    if next_free is None:
        return _("No later session inside the window has room. Ask a clinician.")
    return _("%(day)s at %(time)s is free.") % {
        "day": date_format(next_free.on, "l j F Y"),
        "time": f"{next_free.starts:%H:%M}",
    }


def take_room(session: Session, stations: Iterable[str], *, until: date | None, now: datetime) -> None:
    """Take one place at each station, or none at all. Call it inside a transaction that a refusal rolls back.

    Each station is one conditional update: it counts up only where there is room, whoever else
    presses at the same moment. `until` is the last day that a session may be offered instead.
    Raises SessionFull and SessionShut.
    """
    wanted = sorted(set(stations))
    _hold_open(session, now)
    for station in wanted:
        free = SessionRoom.objects.filter(session=session, station=station, taken__lt=F("room_for"))
        if free.update(taken=F("taken") + 1) != 1:
            raise SessionFull(session, station, next_free(session, wanted, until=until, now=now))


def _hold_open(session: Session, now: datetime) -> None:
    """Hold the session, so that nobody calls it off under our hands, and see that it is still to come."""
    held = Session.objects.select_for_update(no_key=True, of=("self",)).select_related("site").get(pk=session.pk)
    if held.status != SessionStatus.OPEN:
        raise SessionShut(_("This session was called off."))
    if starts_at(held) <= now:
        raise SessionShut(_("This session has begun already."))


def hold_sessions(sessions: Iterable[int]) -> None:
    """Hold several sessions, always in the same order: two acts that touch the same ones take turns."""
    held = Session.objects.select_for_update(no_key=True).filter(pk__in=set(sessions)).order_by("pk")
    list(held.values_list("pk"))


def give_back_room(session: Session, stations: Iterable[str]) -> None:
    """Give one place back at each station, in the order in which they are taken: nobody waits in a ring."""
    for station in sorted(set(stations)):
        SessionRoom.objects.filter(session=session, station=station, taken__gt=0).update(taken=F("taken") - 1)


def sessions_with_room(site: Site, stations: Iterable[str], *, first: date, last: date, now: datetime):
    """List the open sessions between two days (both included) still to come that have room at every station.

    Costs two queries.
    """
    wanted = set(stations)
    free = Count("rooms", filter=Q(rooms__station__in=wanted, rooms__taken__lt=F("rooms__room_for")), distinct=True)
    found = Session.objects.filter(site=site, status=SessionStatus.OPEN, on__range=(first, last))
    local = now.astimezone(site.zone)
    to_come = Q(on__gt=local.date()) | Q(on=local.date(), starts__gt=local.time())
    found = found.filter(to_come).annotate(n_free=free).filter(n_free=len(wanted))
    return found.prefetch_related("rooms").select_related("site").order_by("on", "starts", "id")


def next_free(session: Session, stations: Iterable[str], *, until: date | None, now: datetime) -> Session | None:
    """Give the next session after this one that has room at every station, not later than `until`."""
    last = until or date.max
    later = sessions_with_room(session.site, stations, first=session.on, last=last, now=now)
    after = Q(on__gt=session.on) | Q(on=session.on, starts__gt=session.starts)
    return later.filter(after).first()
