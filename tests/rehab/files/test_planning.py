"""From document to plan: the calendar reaches far enough, and the day of asking moves nothing."""

from copy import deepcopy
from datetime import date

import pytest

from rehab.files import plan_course, plan_course_file
from tests.rehab.cases.course import nailed


@pytest.mark.parametrize("on", ["1999-01-01", "2027-02-02", "2045-06-01", "2090-12-31"])
def test_the_day_of_asking_may_lie_far_away(on):
    plan = nailed("2027-02-02").planned(on=on)

    assert plan.states("N1") == [("2027-02-15", "planned")]


def test_a_history_that_goes_on_for_years_is_planned():
    course = nailed("2027-02-02")
    for year in range(2028, 2041):
        course = course.film(f"{year}-03-01", rust=[2, 2, 2, 2])

    assert course.planned().alerts("possible non-union")[-1] == ("2040-03-01", "AMBER")


def test_an_injury_of_long_ago_is_planned():
    plan = nailed("1999-03-01", born_on="1960-05-05").planned()

    assert plan["anchor_on"] == "1999-03-01"


def test_a_treatment_long_after_the_injury_keeps_the_healing_clock():
    plan = nailed("2027-02-02", treated_at="2029-05-01T10:00").planned()

    assert (plan["anchor_on"], plan["healing_clock_from"]) == ("2029-05-01", "2027-02-02")


def test_planning_leaves_the_document_as_it_was(document):
    before = deepcopy(document)
    plan_course(document)

    assert document == before


def test_the_plan_is_also_given_as_values(document):
    planned = plan_course_file(document, date(2027, 2, 3))

    assert planned.plan.anchor_on == date(2027, 2, 2)
    assert planned.course.injury.on == date(2027, 2, 2)
    assert planned.clinic.country == "GB"


def test_a_booked_place_is_a_fact_that_planning_keeps():
    course = nailed("2027-02-02").recorded("booked", "2027-02-03", visit="N1", place_on="2027-02-17")

    [visit] = course.planned().rows("N1")
    assert (visit["placed_on"], visit["booked"]) == ("2027-02-17", True)
