"""What every act shares: one person, one episode, one transaction, one answer."""

from dataclasses import dataclass, field
from datetime import date, datetime

from django.utils.translation import gettext as _

from clinic.audit.log import note
from clinic.common.clock import clinic_today, now
from clinic.diary.calendar import clinic_days_of
from clinic.diary.models import Booking
from clinic.followup.bookings import follow_up
from clinic.people.duties import require
from clinic.people.models import Episode, StaffMember
from clinic.reminders.models import OutboxMessage, Untold
from clinic.reminders.owing import owe_reminders, why_untold
from rehab import queries, services
from rehab.engine.facts import Course
from rehab.engine.pathway import Pathways
from rehab.engine.plan import Plan
from rehab.engine.replan import PlanDifference
from rehab.files import CourseFaults
from rehab.models import HistoryEntry, Injury, PlannedVisit
from rehab.translate import ClinicDays
from rehab.translate.entries import day_of


@dataclass(frozen=True, slots=True)
class Outcome:
    """What an act did: the plan as it now stands, what changed, and who is told."""

    episode: Episode
    plan: Plan
    difference: PlanDifference
    records: dict[queries.RowKey, PlannedVisit]
    cancelled: tuple[Booking, ...]  # places given back because the plan no longer holds the visit
    to_look_at: tuple[Booking, ...]  # places that now lie outside their window
    messages: tuple[OutboxMessage, ...]  # owed to the patient, not yet sent
    entry: HistoryEntry | None = None
    booking: Booking | None = None
    why_untold: Untold | None = None  # no message reaches the patient: if something moved, ring or write

    @property
    def is_told(self) -> bool:
        """Say whether the patient gets a message; if not, `why_untold` says why, or there was nothing new to tell."""
        return bool(self.messages)


@dataclass(slots=True)
class Act:
    """An act under way, inside its transaction, with the injury held."""

    name: str
    episode: Episode
    injury: Injury
    by: StaffMember
    days: ClinicDays
    at: datetime
    today: date
    pathways: Pathways
    before: Plan | None
    course: Course | None = None  # what is known, until something is recorded
    entry: HistoryEntry | None = None
    booking: Booking | None = None
    messages: list[OutboxMessage] = field(default_factory=list)

    def record(self, fact: services.Fact, *, supersedes: HistoryEntry | None = None, why: str = "") -> HistoryEntry:
        """Append one fact of this act to the history. Raises CourseFaults."""
        self.refuse_the_future(day_of(fact), "$.on")
        self.entry = services.record(
            self.injury,
            fact,
            days=self.days,
            pathways=self.pathways,
            by=self.by.user,
            at=self.at,
            course=self.course,
            supersedes=supersedes,
            note=why,
        )
        self.course = None
        return self.entry

    def refuse_the_future(self, on: date, path: str) -> None:
        """Refuse a day that has not come yet: nothing is recorded ahead. Raises CourseFaults."""
        if on > self.today:
            message = _("This day is still to come. Record it on the day, or later.")
            raise CourseFaults([{"path": path, "message": message}])

    def finish(self) -> Outcome:
        """Re-plan, let bookings and reminders follow the plan, note the act, and give the answer."""
        replanned = services.replan(
            self.injury, days=self.days, pathways=self.pathways, on=self.today, before=self.before
        )
        followed = follow_up(self.episode, at=self.at)
        self.messages += followed.messages
        self.messages += owe_reminders(self.episode, replanned, at=self.at)
        self._end_or_open(replanned.plan.ended_on)
        self._note(replanned.plan)
        return Outcome(
            episode=self.episode,
            plan=replanned.plan,
            difference=replanned.difference,
            records=replanned.records,
            cancelled=tuple(followed.cancelled),
            to_look_at=tuple(followed.to_look_at),
            messages=tuple(self.messages),
            entry=self.entry,
            booking=self.booking,
            why_untold=why_untold(self.episode.patient),
        )

    def _end_or_open(self, ended_on: date | None) -> None:
        if self.episode.ended_on != ended_on:
            self.episode.ended_on = ended_on
            self.episode.save(update_fields=["ended_on"])

    def _note(self, plan: Plan) -> None:
        before = {"stage": self.before.stage_now.stage.value} if self.before else {}
        after = {"stage": plan.stage_now.stage.value, "version": self.injury.version}
        if self.entry:
            after |= {"entry": str(self.entry.uuid)}
        if self.booking:
            after |= {"booking": str(self.booking.uuid), "sequence": self.booking.sequence}
        note(
            site_key=self.episode.site.uuid,
            user=self.by.user,
            who=self.by.display_name,
            role=self.by.role,
            action=self.name,
            record="episode",
            record_uuid=self.episode.uuid,
            before=before,
            after=after,
            at=self.at,
        )


def begin(
    name: str, episode: Episode, by: StaffMember, *, seen_version: int | None = None, at: datetime | None = None
) -> Act:
    """Hold the injury and look at its plan; refuse whoever may not do this act. Call it inside a transaction.

    Raises NotYourDuty, OtherSite and ChangedSince.
    """
    require(name, by, episode.site_id)
    at = at or now()
    injury = services.lock(episode.injury, seen_version)
    episode.injury = injury
    days = clinic_days_of(episode.site)
    today = clinic_today(episode.site.zone, at)
    pathways = queries.pathways_in_force(injury.site_key)
    course, before = queries.course_and_plan(injury, days, today, pathways)
    return Act(name, episode, injury, by, days, at, today, pathways, before, course)
