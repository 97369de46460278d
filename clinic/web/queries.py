"""What the pages ask of the records, each question by its name."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Exists, OuterRef, Q, QuerySet

from clinic.audit.models import AccessEntry
from clinic.diary.models import Booking, BookingStatus, SessionRoom, SessionStatus
from clinic.diary.room import sessions_with_room
from clinic.people.duties import CLINICIANS
from clinic.people.models import Episode, Patient, Site, StaffMember
from clinic.reminders.models import MessageState, OutboxMessage
from rehab.models import HistoryEntry, PlannedVisit
from rehab.models.planned_visit import VisitRowState

WEEKS_AHEAD = 6  # a visit is to be booked when its window opens within so many weeks
LIST_LENGTH = 50  # rows of a list on one page
MESSAGES_LENGTH = 200  # messages that did not arrive, looked at for one page
OUTSIDE_CHOICES = 3  # sessions offered on either side of a window


@dataclass(frozen=True, slots=True)
class ToBook:
    """A visit without a place, and whose it is."""

    visit: PlannedVisit
    episode: Episode


def visits_to_book(site: Site, today: date) -> QuerySet[PlannedVisit]:
    """The next visit without a place of each open episode, the one due first on top.

    A visit is to be booked when its window opens soon, or when its person has no place at all.
    """
    live = Booking.objects.filter(status=BookingStatus.BOOKED)
    placed = live.filter(visit=OuterRef("pk"))
    other = live.filter(visit__injury=OuterRef("injury"), session__on__gte=today)
    planned = PlannedVisit.objects.filter(site_key=site.uuid, state=VisitRowState.PLANNED, is_real=True)
    unplaced = planned.annotate(is_placed=Exists(placed)).filter(is_placed=False)
    earlier = unplaced.filter(injury=OuterRef("injury"), latest_on__lt=OuterRef("latest_on"))
    is_soon = Q(earliest_on__lte=today + timedelta(weeks=WEEKS_AHEAD))
    next_ones = unplaced.annotate(is_second=Exists(earlier), has_place=Exists(other)).filter(is_second=False)
    return next_ones.filter(is_soon | Q(has_place=False)).order_by("latest_on", "id")


def with_episodes(visits: Iterable[PlannedVisit]) -> list[ToBook]:
    """The visits with their episodes. One query more."""
    rows = list(visits)
    episodes = episodes_by_injury(visit.injury_id for visit in rows)
    return [ToBook(visit, episodes[visit.injury_id]) for visit in rows if visit.injury_id in episodes]


def episodes_by_injury(injuries: Iterable[int]) -> dict[int, Episode]:
    """Episodes with patient and injury, by injury."""
    found = Episode.objects.filter(injury_id__in=set(injuries)).select_related("patient", "injury")
    return {episode.injury_id: episode for episode in found}


def attendances_on(site: Site, day: date) -> QuerySet[Booking]:
    """Everybody who has or had a place on a day, by time; visits that share a place count once."""
    held = Booking.objects.filter(session__site=site, session__on=day, shares_with=None)
    held = held.exclude(status=BookingStatus.CANCELLED)
    return held.select_related("visit", "session", "episode__patient", "episode__injury").order_by(
        "session__starts", "episode__patient__family_name", "id"
    )


def messages_not_arrived(site: Site) -> QuerySet[OutboxMessage]:
    """Messages that were given up: somebody has to ring. The oldest first."""
    dead = OutboxMessage.objects.filter(site=site, state=MessageState.DEAD)
    return dead.select_related("episode__patient", "episode__injury", "booking__session").order_by("due_at", "id")


def room_on(site: Site, day: date) -> QuerySet[SessionRoom]:
    """The stations of a day's open sessions."""
    rooms = SessionRoom.objects.filter(session__site=site, session__on=day, session__status=SessionStatus.OPEN)
    return rooms.order_by("session__starts", "id")


def open_episodes(site: Site) -> QuerySet[Episode]:
    """Every episode that has not ended."""
    return Episode.objects.filter(site=site, ended_on=None)


def episodes_without_a_visit(site: Site) -> QuerySet[Episode]:
    """Open episodes for which nothing is planned: a refused course, or a plan that came to its end unnoticed.

    Nobody in them would ever come again by the program's doing: a clinician must act (hazard H2).
    """
    planned = PlannedVisit.objects.filter(injury=OuterRef("injury"), state=VisitRowState.PLANNED, is_real=True)
    lost = open_episodes(site).annotate(has_visit=Exists(planned)).filter(has_visit=False)
    return lost.select_related("patient", "injury").order_by("opened_on", "id")


def find_patients(site: Site, words: str) -> QuerySet[Patient]:
    """Patients whose names or number begin with each of the words. Nobody is ever chosen by the search itself."""
    found = Patient.objects.filter(site=site)
    for word in words.split():
        matches = Q(family_name__istartswith=word) | Q(given_name__istartswith=word)
        found = found.filter(matches | Q(hospital_number__istartswith=word) | Q(hospital_number__icontains=words))
    return found.prefetch_related("episodes__injury").order_by("family_name", "given_name", "id")


def bookings_of(episode: Episode) -> QuerySet[Booking]:
    """All places of an episode, live and ended, by visit."""
    return episode.bookings.select_related("session", "accepted_by", "booked_by").order_by("id")


def messages_of(episode: Episode) -> QuerySet[OutboxMessage]:
    """What the patient was told, the newest first."""
    told = episode.messages.exclude(state=MessageState.SUPERSEDED).select_related("booking__session")
    return told.order_by("-due_at", "-id")


def history_of(episode: Episode) -> QuerySet[HistoryEntry]:
    """Everything recorded of an episode's injury, the newest first, with who wrote it."""
    return episode.injury.history.select_related("recorded_by__staff_member").order_by("-recorded_at", "-id")


def sheets_printed(episode: Episode) -> QuerySet[AccessEntry]:
    """Every sheet that was printed of an episode, the newest first."""
    return AccessEntry.objects.filter(record_uuid=episode.uuid, action="print_sheet").order_by("-at", "-id")


def sheet_replaced(episode: Episode) -> int | None:
    """The version of the newest sheet printed before what is known now; None when this is the first."""
    before = sheets_printed(episode).filter(after__version__lt=episode.injury.version)
    return before.values_list("after__version", flat=True).first()


def clinicians_of(site: Site) -> list[tuple[str, str]]:
    """The clinicians of a site, for a choice."""
    found = StaffMember.objects.filter(site=site, role__in=CLINICIANS, user__is_active=True)
    return [(str(member.uuid), f"{member.display_name}, {member.get_role_display()}") for member in found]


def sessions_for(visit: PlannedVisit, site: Site, now: datetime) -> tuple[list, list]:
    """Sessions with room for a visit, after its planning day: those inside its window, and the nearest outside."""
    last = max(visit.latest_on, visit.deadline_on or visit.latest_on)
    near = sessions_with_room(
        site,
        visit.stations,
        first=max(visit.earliest_on - timedelta(days=14), visit.planning_on + timedelta(days=1)),
        last=last + timedelta(days=28),
        now=now,
    )
    found = sorted(near, key=lambda session: (abs((session.on - visit.target_on).days), session.on, session.starts))
    inside = [session for session in found if visit.earliest_on <= session.on <= visit.latest_on]
    outside = [session for session in found if session not in inside]
    return inside, outside[:OUTSIDE_CHOICES]
