"""Worked case 6: missed visits and the August bank holiday (dates from the clinic's case book)."""

import pytest

from tests.rehab.cases.course import in_cast
from tests.rehab.cases.reading import as_row, rules

# Right, closed 42-A1, 23 years, 70.5 kg. Injured and cast Monday 9 August 2027.
COURSE = in_cast("2027-08-09", fracture_class="A1", born_on="2004-01-30", weight_kg=70.5)
MISSED_ONCE = COURSE.attended("C1", "2027-08-11").attended("C2", "2027-08-16").missed("C3", "2027-08-23")
MISSED_TWICE = MISSED_ONCE.missed("C3", "2027-08-25")

# code, target, earliest, latest, placed, day, in window
ROWS = [
    ("C1", "2027-08-12", "2027-08-10", "2027-08-12", "2027-08-11", 2, True),
    ("C2", "2027-08-16", "2027-08-15", "2027-08-18", "2027-08-16", 7, True),
    ("C3", "2027-08-23", "2027-08-21", "2027-08-25", "2027-08-23", 14, True),
    ("C4", "2027-08-30", "2027-08-28", "2027-09-01", "2027-09-01", 23, True),  # the target is a bank holiday
    ("C5", "2027-09-06", "2027-09-04", "2027-09-08", "2027-09-06", 28, True),
    ("C6", "2027-09-20", "2027-09-16", "2027-09-24", "2027-09-20", 42, True),
    ("C7", "2027-10-04", "2027-09-30", "2027-10-08", "2027-10-04", 56, True),
    ("C8", "2027-11-01", "2027-10-25", "2027-11-08", "2027-11-01", 84, True),
    ("C9", "2027-11-29", "2027-11-22", "2027-12-06", "2027-11-29", 112, True),
    ("C10", "2028-01-24", "2028-01-17", "2028-01-31", "2028-01-24", 168, True),
    ("C11", "2028-04-17", "2028-04-10", "2028-04-24", "2028-04-19", 254, True),  # Easter Monday; Friday was Good Friday
    ("C12", "2028-08-07", "2028-07-24", "2028-08-21", "2028-08-07", 364, True),
]


@pytest.fixture(scope="module")
def plan():
    return COURSE.planned()


@pytest.mark.parametrize("expected", ROWS, ids=lambda row: row[0])
def test_case_06_each_visit_has_its_target_window_and_place(plan, expected):
    assert as_row(plan.row(expected[0])) == expected


def test_case_06_clot_prevention_review_is_due_on_20_september(plan):
    assert plan.tasks("clot prevention review") == [("2027-09-20", "open")]


def test_case_06_the_first_miss_is_rebooked_on_the_next_open_day():
    plan = MISSED_ONCE.planned()
    again = plan.rows("C3")[1]

    assert plan.states("C3") == [("2027-08-23", "missed"), ("2027-08-25", "planned")]
    assert (again["day"], again["in_window"], again["deadline_on"]) == (16, True, "2027-08-26")
    assert "S8" in rules(again)


def test_case_06_the_first_miss_is_amber_on_the_same_day():
    assert MISSED_ONCE.planned().alerts("missed") == [("2027-08-23", "AMBER")]


def test_case_06_the_second_miss_is_booked_outside_the_window_after_the_deadline():
    plan = MISSED_TWICE.planned()
    again = plan.rows("C3")[2]

    assert plan.states("C3") == [("2027-08-23", "missed"), ("2027-08-25", "missed"), ("2027-08-27", "planned")]
    assert (again["in_window"], again["deadline_on"]) == (False, "2027-08-26")


def test_case_06_the_second_miss_goes_to_the_surgeon_the_same_day():
    assert MISSED_TWICE.planned().alerts("missed") == [("2027-08-23", "AMBER"), ("2027-08-25", "RED")]


def test_case_06_the_visits_after_the_missed_one_keep_their_dates():
    plan = MISSED_TWICE.planned()

    assert [as_row(plan.row(row[0])) for row in ROWS[3:]] == ROWS[3:]


def test_case_06_missing_a_film_moves_no_stage():
    steps = [(stage, day) for stage, day, _ in MISSED_TWICE.planned().ladder()]

    assert steps == [(stage, day) for stage, day, _ in COURSE.planned().ladder()]
    assert ("TTWB", "2027-09-06") in steps
    assert MISSED_TWICE.planned().now()[0] == "NWB"


def test_case_06_two_later_films_are_enough_for_touch_weight():
    course = MISSED_TWICE.film("2027-08-09").attended("C3", "2027-08-27").attended("C4", "2027-09-01")
    both = course.film("2027-09-01", varus=1).attended("C5", "2027-09-06").film("2027-09-06", varus=1)

    assert both.planned().gate("TTWB", "films_in_limits") is True


def test_case_06_one_film_alone_is_not_enough_for_touch_weight():
    course = MISSED_TWICE.film("2027-09-01")

    assert course.planned().gate("TTWB", "films_in_limits") is not True
