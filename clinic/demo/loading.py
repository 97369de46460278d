"""Filling a database with the invented clinic: all of it or nothing, as often as wanted."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

from django.contrib.auth import get_user_model
from django.core.management import call_command
from django.db import connection, transaction

from clinic.audit.log import note
from clinic.audit.models import AccessEntry
from clinic.common.clock import clinic_instant, clinic_today, now
from clinic.demo.clinic_file import DemoClinic, read_clinic
from clinic.demo.clinic_setup import put_clinic_on_file, shorten_sessions
from clinic.demo.dating import dated_script
from clinic.demo.post import quiet_post
from clinic.demo.script import Untellable
from clinic.demo.story import Story, StoryFaults
from clinic.demo.story_files import FOLDER, read_stories
from clinic.demo.telling import tell
from clinic.diary.calendar import clinic_days_of
from clinic.diary.models import Booking, BookingStatus, Session
from clinic.followup import refusals
from clinic.people.models import Episode, Site
from clinic.reminders.models import OutboxMessage
from rehab.engine.pathway_files import load_pathways
from rehab.queries import pathways_in_force

LOADED = "load_demo"
MIDDAY = time(12)
REFUSALS = (
    refusals.CourseFaults,
    refusals.NotBookable,
    refusals.NotInForce,
    refusals.OutsideWindow,
    refusals.ReasonNeeded,
    refusals.SessionFull,
    refusals.SessionShut,
    refusals.StageShut,
)


class NotADemo(Exception):
    """The database holds a clinic or users that are not the demo's."""

    def __init__(self, found: list[str]) -> None:
        super().__init__(
            f"This database is not a demo's: it holds {', '.join(found)}. Nothing was changed. "
            "Load the demo into a database of its own, named by DATABASE_URL."
        )


@dataclass(frozen=True, slots=True)
class Loaded:
    """What was loaded, in numbers."""

    n_stories: int
    n_open_episodes: int
    n_sessions: int
    n_places: int
    n_messages: int
    full_on: list[date]


def is_loaded(clinic: DemoClinic) -> bool:
    """Say whether the demo is on file."""
    return Site.objects.filter(uuid=clinic.site_key).exists()


def loaded_for(clinic: DemoClinic) -> date | None:
    """Give the day the demo on file was loaded for, or None when none is."""
    entry = AccessEntry.objects.filter(site_key=clinic.site_key, action=LOADED).order_by("-id").first()
    return date.fromisoformat(entry.after["today"]) if entry else None


def refuse_other_data(clinic: DemoClinic) -> None:
    """Refuse a database with anything in it that is not the demo's. Raises NotADemo."""
    sites = Site.objects.exclude(uuid=clinic.site_key).values_list("name", flat=True)
    users = get_user_model().objects.exclude(staff_member__site__uuid=clinic.site_key)
    found = [f"the site “{name}”" for name in sites[:3]]
    found += [f"the user “{name}”" for name in users.values_list("username", flat=True)[:3]]
    if found:
        raise NotADemo(found)


def load(on: date | None = None, *, say: Callable[[str], object] = lambda _: None, folder: Path = FOLDER) -> Loaded:
    """Put the invented clinic on file as it stands on a day (default: today), in place of what was there.

    `say` gets one line a story. Raises NotADemo and StoryFaults; then nothing has changed.
    """
    clinic = read_clinic(folder)
    stories = read_stories(load_pathways(), folder)
    zone = ZoneInfo(clinic.site["time_zone"])
    at = now() if on is None else clinic_instant(on, MIDDAY, zone)
    with transaction.atomic(), quiet_post():
        refuse_other_data(clinic)
        _empty()
        return _fill(clinic, stories, clinic_today(zone, at), at, say)


def _empty() -> None:
    """Empty every table; what is there is the demo's own. The history could not be emptied row by row."""
    connection.check_constraints()  # PostgreSQL empties no table while a check of it is still to be done
    call_command("flush", interactive=False, verbosity=0)


def _fill(clinic: DemoClinic, stories: list[Story], today: date, at: datetime, say) -> Loaded:
    site, staff = put_clinic_on_file(clinic, today)
    days, pathways = clinic_days_of(site), pathways_in_force(site.uuid)
    full_on: set[date] = set()
    for turn, story in enumerate(stories):
        try:
            script = dated_script(story, today, days, pathways)
            episode = tell(script, site, staff, turn, at)
        except (Untellable, *REFUSALS) as wrong:
            raise StoryFaults([f"{story.name}.toml: {wrong}"]) from wrong
        full_on |= _wished_for(story, episode)
        say(f"{story.person.full_name}: {story.title}")
    full = shorten_sessions(site, clinic, today, full_on=full_on)
    _note(site, today, at)
    return _counted(site, len(stories), full)


def _wished_for(story: Story, episode: Episode) -> set[date]:
    """Give the day nearest to the target of the visit that found its session full."""
    if story.fills_session_of is None:
        return set()
    visit = episode.injury.planned_visits.get(code=story.fills_session_of, attempt=1)
    near = Session.objects.filter(site=episode.site, on__range=(visit.earliest_on, visit.latest_on))
    days = sorted(near.values_list("on", flat=True), key=lambda day: abs((day - visit.target_on).days))
    return set(days[:1])


def _note(site: Site, today: date, at: datetime) -> None:
    note(
        site_key=site.uuid,
        user=None,
        who="load_demo",
        role="",
        action=LOADED,
        record="site",
        record_uuid=site.uuid,
        after={"today": today.isoformat()},
        at=at,
    )


def _counted(site: Site, n_stories: int, full: list[date]) -> Loaded:
    return Loaded(
        n_stories=n_stories,
        n_open_episodes=Episode.objects.filter(site=site, ended_on=None).count(),
        n_sessions=Session.objects.filter(site=site).count(),
        n_places=Booking.objects.filter(session__site=site, shares_with=None, status=BookingStatus.BOOKED).count(),
        n_messages=OutboxMessage.objects.filter(site=site).count(),
        full_on=full,
    )
