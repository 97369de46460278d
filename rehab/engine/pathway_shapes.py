"""The shape of each pathway file: which keys its tables have, and what each must be."""

from collections.abc import Mapping

from rehab.engine.facts import Authoriser, OpenGrade, Stage, TreatmentKind
from rehab.engine.pathway import CORTEX_FINDINGS, FILM_FINDINGS, PAIN_FINDINGS, STATIONS, YES_NO_FINDINGS
from rehab.engine.pathway_kinds import CLOCK, COUNT, NUMBER, POSITIVE, TEXT, TEXTS, WHOLE, YES_NO, Key, Kind, Shape


def _keys(required: Mapping[str, Kind], optional: Mapping[str, Kind] | None = None) -> dict[str, Key]:
    sourced = {"sources": Key(TEXTS)}
    return (
        {name: Key(kind) for name, kind in required.items()}
        | {name: Key(kind, is_required=False) for name, kind in (optional or {}).items()}
        | sourced
    )


def _rule(required: Mapping[str, Kind], optional: Mapping[str, Kind] | None = None) -> Shape:
    return Shape(_keys(required, optional))


# ---------------------------------------------------------------- a treatment and the modifier

RECORDED_FINDINGS = (*PAIN_FINDINGS, *YES_NO_FINDINGS, "fading_line_cortices")
GATE_FINDINGS = (*PAIN_FINDINGS, *YES_NO_FINDINGS, *CORTEX_FINDINGS, *FILM_FINDINGS)
STAGES = tuple(stage.value for stage in Stage)
AUTHORISERS = tuple(authoriser.value for authoriser in Authoriser)
TREATMENTS = tuple(kind.value for kind in TreatmentKind)
OPEN_GRADES = tuple(grade.value for grade in OpenGrade if grade is not OpenGrade.CLOSED)
CLASS_LETTERS = ("A", "B", "C")

_WINDOW = {"target_day": WHOLE, "earliest_day": WHOLE, "latest_day": WHOLE}
_ON_WARD = _keys(
    {"code": TEXT, "title": TEXT, **_WINDOW, "contents": TEXTS},
    {"led_by": TEXT, "with_film": YES_NO},
)
_VISIT = (
    _ON_WARD
    | _keys(
        {"missed_deadline_days": WHOLE},
        {"only_if_not_united": YES_NO, "decides_delayed_union": YES_NO, "if_before_window": TEXT},
    )
    | {
        "stations": Key(TEXTS, names=STATIONS),
        "findings": Key(TEXTS, is_required=False, names=RECORDED_FINDINGS),
    }
)
_GATE = Shape(
    _keys({}, {"at_most": WHOLE, "at_least": WHOLE, "equals": YES_NO}) | {"finding": Key(TEXT, names=GATE_FINDINGS)},
    named_by="finding",
)
_STAGE = Shape(
    _keys({"gate_visit": TEXT}, {"reviewed_if_not_met": YES_NO})
    | {
        "stage": Key(TEXT, names=STAGES),
        "authorised_by": Key(TEXTS, names=AUTHORISERS),
        "authorised_when_signed": Key(TEXTS, is_required=False, names=AUTHORISERS),
    },
    lists={"gate": _GATE},
    optional=frozenset({"gate"}),
    named_by="stage",
)
TREATMENT = Shape(
    _keys(
        {"title": TEXT, "version": TEXT, "day_zero": TEXT},
        {"consultant_visit": TEXT, "flag_open_fracture": YES_NO, "flag_intact_fibula": YES_NO, "is_wedgeable": YES_NO},
    )
    | {
        "treatment": Key(TEXT, names=TREATMENTS),
        "default_stage": Key(TEXT, is_required=False, names=STAGES),
        "no_default_classes": Key(TEXTS, is_required=False, names=CLASS_LETTERS),
    },
    tables={"ward_visit": Shape(_ON_WARD)},
    lists={"visit": Shape(_VISIT, named_by="code"), "stage": _STAGE, "stage_without_default": _STAGE},
)
OPEN_FRACTURE = Shape(
    _keys({"title": TEXT}, {"every_visit_asks": TEXTS})
    | {"no_default_grades": Key(TEXTS, names=OPEN_GRADES, may_be_empty=True)},
    lists={
        "visit": Shape(
            _VISIT | {"grades": Key(TEXTS, names=OPEN_GRADES), "treatments": Key(TEXTS, names=TREATMENTS)},
            named_by="code",
        )
    },
)

# ---------------------------------------------------------------- shared rules

