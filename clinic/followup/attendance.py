"""Who came and who did not."""

from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from clinic.followup.act import Outcome, begin
from clinic.followup.refusals import NotInForce
from clinic.people.models import Episode, StaffMember
from rehab.engine.facts import Attended, Missed
from rehab.models import PlannedVisit
from rehab.models.planned_visit import VisitRowState


@transaction.atomic
def mark_attended(
    visit: PlannedVisit,
    *,
    by: StaffMember,
    on: date | None = None,
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Record that the person came, on `on` (default: the visit's place). Raises NotInForce, CourseFaults."""
    return _record("mark_attended", Attended, visit, on, by, seen_version, at)


@transaction.atomic
def mark_missed(
    visit: PlannedVisit,
    *,
    by: StaffMember,
    on: date | None = None,
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Record that the person did not come; the plan holds a new row that needs a place (S8).

    Raises NotInForce, CourseFaults.
    """
    return _record("mark_missed", Missed, visit, on, by, seen_version, at)


def _record(
    name: str,
    kind: type,
    visit: PlannedVisit,
    on: date | None,
    by: StaffMember,
    seen_version: int | None,
    at: datetime | None,
) -> Outcome:
    episode = Episode.objects.select_related("site", "patient", "injury").get(injury=visit.injury_id)
    act = begin(name, episode, by, seen_version=seen_version, at=at)
    visit = PlannedVisit.objects.get(pk=visit.pk)
    if visit.state != VisitRowState.PLANNED:
        state = visit.get_state_display()
        raise NotInForce(_("%(visit)s is %(state)s already.") % {"visit": visit.title, "state": state})
    act.record(kind(on or visit.placed_on or act.today, visit.code))
    return act.finish()
