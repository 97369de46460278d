"""The course schema: valid, in step with the engine, and every keyword answered in words."""

import json
from decimal import Decimal

import pytest
from jsonschema import Draft202012Validator

from rehab.engine import facts
from rehab.files import plan_course
from rehab.files.default_pathways import default_pathways
from rehab.files.right_answers import RIGHT_ANSWERS
from rehab.files.structure import SCHEMA_FILE, course_validator
from tests.rehab.files.conftest import NAIL_TO_DISCHARGE, faults_of

SCHEMA = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
DEFINED = SCHEMA["$defs"]


def places(schema):
    """Every subschema that can refuse a value by itself."""
    if isinstance(schema, dict):
        if {"type", "enum", "const"} & set(schema):
            yield schema
        for key, inner in schema.items():
            if key not in ("if", "enum"):
                yield from places(inner)
    elif isinstance(schema, list):
        for inner in schema:
            yield from places(inner)


def enum_at(*path):
    schema = DEFINED
    for step in path:
        schema = schema[step]
    return [value for value in schema["enum"] if value is not None]


def test_the_course_schema_is_a_valid_schema():
    Draft202012Validator.check_schema(SCHEMA)


def test_an_ordinary_validator_accepts_the_example_course():
    example = json.loads(json.dumps(NAIL_TO_DISCHARGE, default=float))

    assert list(Draft202012Validator(SCHEMA).iter_errors(example)) == []


def test_every_place_of_the_schema_has_words_for_what_would_be_right():
    titles = {schema.get("title") for schema in places(SCHEMA)}

    assert titles == set(RIGHT_ANSWERS)


def conditions(schema):
    """Every "if" in the schema, with the schema it stands in."""
    if isinstance(schema, dict):
        if "if" in schema:
            yield schema
        for inner in schema.values():
            yield from conditions(inner)
    elif isinstance(schema, list):
        for inner in schema:
            yield from conditions(inner)


def test_every_condition_of_the_schema_asks_for_one_word():
    found = list(conditions(SCHEMA))

    assert len(found) == 11
    for schema in found:
        [(key, wanted)] = schema["if"]["properties"].items()
        assert schema["if"] == {"required": [key], "properties": {key: wanted}}
        assert set(wanted) in ({"enum"}, {"const"})
        assert set(schema) == {"if", "then"}


def test_the_patterns_end_at_the_end_of_the_text(just_nailed):
    just_nailed["injury"]["bone_segment"] = "42\n"

    assert list(faults_of(just_nailed)) == ["$.injury.bone_segment"]


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (("injury", "properties", "side"), facts.Side),
        (("injury", "properties", "fibula"), facts.Fibula),
        (("injury", "properties", "open_grade"), facts.OpenGrade),
        (("treatment", "properties", "kind"), facts.TreatmentKind),
        (("treatment", "properties", "fixation_principle"), facts.FixationPrinciple),
        (("stage ordered", "properties", "stage"), facts.Stage),
        (("stage ordered", "properties", "by"), facts.Authoriser),
        (("score", "properties", "scale"), facts.ScoreScale),
    ],
)
def test_the_schema_and_the_engine_know_the_same_words(path, words):
    assert enum_at(*path) == [word.value for word in words]


def test_the_schema_takes_the_weights_that_the_shared_rules_take():
    weight = DEFINED["person"]["properties"]["weight_kg"]
    rules = next(iter(default_pathways().values())).shared.weights

    assert (weight["minimum"] * 10, weight["maximum"] * 10) == (rules.min_tenths_kg, rules.max_tenths_kg)


def test_the_schema_knows_every_finding_that_a_gate_asks_for():
    from_films_and_record = {"films_in_limits", "callus_cortices", "callus_or_fading_cortices", "union_confirmed"}
    rows = [
        row for pathway in default_pathways().values() for row in (*pathway.stages, *pathway.stages_without_default)
    ]
    asked = {gate.finding for row in rows for gate in row.gates}

    assert asked - from_films_and_record <= set(DEFINED["gate findings"]["properties"]["findings"]["properties"])


@pytest.mark.parametrize("weight_kg", [72.1, 0.1 + 72, Decimal("72.10"), 72])
def test_a_weight_is_compared_as_it_is_written(weight_kg):
    person = {**NAIL_TO_DISCHARGE["person"], "weight_kg": weight_kg}

    assert course_validator().is_valid(NAIL_TO_DISCHARGE | {"person": person})


