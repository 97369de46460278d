"""What may stand in the tables of a story file, and how each value is read."""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from clinic.demo.story import HowBroken, HowHeld, Moment, Step, Today
from clinic.demo.tables import (
    Key,
    clock_time,
    kilograms,
    member,
    one_of,
    only_yes,
    read_table,
    several,
    shown,
    text,
    unknown,
    whole,
    yes_no,
)
from rehab.engine.facts import Fibula, Film, FixationPrinciple, OpenGrade, Score, ScoreScale, Side, Stage, TreatmentKind
from rehab.engine.pathway import PAIN_FINDINGS
from rehab.engine.pathway_shapes import RECORDED_FINDINGS

CORTICES = 4
HIDDEN = "hidden"


def story_keys(people: Iterable[str], codes: Iterable[str], circumstances: Iterable[str]) -> dict[str, Mapping]:
    """Give the keys of each table of a story, for these people, visits and circumstances."""
    visit = one_of(codes, "visit")
    step = _RECORDED | {
        "visit": Key(visit),
        "missed": Key(only_yes),
        "days_later": Key(whole),
        "converted_to": Key(member(TreatmentKind, "treatment")),
        "at": Key(clock_time),
        "fixation_principle": Key(member(FixationPrinciple, "fixation principle")),
        "moved": Key(visit),
        "discharged": Key(only_yes),
    }
    return {
        "story": {
            "title": Key(text, is_required=True),
            "tells": Key(text, is_required=True),
            "person": Key(one_of(people, "person of people.toml"), is_required=True),
            "today": Key(today, is_required=True),
            "not_booked": Key(several(visit)),
            "booked_early": Key(several(visit)),
            "fills_session_of": Key(visit),
            "injury": Key(_any, is_required=True),
            "treatment": Key(_any, is_required=True),
            "ward": Key(_any),
            "then": Key(_tables),
        },
        "injury": _injury_keys(circumstances),
        "treatment": _TREATMENT,
        "ward": _RECORDED,
        "then": step,
    }


def _any(value: object) -> object:
    return value


def _tables(value: object) -> object:
    if not isinstance(value, list):
        raise ValueError("days are written as [[then]].")
    return value


def today(value: object) -> Today:
    """Read which moment of the story is today."""
    said = text(value)
    if found := re.fullmatch(r"day (\d+)", said):
        return Today(Moment.DAY, n_days=int(found[1]))
    if found := re.fullmatch(r"(came to|expected at) (\w+)", said):
        return Today(Moment(found[1]), found[2])
    if found := re.fullmatch(r"(\d+) days? (after|before) (\w+)", said):
        return Today(Moment(found[2]), found[3], int(found[1]))
    right = "“came to N2”, “expected at N2”, “3 days after C2”, “2 days before C3”, “1 day after conversion” or “day 2”"
    raise ValueError(f"{shown(said)} is no moment of a story. Write it like {right}.")


def findings(value: object) -> dict[str, int | bool]:
    """Read what was found: pain from 0 to 10, or yes and no."""
    if not isinstance(value, dict):
        raise ValueError(f"findings are written as {{ walking_pain = 2 }}, not {shown(value)}.")
    for name, found in value.items():
        if name not in RECORDED_FINDINGS:
            raise ValueError(unknown(name, RECORDED_FINDINGS, "finding"))
        if name in PAIN_FINDINGS and (isinstance(found, bool) or not isinstance(found, int) or not 0 <= found <= 10):
            raise ValueError(f"{name} is pain from 0 to 10, not {shown(found)}.")
    return dict(value)


