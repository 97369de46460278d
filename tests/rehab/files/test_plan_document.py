"""The plan in JSON: the agreed keys, the agreed forms, the schema."""

import json

import pytest
from jsonschema import Draft202012Validator

from rehab.files import plan_course
from rehab.files.structure import SCHEMA_FILE
from tests.rehab.cases.course import CAST, NAIL, PLATE, in_cast, nailed, plated
from tests.rehab.files.conftest import COURSES

SCHEMA = json.loads(SCHEMA_FILE.with_name("plan.schema.json").read_text(encoding="utf-8"))
AGREED_KEYS = {
    "pathway": {"treatment", "version", "approved_by"},
    "scope": {"accepted", "refused_because", "needs_sign_off"},
    "stage_now": {"stage", "printed", "cap_kg", "since", "ordered_by"},
}
AGREED_ROW_KEYS = {
    "visits": {
        "code", "title", "target_on", "earliest_on", "latest_on", "placed_on", "day", "in_window", "together_with",
        "contents", "only_if_not_united", "state", "why", "treatment", "healing_day", "deadline_on",
    },
    "stages": {"stage", "printed", "not_before", "cap_kg", "gate_visit", "gates", "authorised_by"},
    "tasks": {"kind", "due_on", "state", "due_at"},
    "reminders": {"visit", "number", "send_at"},
    "alerts": {"level", "kind", "on", "text", "state"},
}  # fmt: skip
CAST_COURSE = in_cast("2027-07-05", fibula="intact").film("2027-07-05", varus=2).film("2027-07-12", varus=7)
HALF_A_YEAR = [f"2027-{month:02}-{day:02}" for month in range(2, 8) for day in range(1, 29)]
COURSES_OF_ALL_KINDS = {
    "nail": nailed("2027-02-02"),
    "cast": CAST_COURSE,
    "plate": plated("2027-04-19", fixation_principle="absolute"),
    "converted": CAST_COURSE.then(NAIL, "2027-07-15"),
    "twice converted": CAST_COURSE.then(PLATE, "2027-07-15").then(CAST, "2027-08-15"),
    "open": nailed("2027-06-05", open_grade="IIIB", wound_closed_at="2027-06-06T01:40"),
    "missed": CAST_COURSE.missed("C3", "2027-07-19").missed("C3", "2027-07-21"),
    "wedged": CAST_COURSE.wedged("2027-07-12").film("2027-07-12"),
    "refused": nailed("2027-02-02").changed("injury", bone_segment="43"),
    "nobody weighed": nailed("2027-02-02", weight_kg=None),
    "flagged": nailed("2027-02-02", fracture_class="C3", weight_kg=39.9),
    "no place": nailed("2027-02-02").at_clinic(
        closed_on=[f"2027-{m:02}-{d:02}" for m in range(2, 8) for d in range(1, 29)]
    ),
}


def contract_example():
    return plan_course(json.loads((COURSES / "nail_to_discharge.json").read_text()))


def test_the_plan_schema_is_a_valid_schema():
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("kind", COURSES_OF_ALL_KINDS)
@pytest.mark.parametrize("on", [None, "2027-08-20", "2028-12-01"])
def test_every_kind_of_plan_fits_its_schema(kind, on):
    plan = COURSES_OF_ALL_KINDS[kind].planned(on=on).answer

    assert list(Draft202012Validator(SCHEMA).iter_errors(plan)) == []


@pytest.mark.parametrize("kind", COURSES_OF_ALL_KINDS)
def test_a_plan_has_every_agreed_key_and_is_plain_json(kind):
    plan = COURSES_OF_ALL_KINDS[kind].planned().answer

    assert json.loads(json.dumps(plan)) == plan
    for part, keys in AGREED_KEYS.items():
        assert keys <= set(plan[part])
    for part, keys in AGREED_ROW_KEYS.items():
        assert all(keys <= set(row) for row in plan[part])


