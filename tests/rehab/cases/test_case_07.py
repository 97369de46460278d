"""Worked case 7: alignment lost and regained by wedging the cast (dates from the clinic's case book)."""

import pytest

from tests.rehab.cases.course import in_cast
from tests.rehab.cases.reading import as_row, rules

# Left, closed 42-A2, 36 years, 64.0 kg. Injured and cast Wednesday 8 September 2027.
COURSE = in_cast("2027-09-08", side="left", born_on="1991-05-02", weight_kg=64.0).film(
    "2027-09-08", valgus=2, anterior=5, shortening=3
)
TO_WEEK_1 = (
    COURSE.attended("C1", "2027-09-10")
    .attended("C2", "2027-09-15")
    .film("2027-09-15", valgus=4, anterior=5, shortening=3)
)
SLIPPED = TO_WEEK_1.attended("C3", "2027-09-22").film("2027-09-22", valgus=7, anterior=5, shortening=3)
WEDGED = SLIPPED.wedged("2027-09-22").film("2027-09-22", valgus=2, anterior=5, shortening=3)
AT_WEEK_4 = (
    WEDGED.attended("C4", "2027-09-29")
    .film("2027-09-29", valgus=2, anterior=5, shortening=3)
    .attended("C5", "2027-10-06")
    .film("2027-10-06", valgus=3, anterior=5, shortening=3)
    .found("C5", "2027-10-06", rest_pain=2, cast_problem=False)
)

# code, target, earliest, latest, placed, day, in window
ROWS = [
    ("C1", "2027-09-11", "2027-09-09", "2027-09-11", "2027-09-10", 2, True),
    ("C2", "2027-09-15", "2027-09-14", "2027-09-17", "2027-09-15", 7, True),
    ("C3", "2027-09-22", "2027-09-20", "2027-09-24", "2027-09-22", 14, True),
    ("C4", "2027-09-29", "2027-09-27", "2027-10-01", "2027-09-29", 21, True),
    ("C5", "2027-10-06", "2027-10-04", "2027-10-08", "2027-10-06", 28, True),
    ("C6", "2027-10-20", "2027-10-16", "2027-10-24", "2027-10-20", 42, True),
    ("C7", "2027-11-03", "2027-10-30", "2027-11-07", "2027-11-03", 56, True),
    ("C8", "2027-12-01", "2027-11-24", "2027-12-08", "2027-12-01", 84, True),
    ("C9", "2027-12-29", "2027-12-22", "2028-01-05", "2027-12-29", 112, True),
    ("C10", "2028-02-23", "2028-02-16", "2028-03-01", "2028-02-23", 168, True),
    ("C11", "2028-05-17", "2028-05-10", "2028-05-24", "2028-05-17", 252, True),
    ("C12", "2028-09-06", "2028-08-23", "2028-09-20", "2028-09-06", 364, True),
]


@pytest.fixture(scope="module")
def plan():
    return COURSE.planned()


@pytest.mark.parametrize("expected", ROWS, ids=lambda row: row[0])
def test_case_07_each_visit_has_its_target_window_and_place(plan, expected):
    assert as_row(plan.row(expected[0])) == expected


def test_case_07_clot_prevention_review_is_due_on_20_october(plan):
    assert plan.tasks("clot prevention review") == [("2027-10-20", "open")]


def test_case_07_two_degrees_from_the_first_film_raise_nothing():
    assert TO_WEEK_1.planned().alerts("alignment") == []


def test_case_07_seven_degrees_valgus_is_red():
    assert SLIPPED.planned().alerts("alignment") == [("2027-09-22", "RED")]


def test_case_07_the_film_after_wedging_is_the_new_baseline_and_raises_nothing():
    assert WEDGED.planned().alerts("alignment") == [("2027-09-22", "RED")]
    assert AT_WEEK_4.planned().alerts("alignment") == [("2027-09-22", "RED")]


def test_case_07_the_week_3_film_serves_as_the_extra_film_after_wedging():
    plan = WEDGED.planned()

    assert as_row(plan.row("C4")) == ROWS[3]
    assert "S12" in rules(plan.row("C4"))
    assert [code for code in plan.codes() if code.startswith("X")] == []


def test_case_07_two_films_in_limits_open_touch_weight_on_6_october():
    step = AT_WEEK_4.planned().stage("TTWB")

    assert (step["not_before"], step["cap_kg"], step["gate_visit"]) == ("2027-10-06", 6, "C5")
    assert [gate["met"] for gate in step["gates"]] == [True] * len(step["gates"])


def test_case_07_the_gate_was_shut_while_the_alignment_was_lost():
    assert SLIPPED.planned().gate("TTWB", "films_in_limits") is False


def test_case_07_the_surgeons_order_gives_touch_weight_of_6_kg():
    now = AT_WEEK_4.ordered("TTWB", "2027-10-06").planned()["stage_now"]

    assert (now["stage"], now["cap_kg"], now["since"]) == ("TTWB", 6, "2027-10-06")
    assert now["printed"] == "Limited weightbearing (foot touch for balance)"


def test_case_07_the_next_stages_are_not_before_20_october_and_3_november():
    ladder = AT_WEEK_4.ordered("TTWB", "2027-10-06").planned().ladder()

    assert ("PWB50", "2027-10-20", 32) in ladder
    assert ("WBAT", "2027-11-03", None) in ladder


def test_case_07_week_8_is_reminded_on_both_sides_of_the_clock_change(plan):
    assert plan.reminders("C7") == [(1, "2027-10-27T09:00Z"), (2, "2027-11-02T10:00Z")]