@pytest.mark.parametrize("weight_kg", [72.55, "172 lb", 29.9, 250.1, True, float("nan"), 1e300, Decimal("1e25")])
def test_a_weight_that_cannot_be_is_one_fault(just_nailed, weight_kg):
    just_nailed["person"]["weight_kg"] = weight_kg

    assert list(faults_of(just_nailed)) == ["$.person.weight_kg"]


@pytest.mark.parametrize("part", ["clinic", "person", "injury", "treatments", "history"])
@pytest.mark.parametrize("wrong", [None, 7, "text", True])
def test_a_part_of_the_wrong_kind_is_one_fault(just_nailed, part, wrong):
    just_nailed[part] = wrong

    assert list(faults_of(just_nailed)) == [f"$.{part}"]


@pytest.mark.parametrize("document", [None, [], "course", 3, True])
def test_a_document_that_is_no_object_is_one_fault(document):
    assert list(faults_of(document)) == ["$"]


def test_an_empty_document_misses_its_four_parts():
    assert list(faults_of({})) == ["$.clinic", "$.person", "$.injury", "$.treatments"]


@pytest.mark.parametrize(
    ("part", "key"),
    [
        *[("clinic", key) for key in ("time_zone", "country", "clinic_days", "appointment_time")],
        *[("person", key) for key in ("born_on", "weight_kg", "weighed_on")],
        *[("injury", key) for key in ("at", "side", "bone_segment", "fracture_class", "edition", "fibula")],
        ("injury", "open_grade"),
    ],
)
def test_a_missing_key_is_named_by_its_own_path(just_nailed, part, key):
    del just_nailed[part][key]
    told = faults_of(just_nailed)

    assert list(told) == [f"$.{part}.{key}"]
    assert told[f"$.{part}.{key}"].startswith("This key is missing. ")


@pytest.mark.parametrize(
    ("part", "key"),
    [("clinic", "closed_on"), ("clinic", "full_on"), ("clinic", "subdivision"), ("injury", "presented_at")],
)
def test_some_keys_may_be_left_out(just_nailed, part, key):
    del just_nailed[part][key]

    assert plan_course(just_nailed)["scope"]["accepted"] is True


@pytest.mark.parametrize("what", DEFINED["entry"]["properties"]["what"]["enum"])
def test_every_kind_of_entry_refuses_an_unknown_key(just_nailed, what):
    just_nailed["history"] = [{"on": "2027-03-01", "what": what, "colour": "red"}]

    assert faults_of(just_nailed)["$.history[0].colour"].startswith("This key is not known here.")


def test_an_unknown_kind_of_entry_is_one_fault_with_the_nearest_word(just_nailed):
    just_nailed["history"] = [{"on": "2027-03-01", "what": "wedgd", "degree": 5}]

    [(path, message)] = faults_of(just_nailed).items()
    assert path == "$.history[0].what"
    assert "Did you mean “wedged”?" in message


def test_a_score_of_an_unknown_scale_is_one_fault(just_nailed):
    score = {"scale": "RUSTY", "cortices": [4, 4, 4, 4]}
    just_nailed["history"] = [{"on": "2027-03-01", "what": "film", "score": score}]

    assert list(faults_of(just_nailed)) == ["$.history[0].score.scale"]


def test_a_weekday_named_twice_is_a_fault(just_nailed):
    just_nailed["clinic"]["clinic_days"] = ["mon", "mon"]

    assert list(faults_of(just_nailed)) == ["$.clinic.clinic_days"]


def test_a_whole_number_written_with_a_point_is_whole(just_nailed):
    findings = {"rest_pain": Decimal("3.0")}
    just_nailed["history"] = [{"on": "2027-02-15", "what": "gate findings", "visit": "N1", "findings": findings}]

    assert plan_course(just_nailed)["scope"]["accepted"] is True


def test_half_a_point_of_pain_is_a_fault(just_nailed):
    findings = {"rest_pain": Decimal("3.5")}
    just_nailed["history"] = [{"on": "2027-02-15", "what": "gate findings", "visit": "N1", "findings": findings}]

    assert list(faults_of(just_nailed)) == ["$.history[0].findings.rest_pain"]
