"""Worked case 3: a plate with holidays on the targets and a kg limit (dates from the clinic's case book)."""

import pytest

from tests.rehab.cases.course import plated
from tests.rehab.cases.reading import as_row, rules

# Left, closed 42-B2, 52 years, 84.5 kg weighed 19 April. Injured Saturday 17 April 2027, plated Monday 19 April.
COURSE = plated(
    "2027-04-19",
    injured_at="2027-04-17T16:20",
    side="left",
    fracture_class="B2",
    born_on="1975-02-03",
    weight_kg=84.5,
    weighed_on="2027-04-19",
)

# code, target, earliest, latest, placed, day, in window
ROWS = [
    ("P1", "2027-05-03", "2027-04-29", "2027-05-05", "2027-05-05", 16, True),  # bank holiday: Wed is nearer than Fri
    ("P2", "2027-05-31", "2027-05-27", "2027-06-04", "2027-06-02", 44, True),  # bank holiday
    ("P3", "2027-07-12", "2027-07-05", "2027-07-19", "2027-07-12", 84, True),
    ("P4", "2027-08-09", "2027-08-02", "2027-08-16", "2027-08-09", 112, True),
    ("P5", "2027-10-04", "2027-09-27", "2027-10-11", "2027-10-04", 168, True),
    ("P6", "2027-12-27", "2027-12-20", "2028-01-03", "2027-12-29", 254, True),  # Christmas substitute
    ("P7", "2028-04-17", "2028-04-03", "2028-05-01", "2028-04-19", 366, True),  # Easter Monday
]


@pytest.fixture(scope="module")
def plan():
    return COURSE.planned()


@pytest.mark.parametrize("expected", ROWS, ids=lambda row: row[0])
def test_case_03_each_visit_has_its_target_window_and_place(plan, expected):
    row = plan.row(expected[0])

    assert as_row(row) == expected
    assert "S5" in rules(row)


def test_case_03_has_the_seven_visits_of_a_plate(plan):
    assert plan.codes() == ["P1", "P2", "P3", "P4", "P5", "P6", "P7"]
    assert [v["code"] for v in plan["visits"] if v["only_if_not_united"]] == ["P6"]


def test_case_03_the_ladder_gives_days_and_kg(plan):
    assert plan.ladder()[-4:] == [
        ("TTWB", "2027-04-19", 8),
        ("PWB50", "2027-06-02", 42),
        ("WBAT", "2027-07-12", None),
        ("FWB", "2027-08-09", None),
    ]


def test_case_03_full_weightbearing_waits_for_union(plan):
    assert plan.gate("FWB", "union_confirmed") is not True
    assert COURSE.union_confirmed("2027-08-09").planned().gate("FWB", "union_confirmed") is True


def test_case_03_the_clot_review_moves_back_from_the_bank_holiday(plan):
    assert plan.tasks("clot prevention review") == [("2027-05-28", "open")]


def test_case_03_the_healing_clock_runs_from_the_injury(plan):
    assert (plan["anchor_on"], plan["healing_clock_from"]) == ("2027-04-19", "2027-04-17")
    assert (plan.row("P5")["day"], plan.row("P5")["healing_day"]) == (168, 170)


def test_case_03_week_24_is_the_first_visit_that_can_raise_delayed_union():
    course = COURSE.attended("P3", "2027-07-12").attended("P4", "2027-08-09")
    assert course.planned().alerts("delayed union") == []

    assert course.attended("P5", "2027-10-04").planned().alerts("delayed union") == [("2027-10-04", "AMBER")]


def test_case_03_unattended_healing_day_168_is_saturday_2_october():
    assert COURSE.planned(on="2027-10-01").alerts("delayed union") == []
    assert COURSE.planned(on="2027-10-02").alerts("delayed union") == [("2027-10-02", "AMBER")]


@pytest.mark.parametrize(
    ("visit", "expected"),
    [
        ("P1", [(1, "2027-04-28T09:00Z"), (2, "2027-05-04T09:00Z")]),
        ("P2", [(1, "2027-05-26T09:00Z"), (2, "2027-06-01T09:00Z")]),
        ("P3", [(1, "2027-07-05T09:00Z"), (2, "2027-07-09T09:00Z")]),
        ("P6", []),
        ("P7", [(1, "2028-04-12T09:00Z"), (2, "2028-04-18T09:00Z")]),
    ],
)
def test_case_03_reminders_step_over_the_bank_holidays(plan, visit, expected):
    assert plan.reminders(visit) == expected