def test_the_keys_always_stand_in_the_same_order():
    orders = {tuple(course.planned().answer) for course in COURSES_OF_ALL_KINDS.values()}

    assert len(orders) == 1


def test_the_same_course_gives_the_same_text():
    assert json.dumps(contract_example()) == json.dumps(contract_example())


def test_the_example_course_is_answered_as_agreed():
    plan = contract_example()

    assert plan["pathway"]["treatment"] == "intramedullary_nail"
    assert plan["pathway"]["approved_by"] is None
    assert plan["scope"] == {"accepted": True, "refused_because": [], "needs_sign_off": []}
    assert (plan["anchor_on"], plan["healing_clock_from"]) == ("2027-02-02", "2027-02-02")
    assert [(row["code"], row["placed_on"], row["state"]) for row in plan["visits"]] == [
        ("N1", "2027-02-15", "attended"),
        ("N2", "2027-03-15", "missed"),
        ("N2", "2027-03-17", "cancelled"),
        ("N3", "2027-04-26", "cancelled"),
        ("N4", "2027-07-19", "cancelled"),
        ("N6", "2028-01-31", "cancelled"),
    ]
    assert plan["stage_now"]["stage"] == "WBAT"
    assert plan["stage_now"]["printed"] == "Unrestricted weightbearing (as comfort allows)"
    assert (plan["union_confirmed_on"], plan["ended_on"]) == ("2027-07-19", "2028-01-31")
    assert plan["reminders"] == []


def test_the_first_visit_of_the_example_says_its_window_and_why():
    [visit] = [row for row in nailed("2027-02-02").planned()["visits"] if row["code"] == "N1"]

    assert {key: visit[key] for key in ("target_on", "earliest_on", "latest_on", "placed_on", "day", "in_window")} == {
        "target_on": "2027-02-16",
        "earliest_on": "2027-02-12",
        "latest_on": "2027-02-18",
        "placed_on": "2027-02-15",
        "day": 13,
        "in_window": True,
    }
    assert [why["rule"] for why in visit["why"]] == ["S5"]
    assert "Tuesday 16 February 2027" in visit["why"][0]["text"]


def test_a_reminder_is_an_instant_in_utc():
    [first, *_] = nailed("2027-02-02").planned()["reminders"]

    assert (first["visit"], first["number"], first["send_at"]) == ("N1", 1, "2027-02-08T10:00:00+00:00")


def test_a_gate_says_what_it_needs_in_words():
    rows = in_cast("2027-02-02").planned()["stages"]
    [touch] = [row for row in rows if row["stage"] == "TTWB"]
    needs = {gate["finding"]: (gate["needs"], gate["met"]) for gate in touch["gates"]}

    assert needs == {
        "films_in_limits": ("the 2 newest films in limits", None),
        "rest_pain": ("3 or less", None),
        "cast_problem": ("no", None),
    }


def test_r06_a_refused_course_is_kept_on_somebodys_list():
    plan = COURSES_OF_ALL_KINDS["refused"].planned(on="2027-02-03").answer

    assert plan["scope"]["accepted"] is False
    assert (plan["visits"], plan["stages"], plan["reminders"]) == ([], [], [])
    assert plan["stage_now"]["stage"] == "NWB"
    assert [(alert["level"], alert["kind"]) for alert in plan["alerts"]] == [("RED", "scope")]
    assert [(task["kind"], task["due_on"], task["state"]) for task in plan["tasks"]] == [
        ("clinician must arrange follow-up", "2027-02-03", "open")
    ]


def test_an_alert_says_whether_it_is_still_open():
    states = {alert["on"]: alert["state"] for alert in CAST_COURSE.planned()["alerts"] if alert["kind"] == "alignment"}

    assert states == {"2027-07-12": "open"}


def test_no_sentence_prints_a_percentage_of_body_weight():
    texts = json.dumps([course.planned()["stages"] for course in COURSES_OF_ALL_KINDS.values()])

    assert "%" not in texts