_ALIGNMENT = Shape(
    {},
    tables={
        "coronal_degrees": _rule({"at_most": POSITIVE}),
        "sagittal_degrees": _rule({"at_most": POSITIVE}),
        "rotation_degrees": _rule({"at_most": POSITIVE}),
        "shortening_mm": _rule({"at_most": POSITIVE}),
        "contact_percent": _rule({"at_least": POSITIVE}),
        "change_of_angle": _rule({"amber_from_degrees": POSITIVE, "red_from_degrees": POSITIVE}),
        "growth_of_shortening": _rule({"amber_above_mm": POSITIVE, "red_above_mm": POSITIVE}),
        "new_first_film_after_wedging": _rule({"within_days": WHOLE}),
    },
)
_UNION = Shape(
    {},
    tables={
        "suggested_by_rust": _rule({"total_at_least": WHOLE}),
        "suggested_by_mrust": _rule({"total_at_least": WHOLE}),
        "suggested_by_bridging": _rule(
            {"cortices_at_least": WHOLE, "rust_score_from": WHOLE, "mrust_score_from": WHOLE}
        ),
        "callus": _rule({"score_from": WHOLE}),
        "film_and_clinical_test": _rule({"within_days": WHOLE}),
        "delayed": _rule({"from_healing_day": WHOLE}),
        "possible_non_union": _rule({"months_since_injury": WHOLE, "months_without_progress": WHOLE}),
        "film_for_non_union": _rule({"latest_days": WHOLE, "missed_deadline_days": WHOLE}),
    },
    lists={
        "low_score": Shape(
            _keys({"from_day": WHOLE, "to_day": WHOLE, "at_most": WHOLE})
            | {"code": Key(TEXT, names=("slow_start", "low_score"))},
            named_by="code",
        )
    },
)
_EXTRA_VISIT = _keys({"contents": TEXTS}) | {"stations": Key(TEXTS, names=STATIONS)}
_PRACTICE = Shape(
    {},
    tables={
        "part": _rule({"tries": WHOLE, "median_over_kg": WHOLE, "median_under_kg": WHOLE, "single_over_kg": WHOLE}),
        "touch": _rule({"tries": WHOLE, "median_percent": WHOLE, "single_percent": WHOLE, "single_kg": WHOLE}),
    },
)
SHARED = Shape(
    {"version": Key(TEXT)},
    tables={
        "scope": _rule({"bone_segment": TEXT, "adult_age": WHOLE}),
        "alignment": _ALIGNMENT,
        "film_reading": _rule({"unread_after": WHOLE, "amber_read_within": WHOLE, "red_second_surgeon_after": WHOLE}),
        "union": _UNION,
        "pain": _rule({"rise_that_matters": WHOLE}),
        "steps": _rule({"min_days_in_stage": WHOLE}),
        "body_weight": _rule(
            {
                "accepted_from_kg": POSITIVE,
                "accepted_to_kg": POSITIVE,
                "confirm_below_kg": POSITIVE,
                "confirm_above_kg": POSITIVE,
                "fresh_days": WHOLE,
            }
        ),
        "scale_practice": _PRACTICE,
        "no_place": _rule({"within_days": WHOLE}),
        "gate_review": Shape(_EXTRA_VISIT | _keys({**_WINDOW, "missed_deadline_days": WHOLE})),
        "extra_film": Shape(_EXTRA_VISIT | _keys({**_WINDOW, "missed_deadline_days": WHOLE})),
        "non_union_film": Shape(_EXTRA_VISIT),
        "clot_prevention_review": _rule({"first_day": WHOLE, "again_every_days": WHOLE}),
        "consultant_review": _rule({"within_hours": WHOLE}),
        "antibiotic_review": _rule({"hours_after_closure": WHOLE, "hours_after_injury": WHOLE}),
        "reminder": _rule({"first_days_before": WHOLE, "first_at": CLOCK, "second_at": CLOCK}),
    },
    lists={
        "circumstance": Shape(
            _keys({"code": TEXT}, {"no_default": YES_NO}) | {"effect": Key(TEXT, names=("refused", "sign_off"))},
            named_by="code",
        ),
        "stage": Shape(
            _keys({"name": TEXT, "printed": TEXT}, {"percent": WHOLE}) | {"stage": Key(TEXT, names=STAGES)},
            named_by="stage",
        ),
    },
)

# ---------------------------------------------------------------- figures and sources

_FIGURE = Shape(
    _keys(
        {"name": TEXT, "what": TEXT, "unit": TEXT},
        {"value": NUMBER, "from": NUMBER, "to": NUMBER, "count": COUNT, "of": COUNT},
    )
    | {"use": Key(TEXT, names=("rule", "warning", "text", "check"))},
    named_by="name",
)
CLASSIFICATION = Shape(
    {},
    lists={"fracture_type": Shape(_keys({"code": TEXT, "words": TEXT}), named_by="code"), "figure": _FIGURE},
)
MILESTONES = Shape({}, tables={"discharge": _rule({"needs": TEXTS})}, lists={"figure": _FIGURE})
PUBLISHED_FIGURES = Shape({}, lists={"figure": _FIGURE})
SOURCE = Shape(
    {
        "citation": Key(TEXT),
        "known": Key(TEXT, names=("read", "second_hand", "memory", "practice", "local")),
        "says": Key(TEXT),
        "doi": Key(TEXT, is_required=False),
        "verdict": Key(TEXT, is_required=False, names=("confirmed", "corrected", "disputed", "unverified")),
        "note": Key(TEXT, is_required=False),
    }
)
