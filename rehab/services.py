"""Doing: recording what is known of an injury, and re-planning. Each call belongs inside a transaction."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from django.contrib.auth.models import User
from django.utils.translation import gettext as _

from rehab import queries
from rehab.engine import facts
from rehab.engine.pathway import Pathways
from rehab.engine.plan import Plan, make_plan
from rehab.engine.replan import PlanDifference, compare
from rehab.files import CourseFaults, read_course
from rehab.models import HistoryEntry, Injury, PlannedVisit, Treatment
from rehab.models.history_entry import EntryKind
from rehab.models.planned_visit import VisitRowState
from rehab.translate import ClinicDays, course_of, document_of, effective_treatments, payload_of, row_fields
from rehab.translate.entries import day_of

Fact = facts.HistoryEntry | facts.Weight


class ChangedSince(Exception):
    """Somebody changed what is known of this injury after you opened it. `entries` are the changes."""

    def __init__(self, entries: list[HistoryEntry]) -> None:
        super().__init__(_("Somebody else recorded something here a moment ago. Look at it, then decide again."))
        self.entries = entries


@dataclass(frozen=True, slots=True)
class Replanned:
    """A plan, what changed against the one before, and the record of each of its rows."""

    plan: Plan
    difference: PlanDifference
    records: dict[queries.RowKey, PlannedVisit]

    def record_of(self, code: str, treatment: int, attempt: int = 1) -> PlannedVisit | None:
        """Give the record of one row of the plan."""
        return self.records.get((treatment, code, attempt))


def lock(injury: Injury, seen_version: int | None = None) -> Injury:
    """Hold an injury until the transaction ends, so that one act at a time changes it.

    Raises ChangedSince when `seen_version`, the version the editor looked at, is no longer the newest.
    """
    held = Injury.objects.select_for_update().get(pk=injury.pk)
    if seen_version is not None and held.version != seen_version:
        raise ChangedSince(queries.changed_since(held, seen_version))
    return held


def register_injury(document: dict, *, pathways: Pathways, site_key: UUID, by: User, at: datetime) -> Injury:
    """Put an injury with its first treatment on file from the document of a course file.

    Raises CourseFaults with everything that is wrong.
    """
    course, _clinic = read_course(document, pathways)
    assert course.born_on is not None  # the reader refuses a course without it
    injury = Injury.objects.create(site_key=site_key, born_on=course.born_on, **_injury_fields(course.injury))
    for treatment in course.treatments:
        _add_treatment(injury, treatment, by=by, at=at)
    for fact in (*course.weights, *course.history):
        _add_entry(injury, fact, by=by, at=at)
    return injury


def _injury_fields(injury: facts.Injury) -> dict[str, object]:
    return {
        "at": injury.at,
        "presented_at": injury.presented_at,
        "side": injury.side.value,
        "bone_segment": injury.bone_segment,
        "fracture_class": injury.fracture_class,
        "edition": injury.edition,
        "fibula": injury.fibula.value,
        "open_grade": injury.open_grade.value,
        "wound_closed_at": injury.wound_closed_at,
        "antibiotic_at": injury.antibiotic_at,
        "circumstances": sorted(injury.circumstances),
    }


def add_treatment(
    injury: Injury, treatment: facts.Treatment, *, days: ClinicDays, pathways: Pathways, by: User, at: datetime
) -> Treatment:
    """Record a further treatment: a conversion, or the same kind again. Raises CourseFaults.

    What was recorded of the old plan's visits on that day or later stays on file and stops nobody:
    it belongs to no visit of the new plan (R2).
    """
    course = course_of(injury, days.clinic.time_zone)
    document = document_of(course, days.clinic)
    later = document_of(replace(course, treatments=(*course.treatments, treatment)), days.clinic)
    faults = _new_faults(document, later, pathways)
    if of_the_treatment := [fault for fault in faults if not fault["path"].startswith("$.history[")]:
        raise CourseFaults(of_the_treatment)
    return _add_treatment(injury, treatment, by=by, at=at)


def _add_treatment(injury: Injury, treatment: facts.Treatment, *, by: User, at: datetime) -> Treatment:
    principle = treatment.fixation_principle
    return Treatment.objects.create(
        site_key=injury.site_key,
        injury=injury,
        number=injury.treatments.count() + 1,
        kind=treatment.kind.value,
        at=treatment.at,
        fixation_principle=principle.value if principle else None,
        planned_on=treatment.planned_on,
        injury_version=_raise_version(injury),
        recorded_by=by,
        recorded_at=at,
    )


def record(
    injury: Injury,
    fact: Fact,
    *,
    days: ClinicDays,
    pathways: Pathways,
    by: User,
    at: datetime,
    course: facts.Course | None = None,
    supersedes: HistoryEntry | None = None,
    note: str = "",
) -> HistoryEntry:
    """Append one fact to the history; with `supersedes`, in place of an earlier entry.

    `course` is everything that stands so far, when it was just read.

    The whole course is checked with it, by the reader of course files. Raises CourseFaults with
    the faults that this fact brings; faults that were there before do not stop it.
    """
    if supersedes is not None:
        _refuse_to_correct(supersedes, injury, fact)
    if course is None or supersedes is not None:
        course = course_of(injury, days.clinic.time_zone, without=supersedes)
    before, after = document_of(course, days.clinic), document_of(_with_fact(course, fact), days.clinic)
    if faults := _new_faults(before, after, pathways):
        raise CourseFaults(faults)
    return _add_entry(injury, fact, by=by, at=at, supersedes=supersedes, note=note)


def _refuse_to_correct(entry: HistoryEntry, injury: Injury, fact: Fact) -> None:
    """Refuse to put a fact in place of an entry that it does not correct. Raises CourseFaults."""
    kind, _payload = payload_of(fact)
    if entry.kind != kind or not injury.history.standing().filter(pk=entry.pk).exists():
        message = _("This is not the entry to correct: it was corrected before, or says something else.")
        raise CourseFaults([{"path": "$.supersedes", "message": message}])


def _with_fact(course: facts.Course, fact: Fact) -> facts.Course:
    if isinstance(fact, facts.Weight):
        return replace(course, weights=(*course.weights, fact))
    return replace(course, history=(*course.history, fact))


def _new_faults(before: dict, after: dict, pathways: Pathways) -> list[dict[str, str]]:
    """List the faults that `after` has and `before` has not."""
    faults = _faults_in(after, pathways)
    known = _faults_in(before, pathways) if faults else []
    return [fault for fault in faults if fault not in known]


def _faults_in(document: dict, pathways: Pathways) -> list[dict[str, str]]:
    try:
        read_course(document, pathways)
    except CourseFaults as found:
        return found.faults
    return []


def _add_entry(
    injury: Injury,
    fact: Fact,
    *,
    by: User,
    at: datetime,
    supersedes: HistoryEntry | None = None,
    note: str = "",
) -> HistoryEntry:
    kind, payload = payload_of(fact)
    return HistoryEntry.objects.create(
        site_key=injury.site_key,
        injury=injury,
        kind=kind,
        on=day_of(fact),
        payload=payload,
        note=note,
        supersedes=supersedes,
        injury_version=_raise_version(injury),
        recorded_by=by,
        recorded_at=at,
    )


def withdraw(entry: HistoryEntry, *, why: str, by: User, at: datetime) -> HistoryEntry:
    """Take an entry back: it stays readable, with who took it back and why, and no longer counts."""
    return HistoryEntry.objects.create(
        site_key=entry.site_key,
        injury=entry.injury,
        kind=EntryKind.WITHDRAWN,
        on=entry.on,
        note=why,
        supersedes=entry,
        injury_version=_raise_version(entry.injury),
        recorded_by=by,
        recorded_at=at,
    )


def _raise_version(injury: Injury) -> int:
    injury.version += 1
    injury.save(update_fields=["version"])
    return injury.version


def replan(injury: Injury, *, days: ClinicDays, pathways: Pathways, on: date, before: Plan | None) -> Replanned:
    """Compute the plan from everything on file, store its rows, and say what changed since `before`."""
    treatments = effective_treatments(injury, days.clinic.time_zone)
    course = course_of(injury, days.clinic.time_zone, treatments=treatments)
    plan = make_plan(course, pathways, days.calendar_for(course), on)
    return Replanned(plan, compare(before, plan), _store_rows(injury, plan, treatments))


def _store_rows(injury: Injury, plan: Plan, treatments: list[Treatment]) -> dict[queries.RowKey, PlannedVisit]:
    """Make the records equal to the plan's rows; a record whose row is gone stays, as dropped."""
    _note_pathway(treatments[-1], plan.pathway_version)
    records = queries.visit_records(treatments)
    new: list[PlannedVisit] = []
    changed: list[PlannedVisit] = []
    fields = {"state"}
    for row in plan.visits:
        key, values = (row.treatment, row.code, row.attempt), row_fields(row)
        if key not in records:
            names = {"treatment": treatments[row.treatment - 1], "code": row.code, "attempt": row.attempt}
            records[key] = PlannedVisit(site_key=injury.site_key, injury=injury, **names, **values)
            new.append(records[key])
        elif taken_on := _takes_on(records[key], values):
            changed.append(records[key])
            fields |= taken_on
    PlannedVisit.objects.bulk_create(new)
    _drop_all_but({(row.treatment, row.code, row.attempt) for row in plan.visits}, records, changed)
    if treatments[-1].number > len(treatments):
        _drop_visits_of_other_treatments(injury, treatments)
    PlannedVisit.objects.bulk_update(changed, sorted(fields))
    return records


def _note_pathway(treatment: Treatment, version: str) -> None:
    if treatment.pathway_version != version:
        Treatment.objects.filter(pk=treatment.pk).update(pathway_version=version)


def _takes_on(record: PlannedVisit, values: dict[str, object]) -> set[str]:
    """Set a record's fields; give the names of those that changed."""
    changed = {name: value for name, value in values.items() if getattr(record, name) != value}
    for name, value in changed.items():
        setattr(record, name, value)
    return set(changed)


def _drop_all_but(
    keys: set[queries.RowKey], records: dict[queries.RowKey, PlannedVisit], changed: list[PlannedVisit]
) -> None:
    for key, record in records.items():
        if key not in keys and record.state != VisitRowState.DROPPED:
            record.state = VisitRowState.DROPPED
            changed.append(record)


def _drop_visits_of_other_treatments(injury: Injury, treatments: Iterable[Treatment]) -> None:
    """Drop what was planned for a treatment that another one of the same day replaced (R4)."""
    others = injury.planned_visits.exclude(treatment__in=list(treatments))
    others.exclude(state=VisitRowState.DROPPED).update(state=VisitRowState.DROPPED)
