"""A course as the document of a course file, so that one reader checks what pages and files bring."""

from datetime import UTC, datetime
from typing import Any

from rehab.engine.facts import Clinic, Course, Injury, Treatment
from rehab.translate.clinic_days import WEEKDAYS
from rehab.translate.entries import payload_of


def document_of(course: Course, clinic: Clinic) -> dict[str, Any]:
    """Write a course as a course file would hold it (docs/schemas/course.schema.json)."""
    weight = course.weights[-1] if course.weights else None
    return {
        "clinic": clinic_part(clinic),
        "person": {
            "born_on": course.born_on.isoformat() if course.born_on else None,
            "weight_kg": weight.tenths_kg / 10 if weight else None,
            "weighed_on": weight.weighed_on.isoformat() if weight else None,
        },
        "injury": _injury_part(course.injury),
        "treatments": [_treatment_part(treatment) for treatment in course.treatments],
        "history": [_entry_part(entry) for entry in course.history],
    }


def clinic_part(clinic: Clinic) -> dict[str, Any]:
    """Write a clinic as a course file would hold it."""
    return {
        "time_zone": clinic.time_zone.key,
        "country": clinic.country,
        "subdivision": clinic.subdivision,
        "clinic_days": [WEEKDAYS[day] for day in sorted(clinic.clinic_days)],
        "appointment_time": f"{clinic.appointment_time:%H:%M}",
        "closed_on": [day.isoformat() for day in sorted(clinic.closed_on)],
        "full_on": [day.isoformat() for day in sorted(clinic.full_on)],
    }


def _injury_part(injury: Injury) -> dict[str, Any]:
    return {
        "at": _moment(injury.at),
        "presented_at": _moment(injury.presented_at),
        "side": injury.side.value,
        "bone_segment": injury.bone_segment,
        "fracture_class": injury.fracture_class,
        "edition": injury.edition,
        "fibula": injury.fibula.value,
        "open_grade": injury.open_grade.value,
        "wound_closed_at": _moment(injury.wound_closed_at),
        "antibiotic_at": _moment(injury.antibiotic_at),
        "circumstances": sorted(injury.circumstances),
    }


def _treatment_part(treatment: Treatment) -> dict[str, Any]:
    return {
        "kind": treatment.kind.value,
        "at": _moment(treatment.at),
        "fixation_principle": treatment.fixation_principle and treatment.fixation_principle.value,
        "planned_on": treatment.planned_on and treatment.planned_on.isoformat(),
    }


def _entry_part(entry: Any) -> dict[str, Any]:
    kind, payload = payload_of(entry)
    return {"on": entry.on.isoformat(), "what": kind.value, **payload}


def _moment(at: datetime | None) -> str | None:
    return at.astimezone(UTC).isoformat().replace("+00:00", "Z") if at else None