def film(value: object) -> Film:
    """Read a film. What it does not mention is straight, not shortened and in full contact."""
    faults: list[str] = []
    found = read_table(value, _FILM, "film", faults)
    if faults:
        raise ValueError(" ".join(faults))
    scale = next((scale for scale in ScoreScale if scale.value.lower() in found), None)
    return Film(
        on=date.min,
        coronal=found.get("coronal", Decimal(0)),
        sagittal=found.get("sagittal", Decimal(0)),
        rotation=Decimal(found.get("rotation_degrees", 0)),
        shortening=Decimal(found.get("shortening_mm", 0)),
        contact=Decimal(found.get("contact_percent", 100)),
        score=Score(scale, found[scale.value.lower()]) if scale else None,
    )


def angle(positive: str, negative: str):
    """Make a reader of an angle with its direction, such as “7 varus”."""

    def read(value: object) -> Decimal:
        found = re.fullmatch(rf"(\d+(?:\.\d)?) ({positive}|{negative})", value) if isinstance(value, str) else None
        if not found:
            raise ValueError(f"write it like “7 {negative}” or “2 {positive}”, not {shown(value)}.")
        return Decimal(found[1]) if found[2] == positive else -Decimal(found[1])

    return read


def cortices(value: object) -> tuple[int | None, ...]:
    """Read a callus score: medial, lateral, anterior, posterior, each a number or “hidden”."""
    scores = value if isinstance(value, list) else []
    if len(scores) != CORTICES or not all(each == HIDDEN or each in (1, 2, 3, 4) for each in scores):
        raise ValueError(f'four cortices are wanted, like [2, 1, 1, "hidden"], not {shown(value)}.')
    return tuple(None if each == HIDDEN else each for each in scores)


_FILM = {
    "coronal": Key(angle("valgus", "varus")),
    "sagittal": Key(angle("apex anterior", "apex posterior")),
    "rotation_degrees": Key(whole),
    "shortening_mm": Key(whole),
    "contact_percent": Key(whole),
    "rust": Key(cortices),
    "mrust": Key(cortices),
}
_TREATMENT = {
    "kind": Key(member(TreatmentKind, "treatment"), is_required=True),
    "at": Key(clock_time),
    "fixation_principle": Key(member(FixationPrinciple, "fixation principle")),
}
_RECORDED = {
    "film": Key(film),
    "findings": Key(findings),
    "clinical_union": Key(yes_no),
    "wedged": Key(only_yes),
    "film_after_wedging": Key(film),
    "union_confirmed": Key(only_yes),
    "clot_review_closed": Key(only_yes),
    "antibiotic_review_closed": Key(only_yes),
    "weight_kg": Key(kilograms),
    "order": Key(member(Stage, "stage")),
    "reason": Key(text),
}


def _injury_keys(circumstances: Iterable[str]) -> dict[str, Key]:
    return {
        "side": Key(one_of([side.value for side in Side], "side"), is_required=True),
        "fracture_class": Key(text, is_required=True),
        "fibula": Key(one_of([each.value for each in Fibula], "state of the fibula"), is_required=True),
        "open_grade": Key(one_of([each.value for each in OpenGrade], "open grade")),
        "bone_segment": Key(text),
        "at": Key(clock_time),
        "days_before_treatment": Key(whole),
        "antibiotic_after_minutes": Key(whole),
        "wound_closed_after_hours": Key(whole),
        "circumstances": Key(several(one_of(circumstances, "circumstance"))),
    }


MARKS = {
    "missed": "is_missed",
    "wedged": "is_wedged",
    "union_confirmed": "is_union_confirmed",
    "clot_review_closed": "is_clot_review_closed",
    "antibiotic_review_closed": "is_antibiotic_review_closed",
    "discharged": "is_discharged",
}


def step_of(found: Mapping[str, Any]) -> Step:
    """Make a step from the values of its table."""
    values = {MARKS.get(name, name): value for name, value in found.items()}
    if kind := values.pop("converted_to", None):
        held = {name: values.pop(name) for name in ("at", "fixation_principle") if name in values}
        values["conversion"] = HowHeld(kind, **held)
    return Step(**values)


def injury_of(found: Mapping[str, Any]) -> HowBroken:
    """Make the injury from the values of its table."""
    return HowBroken(**found)
