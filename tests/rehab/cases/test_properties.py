"""Promises kept on random courses: over two thousand in every full run, ten thousand behind the mark "long"."""

import json
import os
import time
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from tests.rehab.cases import promises
from tests.rehab.cases.course import Course, in_cast, nailed, plated
from tests.rehab.cases.random_courses import courses, random_course
from tests.rehab.cases.reading import ReadPlan

pytestmark = pytest.mark.slow

CHECKS = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
QUICK = settings(max_examples=125, derandomize=True, deadline=None, suppress_health_check=CHECKS)
LONG = settings(max_examples=1000, deadline=None, suppress_health_check=CHECKS)
SCHEMAS = Path(__file__).resolve().parents[3] / "docs" / "schemas"
EVERY_DAY = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]

PROMISES = [
    promises.each_place_is_the_nearest_open_day,
    promises.planned_visits_stand_on_open_days_only,
    promises.window_day_and_clock_agree_with_the_place,
    promises.no_stage_begins_without_an_order,
    promises.the_healing_clock_never_restarts,
    promises.kilograms_are_never_above_the_share_of_the_weight,
    promises.no_stage_comes_before_its_gate_visit,
    promises.every_date_lies_within_the_course,
    promises.reminders_go_a_week_and_a_working_day_before_at_ten,
    promises.nobody_is_lost,
]


@pytest.fixture(scope="module")
def contents_of():
    """What each visit is for when it stands alone, by code."""
    begun = [nailed("2027-02-02", open_grade="IIIA"), nailed("2027-02-02"), in_cast("2027-02-02"), plated("2027-02-02")]
    alone = [visit for course in begun for visit in course.at_clinic(clinic_days=EVERY_DAY).planned()["visits"]]
    assert not any(visit["together_with"] for visit in alone)
    return {visit["code"]: set(visit["contents"]) for visit in alone}


@pytest.mark.parametrize("promise", PROMISES, ids=lambda promise: promise.__name__)
def test_every_course_keeps(promise):
    @QUICK
    @given(courses())
    def holds(course):
        promise(course)

    holds()


@QUICK
@given(course=courses())
def test_merged_visits_keep_what_each_is_for(contents_of, course):
    promises.merged_visits_keep_what_each_is_for(course, contents_of)


@QUICK
@given(course=courses(), later=st.integers(0, 500))
def test_the_day_of_asking_moves_no_place(course, later):
    promises.the_day_of_asking_moves_no_place(course, promises.newest_day(course) + timedelta(days=later))


@QUICK
@given(course=courses(), seed=st.randoms(use_true_random=False))
def test_the_same_facts_give_the_same_plan(course, seed):
    parts = list(course.document.items())
    seed.shuffle(parts)
    again = Course(json.loads(json.dumps(dict(parts))))

    assert again.planned().answer == course.planned().answer


@QUICK
@given(course=courses(), seed=st.randoms(use_true_random=False))
def test_entries_of_different_days_may_stand_in_any_order(course, seed):
    by_day = {}
    for entry in course.document["history"]:
        by_day.setdefault(entry["on"], []).append(entry)
    shuffled = []
    while any(by_day.values()):
        shuffled.append(by_day[seed.choice([day for day, left in by_day.items() if left])].pop(0))

    assert Course({**course.document, "history": shuffled}).planned().answer == course.planned().answer


@QUICK
@given(course=courses(), seed=st.randoms(use_true_random=False))
@example(course=random_course(71389, 8), seed=Random(1))  # two values of one finding on one day: the later counts
def test_entries_of_one_day_that_do_not_touch_each_other_may_change_places(course, seed):
    """Comings, findings, a union test and a closed review: which was written down first says nothing.

    Two values of one finding on one day do touch each other: the second is the later one.
    """
    history = list(course.document["history"])
    for day in {entry["on"] for entry in history}:
        independent = {"attended", "clinical union", "clot review closed"}
        if not looked_at_twice(history, day):
            independent.add("gate findings")
        places = [i for i, e in enumerate(history) if e["on"] == day and e["what"] in independent]
        moved = [history[i] for i in places]
        seed.shuffle(moved)
        for i, entry in zip(places, moved, strict=True):
            history[i] = entry

    assert unordered(Course({**course.document, "history": history})) == unordered(course)


