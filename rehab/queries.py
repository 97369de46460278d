"""Reading the clinical records: plans, pathways in force, what changed."""

from datetime import date
from pathlib import Path
from uuid import UUID

from django.conf import settings

from rehab.engine.facts import Course
from rehab.engine.pathway import Pathways
from rehab.engine.pathway_files import load_pathways
from rehab.engine.plan import Plan, make_plan
from rehab.models import HistoryEntry, Injury, PathwaySignature, PlannedVisit, Treatment
from rehab.translate import ClinicDays, course_of

RowKey = tuple[int, str, int]


def pathways_in_force(site_key: UUID) -> Pathways:
    """Give the pathways a site follows, each with the name of whoever signed exactly that version. One query.

    A clinic's own copies in FF_PATHWAY_FOLDER take the place of the project's, as soon as they lie there.
    """
    signatures = PathwaySignature.objects.filter(site_key=site_key).order_by("signed_at", "id")
    rows = signatures.values_list("treatment", "version", "digest", "name")
    signed = {(treatment, version, digest): name for treatment, version, digest, name in rows}
    folder = Path(settings.FF_PATHWAY_FOLDER) if settings.FF_PATHWAY_FOLDER else None
    return load_pathways(clinic_folder=folder, signed=signed)


def course_and_plan(
    injury: Injury, days: ClinicDays, on: date, pathways: Pathways | None = None
) -> tuple[Course, Plan]:
    """Compute the plan of an injury as it stands on a day; nothing is stored. Costs two queries.

    `pathways` are those in force, when they were just read; else they cost a third query.
    """
    course = course_of(injury, days.clinic.time_zone)
    pathways = pathways or pathways_in_force(injury.site_key)
    return course, make_plan(course, pathways, days.calendar_for(course), on)


def plan_of(injury: Injury, days: ClinicDays, on: date) -> Plan:
    """Compute the plan of an injury as it stands on a day."""
    return course_and_plan(injury, days, on)[1]


def visit_records(treatments: list[Treatment]) -> dict[RowKey, PlannedVisit]:
    """Give an injury's visit records by the three values that name a row of its plan.

    `treatments` are those that have a plan, in order: the plan counts them from 1.
    """
    number = {treatment.pk: place for place, treatment in enumerate(treatments, start=1)}
    records = PlannedVisit.objects.filter(treatment__in=number).order_by()
    return {(number[record.treatment_id], record.code, record.attempt): record for record in records}


def standing_entry(injury: Injury, kind: str, visit: str) -> HistoryEntry | None:
    """Give the newest entry of a kind that still stands for a visit's code, or None."""
    return injury.history.standing().filter(kind=kind, payload__visit=visit).order_by("-id").first()


def changed_since(injury: Injury, version: int) -> list[HistoryEntry]:
    """List the entries that were added after a version of the injury was read."""
    entries = injury.history.filter(injury_version__gt=version).select_related("recorded_by")
    return list(entries.order_by("id"))
