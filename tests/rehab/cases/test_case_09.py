"""Worked case 9: slow healing after a nail, to possible non-union (dates from the clinic's case book)."""

import pytest

from tests.rehab.cases.course import nailed
from tests.rehab.cases.reading import as_row, rules

# Left, closed 42-C3, smoker, 45 years, 77.0 kg. Injured Wednesday 6 January 2027, nailed Friday 8 January.
COURSE = nailed(
    "2027-01-08",
    injured_at="2027-01-06T08:40",
    side="left",
    fracture_class="C3",
    born_on="1981-12-12",
    weight_kg=77.0,
).ordered("PWB50", "2027-01-08")
AT_WEEK_6 = COURSE.attended("N1", "2027-01-22").attended("N2", "2027-02-19").film("2027-02-19", rust=[2, 1, 1, 1])
AT_WEEK_12 = AT_WEEK_6.attended("N3", "2027-04-02").film("2027-04-02", rust=[2, 2, 1, 1]).ordered("WBAT", "2027-04-02")
AT_WEEK_24 = AT_WEEK_12.attended("N4", "2027-06-25").film("2027-06-25", rust=[2, 2, 2, 2])
AT_WEEK_36 = AT_WEEK_24.attended("N5", "2027-09-17").film("2027-09-17", rust=[2, 2, 2, 2])

# code, target, earliest, latest, placed, day, in window
ROWS = [
    ("N1", "2027-01-22", "2027-01-18", "2027-01-24", "2027-01-22", 14, True),
    ("N2", "2027-02-19", "2027-02-15", "2027-02-23", "2027-02-19", 42, True),
    ("N3", "2027-04-02", "2027-03-26", "2027-04-09", "2027-04-02", 84, True),
    ("N4", "2027-06-25", "2027-06-18", "2027-07-02", "2027-06-25", 168, True),
    ("N5", "2027-09-17", "2027-09-10", "2027-09-24", "2027-09-17", 252, True),
    ("N6", "2028-01-07", "2027-12-24", "2028-01-21", "2028-01-07", 364, True),
]


@pytest.mark.parametrize("expected", ROWS, ids=lambda row: row[0])
def test_case_09_each_visit_has_its_target_window_and_place(expected):
    assert as_row(COURSE.planned().row(expected[0])) == expected


def test_case_09_clot_prevention_review_is_due_on_19_february():
    assert COURSE.planned().tasks("clot prevention review") == [("2027-02-19", "open")]


def test_case_09_a_42_c_has_no_default_and_needs_a_sign_off():
    plan = COURSE.planned()

    assert [step[0] for step in plan.ladder()] == ["NWB"]
    assert len(plan["scope"]["needs_sign_off"]) == 1
    assert plan.alerts("scope") == [("2027-01-08", "AMBER")]


def test_case_09_the_surgeons_order_allows_38_kg_from_day_0():
    now = COURSE.planned()["stage_now"]

    assert (now["stage"], now["cap_kg"], now["since"], now["ordered_by"]) == ("PWB50", 38, "2027-01-08", "surgeon")


def test_case_09_score_5_at_week_6_is_flagged():
    assert AT_WEEK_6.planned().alerts("high risk") == [("2027-02-19", "AMBER")]


def test_case_09_score_6_at_week_12_is_flagged_again():
    assert AT_WEEK_12.planned().alerts("high risk") == [("2027-02-19", "AMBER"), ("2027-04-02", "AMBER")]


def test_case_09_the_surgeon_raises_the_order_at_week_12():
    plan = AT_WEEK_12.planned()

    assert plan.now() == ("WBAT", None, "surgeon")
    assert plan.stage("FWB")["authorised_by"] == ["surgeon"]


def test_case_09_score_8_on_healing_day_170_is_delayed_union():
    plan = AT_WEEK_24.planned()

    assert plan.row("N4")["healing_day"] == 170
    assert plan.alerts("delayed union") == [("2027-06-25", "AMBER")]
    assert plan.alerts("high risk") == [("2027-02-19", "AMBER"), ("2027-04-02", "AMBER")]


def test_case_09_week_36_becomes_real_and_is_reminded():
    plan = AT_WEEK_24.planned(on="2027-06-25")

    assert plan.row("N5")["state"] == "planned"
    assert plan.reminders("N5") == [(1, "2027-09-10T09:00Z"), (2, "2027-09-16T09:00Z")]
    assert AT_WEEK_12.planned().reminders("N5") == []


def test_case_09_no_progress_at_week_36_is_not_yet_non_union():
    assert AT_WEEK_36.planned().alerts("possible non-union") == []


def test_case_09_a_deciding_film_is_planned_for_nine_months_after_the_injury():
    film = AT_WEEK_36.planned().row("X1")

    assert as_row(film)[:5] == ("X1", "2027-10-06", "2027-10-06", "2027-10-13", "2027-10-06")
    assert film["in_window"] is True
    assert "S16" in rules(film)


def test_case_09_no_deciding_film_is_planned_before_week_36():
    assert AT_WEEK_24.planned().rows("X1") == []


def test_case_09_the_same_score_on_6_october_is_possible_non_union():
    plan = AT_WEEK_36.attended("X1", "2027-10-06").film("2027-10-06", rust=[2, 2, 2, 2]).planned()

    assert plan.alerts("possible non-union") == [("2027-10-06", "AMBER")]
    assert plan.rows("X2") == []


def test_case_09_a_better_score_on_6_october_stays_delayed_union():
    plan = AT_WEEK_36.attended("X1", "2027-10-06").film("2027-10-06", rust=[3, 2, 2, 2]).planned()

    assert plan.alerts("possible non-union") == []
    assert plan.alerts("delayed union") == [("2027-06-25", "AMBER")]
