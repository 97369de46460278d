"""Worked case 4: an open IIIA fracture nailed across midnight (dates from the clinic's case book)."""

import pytest

from tests.rehab.cases.course import nailed
from tests.rehab.cases.reading import as_row, rules

# Right, 42-B3, open IIIA, 29 years, 80.0 kg. Injured Saturday 5 June 2027 21:40 summer time, first antibiotic 22:30,
# operation started 23:30, wound closed at 01:40 on Sunday.
COURSE = nailed(
    "2027-06-05",
    injured_at="2027-06-05T21:40",
    presented_at="2027-06-05T22:15",
    treated_at="2027-06-05T23:30",
    fracture_class="B3",
    open_grade="IIIA",
    born_on="1998-03-09",
    weight_kg=80.0,
    antibiotic_at="2027-06-05T22:30",
    wound_closed_at="2027-06-06T01:40",
)

# code, target, earliest, latest, placed, day, in window
ROWS = [
    ("O1", "2027-06-12", "2027-06-10", "2027-06-14", "2027-06-11", 6, True),
    ("N1", "2027-06-19", "2027-06-15", "2027-06-21", "2027-06-18", 13, True),
    ("O2", "2027-06-26", "2027-06-24", "2027-06-28", "2027-06-25", 20, True),
    ("O3", "2027-07-03", "2027-07-01", "2027-07-05", "2027-07-02", 27, True),
    ("N2", "2027-07-17", "2027-07-13", "2027-07-21", "2027-07-16", 41, True),
    ("N3", "2027-08-28", "2027-08-21", "2027-09-04", "2027-08-27", 83, True),
    ("N3b", "2027-09-25", "2027-09-18", "2027-10-02", "2027-09-24", 111, True),
    ("N4", "2027-11-20", "2027-11-13", "2027-11-27", "2027-11-19", 167, True),
    ("N5", "2028-02-12", "2028-02-05", "2028-02-19", "2028-02-11", 251, True),
    ("N6", "2028-06-03", "2028-05-20", "2028-06-17", "2028-06-02", 363, True),
]
IIIB = COURSE.changed("injury", open_grade="IIIB")


@pytest.fixture(scope="module")
def plan():
    return COURSE.planned()


@pytest.mark.parametrize("expected", ROWS, ids=lambda row: row[0])
def test_case_04_each_visit_has_its_target_window_and_place(plan, expected):
    row = plan.row(expected[0])

    assert as_row(row) == expected
    assert "S5" in rules(row)


def test_case_04_grade_three_adds_three_wound_visits_and_a_week_16_film(plan):
    assert plan.codes() == ["O1", "N1", "O2", "O3", "N2", "N3", "N3b", "N4", "N5", "N6"]


def test_case_04_day_0_is_the_day_the_operation_started(plan):
    assert plan["anchor_on"] == "2027-06-05"


def test_case_04_both_antibiotic_reviews_are_due_at_their_instants(plan):
    assert plan.due_instants("antibiotic review") == ["2027-06-07T00:40Z", "2027-06-08T20:40Z"]
    assert plan.tasks("antibiotic review") == [("2027-06-07", "open"), ("2027-06-08", "open")]


def test_case_04_grade_iiia_without_flap_keeps_the_default_ladder(plan):
    row = plan.stage("WBAT")

    assert (row["not_before"], row["gate_visit"]) == ("2027-06-05", "N0")
    assert plan["scope"]["needs_sign_off"] == []


def test_case_04_the_clot_review_moves_back_from_saturday_to_friday(plan):
    assert plan.tasks("clot prevention review") == [("2027-07-16", "open")]


def test_case_04_winter_time_has_come_by_week_24(plan):
    assert plan.reminders("N3b") == [(1, "2027-09-17T09:00Z"), (2, "2027-09-23T09:00Z")]
    assert plan.reminders("N4") == [(1, "2027-11-12T10:00Z"), (2, "2027-11-18T10:00Z")]


def test_case_04_no_consultant_review_task_after_a_nail(plan):
    assert plan.tasks("consultant review") == []


def test_case_04_an_upgrade_to_iiib_withdraws_the_default_and_keeps_the_dates(plan):
    upgraded = IIIB.planned()

    assert [step[0] for step in upgraded.ladder()] == ["NWB"]
    assert upgraded.now()[0] == "NWB"
    assert [as_row(v) for v in upgraded["visits"]] == [as_row(v) for v in plan["visits"]]


def test_case_04_iiib_needs_a_surgeons_sign_off():
    plan = IIIB.planned()

    assert len(plan["scope"]["needs_sign_off"]) == 1
    assert plan.alerts("scope") == [("2027-06-05", "AMBER")]
    assert plan["scope"]["accepted"] is True


def test_case_04_iiib_follows_the_surgeons_own_order():
    assert IIIB.ordered("TTWB", "2027-06-06").planned().now() == ("TTWB", 8, "surgeon")
