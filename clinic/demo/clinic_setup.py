"""Putting the invented clinic on file: site, holidays, closed days, staff, and sessions with room."""

from datetime import date, timedelta
from importlib.metadata import version

from django.contrib.auth import get_user_model
from django.contrib.auth.hashers import make_password

from clinic.demo.clinic_file import DemoClinic, DemoStaff
from clinic.diary.calendar import clinic_days_of, freeze_holidays
from clinic.diary.models import ClosedDay, Session, SessionRoom
from clinic.people.models import WEEKDAYS, Role, Site, StaffMember

DAY = timedelta(days=1)
MONTH = timedelta(days=365) / 12
SOON = timedelta(weeks=4)
HOLIDAY_YEARS_PAST, HOLIDAY_YEARS_AHEAD = 3, 6


class Staff:
    """Who does what: the stories' acts are shared out among those whose duty they are."""

    def __init__(self, members: list[StaffMember]) -> None:
        self._by_role = {role: [each for each in members if each.role == role] for role in Role.values}

    def of(self, role: Role, turn: int) -> StaffMember:
        """Give the member of a role whose turn it is."""
        members = self._by_role[role]
        return members[turn % len(members)]


def put_clinic_on_file(clinic: DemoClinic, today: date) -> tuple[Site, Staff]:
    """Make the site with its holidays and closed days, its staff, and its sessions."""
    site = Site(**clinic.site)
    site.full_clean()
    site.save()
    source = f"holidays {version('holidays')}"
    freeze_holidays(site, today.year - HOLIDAY_YEARS_PAST, today.year + HOLIDAY_YEARS_AHEAD, source=source)
    ClosedDay.objects.bulk_create(
        ClosedDay(site=site, on=closed.on(today), name=closed.name, source="the clinic") for closed in clinic.closed
    )
    password = make_password(clinic.password)  # made once: it is slow on purpose, and printed for all to see
    staff = Staff([_member(site, who, password) for who in clinic.staff])
    _make_sessions(site, clinic, today)
    return site, staff


def _member(site: Site, who: DemoStaff, password: str) -> StaffMember:
    user = get_user_model().objects.create(username=who.username, password=password)
    return StaffMember.objects.create(user=user, site=site, role=who.role, display_name=who.name)


def _make_sessions(site: Site, clinic: DemoClinic, today: date) -> None:
    """Make a session on every day the clinic is open, with room at each station."""
    holidays = clinic_days_of(site)
    shut = holidays.holidays | holidays.clinic.closed_on
    weekdays = {WEEKDAYS.index(day) for day in site.clinic_days}
    first, last = today - MONTH * clinic.months_past, today + MONTH * clinic.months_ahead
    days = [first + DAY * n for n in range((last - first).days + 1)]
    open_days = [day for day in days if day.weekday() in weekdays and day not in shut]
    sessions = Session.objects.bulk_create(Session(site=site, on=day, starts=clinic.starts) for day in open_days)
    SessionRoom.objects.bulk_create(
        SessionRoom(session=session, station=station, room_for=places)
        for session in sessions
        for station, places in clinic.room_for.items()
    )


def shorten_sessions(site: Site, clinic: DemoClinic, today: date, *, full_on: set[date]) -> list[date]:
    """Leave no room in the sessions of `full_on` and the busiest to come, and little in the next busiest.

    As in a real clinic, where a member of staff is away. Gives the days that are full.
    """
    coming = Session.objects.filter(site=site, on__gt=today, on__lte=today + SOON).prefetch_related("rooms")
    busiest = sorted(coming, key=lambda session: (-sum(room.taken for room in session.rooms.all()), session.on))
    full = [session for session in busiest if session.on in full_on]
    rest = [session for session in busiest if session.on not in full_on and any(r.taken for r in session.rooms.all())]
    n_more = max(0, clinic.n_full - len(full))
    full += rest[:n_more]
    for session in full:
        _leave_room(session, 0)
    for session in rest[n_more : n_more + clinic.n_nearly_full]:
        _leave_room(session, 1)
    return sorted(session.on for session in full)


def _leave_room(session: Session, n_places: int) -> None:
    for room in session.rooms.all():
        room.room_for = min(room.room_for, room.taken + n_places)
    SessionRoom.objects.bulk_update(session.rooms.all(), ["room_for"])
