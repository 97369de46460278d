"""Worked case 8: progress delayed over the autumn clock change (dates from the clinic's case book)."""

import pytest

from tests.rehab.cases.course import plated
from tests.rehab.cases.reading import as_row, rules

# Right, closed 42-B2, 61 years, 58.0 kg. Injured Thursday 9 September 2027, plated Friday 10 September.
COURSE = (
    plated("2027-09-10", injured_at="2027-09-09T18:05", fracture_class="B2", born_on="1966-04-04", weight_kg=58.0)
    .ordered("TTWB", "2027-09-10")
    .film("2027-09-10")
)
HELD = (
    COURSE.attended("P1", "2027-09-24")
    .attended("P2", "2027-10-22")
    .film("2027-10-22")
    .found("P2", "2027-10-22", touch_pain=6, implants_unchanged=True)
)
MOVED_ON = (
    HELD.attended("X1", "2027-11-05")
    .film("2027-11-05")
    .found("X1", "2027-11-05", touch_pain=2, implants_unchanged=True)
    .ordered("PWB50", "2027-11-05")
)

# code, target, earliest, latest, placed, day, in window
ROWS = [
    ("P1", "2027-09-24", "2027-09-20", "2027-09-26", "2027-09-24", 14, True),
    ("P2", "2027-10-22", "2027-10-18", "2027-10-26", "2027-10-22", 42, True),
    ("P3", "2027-12-03", "2027-11-26", "2027-12-10", "2027-12-03", 84, True),
    ("P4", "2027-12-31", "2027-12-24", "2028-01-07", "2027-12-31", 112, True),
    ("P5", "2028-02-25", "2028-02-18", "2028-03-03", "2028-02-25", 168, True),
    ("P6", "2028-05-19", "2028-05-12", "2028-05-26", "2028-05-19", 252, True),
    ("P7", "2028-09-08", "2028-08-25", "2028-09-22", "2028-09-08", 364, True),
]


@pytest.fixture(scope="module")
def held():
    return HELD.planned()


@pytest.mark.parametrize("expected", ROWS, ids=lambda row: row[0])
def test_case_08_each_visit_has_its_target_window_and_place(expected):
    assert as_row(COURSE.planned().row(expected[0])) == expected


def test_case_08_clot_prevention_review_is_due_on_22_october():
    assert COURSE.planned().tasks("clot prevention review") == [("2027-10-22", "open")]


def test_case_08_touch_weight_is_capped_at_5_kg():
    assert COURSE.planned().now() == ("TTWB", 5, "surgeon")
    assert COURSE.planned().stage("TTWB")["cap_kg"] == 5


def test_case_08_pain_of_six_shuts_the_gate(held):
    assert held.gate("PWB50", "touch_pain") is False
    assert held.now()[0] == "TTWB"


def test_case_08_an_extra_review_follows_after_fourteen_days(held):
    review = held.row("X1")

    assert as_row(review) == ("X1", "2027-11-05", "2027-11-03", "2027-11-07", "2027-11-05", 56, True)
    assert "S10" in rules(review)
    assert held.stage("PWB50")["gate_visit"] == "X1"
    assert held.stage("PWB50")["not_before"] == "2027-11-05"


def test_case_08_the_extra_review_is_reminded_before_and_after_the_clocks_go_back(held):
    assert held.reminders("X1") == [(1, "2027-10-29T09:00Z"), (2, "2027-11-04T10:00Z")]


def test_case_08_the_later_visits_and_stages_keep_their_dates(held):
    assert [as_row(held.row(row[0])) for row in ROWS[2:]] == ROWS[2:]
    assert held.stage("WBAT")["not_before"] == "2027-12-03"


def test_case_08_the_gate_opens_at_the_extra_review():
    course = HELD.attended("X1", "2027-11-05").film("2027-11-05")
    plan = course.found("X1", "2027-11-05", touch_pain=2, implants_unchanged=True).planned()

    assert all(gate["met"] is True for gate in plan.stage("PWB50")["gates"])


def test_case_08_the_surgeon_orders_29_kg_from_5_november():
    now = MOVED_ON.planned()["stage_now"]

    assert (now["stage"], now["cap_kg"], now["since"], now["ordered_by"]) == ("PWB50", 29, "2027-11-05", "surgeon")
    assert now["printed"] == "Limited weightbearing"


def test_case_08_week_12_is_28_days_later_and_stays():
    plan = MOVED_ON.planned()

    assert as_row(plan.row("P3")) == ROWS[2]
    assert plan.stage("WBAT")["not_before"] == "2027-12-03"
    assert plan.rows("X2") == []


def test_case_08_an_unclosed_clot_review_comes_back_after_fourteen_days():
    assert MOVED_ON.planned().tasks("clot prevention review") == [("2027-10-22", "overdue"), ("2027-11-05", "open")]