def looked_at_twice(history, day):
    names = [name for e in history if e["on"] == day and e["what"] == "gate findings" for name in e["findings"]]
    return len(names) != len(set(names))


def unordered(course):
    answer = course.planned().answer
    return {**answer, "alerts": sorted(json.dumps(alert, sort_keys=True) for alert in answer["alerts"])}


@QUICK
@given(course=courses())
def test_course_and_plan_have_the_shapes_of_their_schemas(course):
    answer = course.planned().answer

    assert list(schema("course").iter_errors(course.document)) == []
    assert list(schema("plan").iter_errors(answer)) == []
    assert_contract_keys(answer)


def schema(name):
    return Draft202012Validator(json.loads((SCHEMAS / f"{name}.schema.json").read_text()))


# The keys scripts rely on; more may be added, none renamed.
CONTRACT = {
    "visits": "code title target_on earliest_on latest_on placed_on day in_window together_with contents"
    " only_if_not_united state why treatment healing_day deadline_on",
    "stages": "stage printed not_before cap_kg gate_visit gates authorised_by",
    "tasks": "kind due_on state due_at",
    "reminders": "visit number send_at",
    "alerts": "level kind on text state",
}
KINDS = ["alignment", "high risk", "delayed union", "possible non-union", "union suggested", "missed", "scope"]


def assert_contract_keys(answer):
    assert {"pathway", "scope", "anchor_on", "healing_clock_from", "stage_now", *CONTRACT} <= set(answer)
    assert {"treatment", "version", "approved_by"} <= set(answer["pathway"])
    assert {"accepted", "refused_because", "needs_sign_off"} <= set(answer["scope"])
    assert {"stage", "printed", "cap_kg", "since", "ordered_by"} <= set(answer["stage_now"])
    for part, keys in CONTRACT.items():
        assert all(set(keys.split()) <= set(row) for row in answer[part]), part
    assert {alert["level"] for alert in answer["alerts"]} <= {"RED", "AMBER", "INFO"}
    assert {alert["kind"] for alert in answer["alerts"]} <= set(KINDS)
    assert {v["state"] for v in answer["visits"]} <= {"planned", "attended", "missed", "cancelled"}


@pytest.mark.parametrize("zone", ["UTC", "Pacific/Kiritimati", "America/Los_Angeles"])
def test_the_servers_own_time_zone_changes_nothing(zone, monkeypatch):
    course = nailed("2027-06-05", injured_at="2027-06-05T21:40", treated_at="2027-06-05T23:30", open_grade="IIIA")
    here = course.planned().answer
    was = os.environ.get("TZ")
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        assert course.planned().answer == here
    finally:
        monkeypatch.undo()
        assert os.environ.get("TZ") == was
        time.tzset()


def test_the_random_courses_are_worth_asking():
    """The walk reaches every kind of fact: otherwise the promises above would be cheap."""
    seen, extra = set(), set()

    @settings(QUICK, max_examples=200)
    @given(courses())
    def look(course):
        seen.update(entry["what"] for entry in course.document["history"])
        seen.add(f"{len(course.document['treatments'])} treatments")
        extra.update(e["visit"] for e in course.document["history"] if e.get("visit", "").startswith("X"))

    look()
    assert extra
    wanted = {"attended", "missed", "film", "gate findings", "stage ordered", "wedged", "clinical union"}
    assert wanted | {"union confirmed", "clot review closed", "discharged", "2 treatments"} <= seen


@pytest.mark.long
@pytest.mark.parametrize("promise", PROMISES, ids=lambda promise: promise.__name__)
def test_many_more_courses_keep(promise):
    @LONG
    @given(courses(max_steps=24))
    def holds(course):
        promise(course)

    holds()


def test_planning_leaves_the_course_document_as_it_was():
    course = nailed("2027-02-02").attended("N1", "2027-02-15").film("2027-03-15", rust=[2, 2, 1, None])
    before = json.dumps(course.document)
    course.planned()

    assert json.dumps(course.document) == before


def test_a_plan_is_read_from_json_alone():
    answer = json.loads(json.dumps(nailed("2027-02-02").planned().answer))

    assert ReadPlan(answer).row("N1")["placed_on"] == "2027-02-15"
