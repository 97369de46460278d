"""Worked case 5: a cast that slips and is converted to a nail (dates from the clinic's case book)."""

import pytest

from tests.rehab.cases.course import NAIL, in_cast
from tests.rehab.cases.reading import as_row, rules

# Left, closed 42-A3, 47 years, 91.0 kg. Injured and cast Monday 5 July 2027; baseline 2 degrees varus, 4 mm short.
IN_CAST = in_cast("2027-07-05", side="left", fracture_class="A3", born_on="1980-02-11", weight_kg=91.0).film(
    "2027-07-05", varus=2, shortening=4
)
SLIPPED = IN_CAST.attended("C1", "2027-07-07").attended("C2", "2027-07-12").film("2027-07-12", varus=7, shortening=12)
CONVERTED = SLIPPED.then(NAIL, "2027-07-15")

CAST_PLACES = [
    ("C1", "2027-07-07"),
    ("C2", "2027-07-12"),
    ("C3", "2027-07-19"),
    ("C4", "2027-07-26"),
    ("C5", "2027-08-02"),
    ("C6", "2027-08-16"),
    ("C7", "2027-09-01"),  # target Monday 30 August is a bank holiday; Wednesday is nearer than Friday
    ("C8", "2027-09-27"),
    ("C9", "2027-10-25"),
    ("C10", "2027-12-20"),
    ("C12", "2028-07-03"),
]
# code, target, earliest, latest, placed, day from 15 July, in window
NAIL_ROWS = [
    ("N1", "2027-07-29", "2027-07-25", "2027-07-31", "2027-07-28", 13, True),
    ("N2", "2027-08-26", "2027-08-22", "2027-08-30", "2027-08-25", 41, True),
    ("N3", "2027-10-07", "2027-09-30", "2027-10-14", "2027-10-06", 83, True),
    ("N4", "2027-12-30", "2027-12-23", "2028-01-06", "2027-12-29", 167, True),
    ("N5", "2028-03-23", "2028-03-16", "2028-03-30", "2028-03-22", 251, True),
    ("N6", "2028-07-13", "2028-06-29", "2028-07-27", "2028-07-12", 363, True),
]


@pytest.fixture(scope="module")
def plan():
    return CONVERTED.planned()


@pytest.mark.parametrize(("code", "placed_on"), CAST_PLACES)
def test_case_05_the_cast_plan_has_these_places(code, placed_on):
    assert IN_CAST.planned().row(code)["placed_on"] == placed_on


def test_case_05_seven_degrees_and_twelve_millimetres_is_one_red_alert():
    assert SLIPPED.planned().alerts("alignment") == [("2027-07-12", "RED")]


def test_case_05_the_week_2_film_would_have_been_the_extra_film():
    plan = SLIPPED.planned()

    assert "S12" in rules(plan.row("C3"))
    assert plan.rows("X1") == []


@pytest.mark.parametrize("expected", NAIL_ROWS, ids=lambda row: row[0])
def test_case_05_each_visit_after_the_nail_has_its_target_window_and_place(plan, expected):
    row = plan.row(expected[0])

    assert as_row(row) == expected
    assert row["treatment"] == 2


def test_case_05_nine_cast_visits_are_cancelled_and_two_stay_attended(plan):
    assert plan.codes("cancelled") == ["C3", "C4", "C5", "C6", "C7", "C8", "C9", "C10", "C12"]
    assert plan.codes("attended") == ["C1", "C2"]
    assert plan.rows("C11") == []


def test_case_05_cancelled_visits_belong_to_the_first_treatment(plan):
    assert {v["treatment"] for v in plan["visits"] if v["code"].startswith("C")} == {1}


def test_case_05_the_old_clot_review_is_cancelled_and_a_new_one_opens(plan):
    assert IN_CAST.planned().tasks("clot prevention review") == [("2027-08-16", "open")]
    assert plan.tasks("clot prevention review") == [("2027-08-16", "cancelled"), ("2027-08-26", "open")]


def test_case_05_the_healing_clock_goes_on_from_the_injury(plan):
    week_24 = plan.row("N4")

    assert (plan["anchor_on"], plan["healing_clock_from"]) == ("2027-07-15", "2027-07-05")
    assert (week_24["day"], week_24["healing_day"]) == (167, 177)


def test_case_05_healing_day_168_is_20_december():
    assert CONVERTED.planned(on="2027-12-19").alerts("delayed union") == []
    assert CONVERTED.planned(on="2027-12-20").alerts("delayed union") == [("2027-12-20", "AMBER")]


def test_case_05_the_leg_is_non_weightbearing_until_the_new_order(plan):
    assert plan.now() == ("NWB", plan["stage_now"]["cap_kg"], None)
    assert plan["stage_now"]["since"] == "2027-07-15"


def test_case_05_an_order_from_before_the_nail_does_not_count():
    earlier = SLIPPED.ordered("TTWB", "2027-07-12").then(NAIL, "2027-07-15")

    assert earlier.planned().now()[0] == "NWB"


def test_case_05_the_surgeons_new_order_on_the_day_of_the_nail_counts():
    assert CONVERTED.ordered("WBAT", "2027-07-15").planned().now() == ("WBAT", None, "surgeon")


def test_case_05_only_the_nails_visits_are_reminded(plan):
    assert {reminder["visit"] for reminder in plan["reminders"]} == {"N1", "N2", "N3", "N4", "N6"}
    assert plan.reminders("N1") == [(1, "2027-07-21T09:00Z"), (2, "2027-07-27T09:00Z")]
