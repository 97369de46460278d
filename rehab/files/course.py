"""A course document becomes the engine's facts."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from rehab.engine.facts import (
    Clinic,
    Course,
    Fibula,
    FixationPrinciple,
    Injury,
    OpenGrade,
    Side,
    Treatment,
    TreatmentKind,
    Weight,
)
from rehab.engine.pathway import Pathways
from rehab.files.default_pathways import default_pathways
from rehab.files.faults import Faults
from rehab.files.history import history_entry
from rehab.files.meaning import check_meaning
from rehab.files.reading import Reading, local_moment
from rehab.files.structure import check_structure, exact

Document = Mapping[str, Any]
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, slots=True)
class CourseFile:
    """A course that was read, and where each entry of its sorted history stood in the file."""

    course: Course
    clinic: Clinic
    positions: tuple[int, ...]


def read_course(document: object, pathways: Pathways | None = None) -> tuple[Course, Clinic]:
    """Read a JSON document into a course and its clinic, or raise CourseFaults with every fault."""
    file = read_course_file(document, pathways)
    return file.course, file.clinic


def read_course_file(document: object, pathways: Pathways | None = None) -> CourseFile:
    """Read a JSON document, and keep where each history entry stood; raises CourseFaults."""
    faults = Faults()
    check_structure(document, faults)
    check_meaning(Reading(document, faults), pathways or default_pathways())
    faults.raise_if_any()
    return _course_file(document)  # type: ignore[arg-type]


def _course_file(document: Document) -> CourseFile:
    clinic = _clinic(document["clinic"])
    entries = [history_entry(entry) for entry in document.get("history", ())]
    positions = sorted(range(len(entries)), key=lambda index: entries[index].on)  # stable: same-day order stays
    course = Course(
        injury=_injury(document["injury"], clinic.time_zone),
        treatments=_effective(_treatment(row, clinic.time_zone) for row in document["treatments"]),
        history=tuple(entries[index] for index in positions),
        born_on=date.fromisoformat(document["person"]["born_on"]),
        weights=_weights(document["person"]),
    )
    return CourseFile(course, clinic, tuple(positions))


def _clinic(row: Document) -> Clinic:
    return Clinic(
        time_zone=ZoneInfo(row["time_zone"]),
        clinic_days=frozenset(WEEKDAYS.index(day) for day in row["clinic_days"]),
        appointment_time=time.fromisoformat(row["appointment_time"]),
        country=row["country"],
        subdivision=row.get("subdivision"),
        closed_on=frozenset(map(date.fromisoformat, row.get("closed_on", ()))),
        full_on=frozenset(map(date.fromisoformat, row.get("full_on", ()))),
    )


def _weights(person: Document) -> tuple[Weight, ...]:
    if person["weight_kg"] is None:
        return ()
    tenths = int(exact(person["weight_kg"]) * Decimal(10))
    return (Weight(tenths, date.fromisoformat(person["weighed_on"])),)


def _injury(row: Document, zone: ZoneInfo) -> Injury:
    at = _moment(row["at"], zone)
    return Injury(
        at=at,
        on=at.date(),
        presented_at=_moment(row.get("presented_at", row["at"]), zone),
        side=Side(row["side"]),
        bone_segment=row["bone_segment"],
        fracture_class=row["fracture_class"],
        edition=int(row["edition"]),
        fibula=Fibula(row["fibula"]),
        open_grade=OpenGrade(row["open_grade"]),
        wound_closed_at=_maybe(row.get("wound_closed_at"), zone),
        antibiotic_at=_maybe(row.get("antibiotic_at"), zone),
        circumstances=frozenset(row.get("circumstances", ())),
    )


def _treatment(row: Document, zone: ZoneInfo) -> Treatment:
    at = _moment(row["at"], zone)
    principle, planned_on = row.get("fixation_principle"), row.get("planned_on")
    return Treatment(
        kind=TreatmentKind(row["kind"]),
        at=at,
        on=at.date(),
        fixation_principle=FixationPrinciple(principle) if principle else None,
        planned_on=date.fromisoformat(planned_on) if planned_on else None,
    )


def _effective(treatments: Iterable[Treatment]) -> tuple[Treatment, ...]:
    """Keep the last treatment of each local date (R4): the earlier one leaves no visits."""
    return tuple({treatment.on: treatment for treatment in treatments}.values())


def _moment(text: str, zone: ZoneInfo) -> datetime:
    moment = local_moment(text, zone)
    assert moment is not None  # a known zone places every moment
    return moment


def _maybe(text: str | None, zone: ZoneInfo) -> datetime | None:
    return _moment(text, zone) if text else None
