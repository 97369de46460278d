"""Courses in the trade's words: each call adds one fact to a course document and returns a new one."""

import json
from copy import deepcopy
from datetime import date

CAST, NAIL, PLATE = "long_leg_cast", "intramedullary_nail", "plate_and_screws"

# The test calendar: Monday, Wednesday and Friday in England, appointments at half past nine.
CLINIC = {
    "time_zone": "Europe/London",
    "country": "GB",
    "subdivision": "ENG",
    "clinic_days": ["mon", "wed", "fri"],
    "appointment_time": "09:30",
    "closed_on": [],
    "full_on": [],
}


def nailed(on, **details):
    """A person whose tibia was nailed on this day."""
    return _first_treatment(NAIL, on, **details)


def in_cast(on, **details):
    """A person put in a long leg cast on this day."""
    return _first_treatment(CAST, on, **details)


def plated(on, **details):
    """A person whose tibia was plated on this day."""
    return _first_treatment(PLATE, on, **{"fixation_principle": "relative", **details})


class Course:
    """A course document that grows fact by fact; the one it grew from stays as it was."""

    def __init__(self, document):
        self.document = document

    def __repr__(self):
        """The course file itself, so that a failing course can be planned by hand."""
        return json.dumps(self.document)

    def changed(self, part, **details):
        """The same course with other details of its clinic, person or injury."""
        return Course({**self.document, part: {**self.document[part], **details}})

    def at_clinic(self, **details):
        return self.changed("clinic", **details)

    def then(self, kind, on, at=None, fixation_principle=None, **details):
        """Another definitive treatment on this day."""
        treatment = _treatment(kind, at or f"{on}T14:00", fixation_principle, details)
        return Course({**self.document, "treatments": [*self.document["treatments"], treatment]})

    def recorded(self, what, on, **details):
        """The course with one more history entry."""
        entry = {"on": on, "what": what, **details}
        return Course({**self.document, "history": [*self.document["history"], entry]})

    def attended(self, visit, on):
        return self.recorded("attended", on, visit=visit)

    def missed(self, visit, on):
        return self.recorded("missed", on, visit=visit)

    def film(self, on, **readings):
        return self.recorded("film", on, **film(**readings))

    def found(self, visit, on, **findings):
        return self.recorded("gate findings", on, visit=visit, findings=findings)

    def ordered(self, stage, on, by="surgeon"):
        return self.recorded("stage ordered", on, stage=stage, by=by)

    def wedged(self, on):
        return self.recorded("wedged", on)

    def clinical_union(self, on, yes=True):
        return self.recorded("clinical union", on, yes=yes)

    def union_confirmed(self, on, by="surgeon"):
        return self.recorded("union confirmed", on, by=by)

    def clot_review_closed(self, on, by="surgeon"):
        return self.recorded("clot review closed", on, by=by)

    def antibiotic_review_closed(self, on, by="surgeon"):
        return self.recorded("antibiotic review closed", on, by=by)

    def discharged(self, on, by="surgeon", **details):
        return self.recorded("discharged", on, by=by, **details)

    def planned(self, on=None):
        """The plan that follows from this course, for reading."""
        from rehab.files import plan_course
        from tests.rehab.cases.reading import ReadPlan

        return ReadPlan(plan_course(self.document, date.fromisoformat(on) if on else None))

    def faults(self):
        """Path and message of every fault the reader finds in this course."""
        return faults_of(self.document)


def film(*, varus=None, valgus=None, anterior=None, posterior=None, without=(), baseline=None, **others):
    """One reading. A plane not named is straight; `without` names measurements nobody could take."""
    reading = {
        "coronal": _angle(varus=varus, valgus=valgus),
        "sagittal": _angle(**{"apex posterior": posterior, "apex anterior": anterior}),
        "rotation_degrees": others.pop("rotation", 0),
        "shortening_mm": others.pop("shortening", 0),
        "contact_percent": others.pop("contact", 100),
    }
    reading.update(dict.fromkeys(without))
    if baseline is not None:
        reading["baseline"] = baseline
    scores = {scale: others.pop(key) for key, scale in (("rust", "RUST"), ("mrust", "mRUST")) if key in others}
    for scale, cortices in scores.items():
        reading["score"] = {"scale": scale, "cortices": cortices}
    if others:
        raise TypeError(f"a film has no {sorted(others)}")
    return reading


NOT_MEASURED = ("coronal", "sagittal", "rotation_degrees", "shortening_mm", "contact_percent")


def faults_of(document):
    """All faults of a document as (path, message) pairs; an accepted document is a test failure."""
    from rehab.files import CourseFaults, plan_course

    try:
        plan_course(deepcopy(document))
    except CourseFaults as refused:
        return [(fault["path"], fault["message"]) for fault in refused.faults]
    raise AssertionError("the course was accepted although it has a fault")


def _angle(**towards):
    for toward, degrees in towards.items():
        if degrees is not None:
            return {"degrees": degrees, "toward": toward}
    return {"degrees": 0, "toward": None}


def _treatment(kind, at, fixation_principle, details):
    return {"kind": kind, "at": at, "fixation_principle": fixation_principle, **details}


def _first_treatment(
    kind,
    on,
    *,
    injured_at=None,
    presented_at=None,
    treated_at=None,
    side="right",
    fracture_class="A2",
    edition=2018,
    fibula="other level",
    open_grade="closed",
    born_on="1985-06-15",
    weight_kg=72.0,
    weighed_on=None,
    fixation_principle=None,
    planned_on=None,
    **injury_details,
):
    injured_at = injured_at or f"{on}T11:00"
    injury = {
        "at": injured_at,
        "presented_at": presented_at or injured_at,
        "side": side,
        "bone_segment": "42",
        "fracture_class": fracture_class,
        "edition": edition,
        "fibula": fibula,
        "open_grade": open_grade,
        **injury_details,
    }
    person = {
        "born_on": born_on,
        "weight_kg": weight_kg,
        "weighed_on": (weighed_on or on) if weight_kg is not None else None,
    }
    details = {"planned_on": planned_on} if planned_on else {}
    treatments = [_treatment(kind, treated_at or f"{on}T15:00", fixation_principle, details)]
    return Course(
        {"clinic": deepcopy(CLINIC), "person": person, "injury": injury, "treatments": treatments, "history": []}
    )
