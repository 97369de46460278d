"""Worked case 2: a long leg cast over Easter and the clock change (dates from the clinic's case book)."""

import pytest

from tests.rehab.cases.course import CLINIC, in_cast
from tests.rehab.cases.reading import as_row, rules

# Left, closed 42-A1, fibula intact, 41 years, 66.0 kg. Presented Thursday 25 March 2027 15:00 GMT, cast that day.
COURSE = in_cast(
    "2027-03-25",
    injured_at="2027-03-25T13:30",
    presented_at="2027-03-25T15:00",
    treated_at="2027-03-25T17:30",
    side="left",
    fracture_class="A1",
    fibula="intact",
    born_on="1986-01-20",
    weight_kg=66.0,
)

# code, target, earliest, latest, placed, day, in window, rule
ROWS = [
    ("C1", "2027-03-28", "2027-03-26", "2027-03-28", "2027-03-31", 6, False, "S6"),
    ("C2", "2027-04-01", "2027-03-31", "2027-04-03", "2027-03-31", 6, True, "S5"),
    ("C3", "2027-04-08", "2027-04-06", "2027-04-10", "2027-04-07", 13, True, "S5"),
    ("C4", "2027-04-15", "2027-04-13", "2027-04-17", "2027-04-14", 20, True, "S5"),
    ("C5", "2027-04-22", "2027-04-20", "2027-04-24", "2027-04-21", 27, True, "S5"),
    ("C6", "2027-05-06", "2027-05-02", "2027-05-10", "2027-05-05", 41, True, "S5"),
    ("C7", "2027-05-20", "2027-05-16", "2027-05-24", "2027-05-19", 55, True, "S5"),
    ("C8", "2027-06-17", "2027-06-10", "2027-06-24", "2027-06-16", 83, True, "S5"),
    ("C9", "2027-07-15", "2027-07-08", "2027-07-22", "2027-07-14", 111, True, "S5"),
    ("C10", "2027-09-09", "2027-09-02", "2027-09-16", "2027-09-08", 167, True, "S5"),
    ("C11", "2027-12-02", "2027-11-25", "2027-12-09", "2027-12-01", 251, True, "S5"),
    ("C12", "2028-03-23", "2028-03-09", "2028-04-06", "2028-03-22", 363, True, "S5"),
]


@pytest.fixture(scope="module")
def plan():
    return COURSE.planned()


@pytest.mark.parametrize("expected", ROWS, ids=lambda row: row[0])
def test_case_02_each_visit_has_its_target_window_and_place(plan, expected):
    row = plan.row(expected[0])

    assert as_row(row) == expected[:7]
    assert expected[7] in rules(row)


def test_case_02_has_the_twelve_visits_of_a_cast(plan):
    assert sorted(plan.codes()) == sorted(row[0] for row in ROWS)
    assert [v["code"] for v in plan["visits"] if v["only_if_not_united"]] == ["C11"]


def test_case_02_the_first_two_visits_are_one_attendance(plan):
    first, second = plan.row("C1"), plan.row("C2")

    assert (first["together_with"], second["together_with"]) == (["C2"], ["C1"])
    assert "S7" in rules(first) | rules(second)
    assert all(not plan.row(row[0])["together_with"] for row in ROWS[2:])


def test_case_02_the_shared_attendance_holds_what_both_visits_are_for(plan):
    every_day = COURSE.at_clinic(clinic_days=["mon", "tue", "wed", "thu", "fri", "sat", "sun"]).planned()
    apart = set(every_day.row("C1")["contents"]) | set(every_day.row("C2")["contents"])
    assert every_day.row("C1")["together_with"] == []

    assert set(plan.row("C1")["contents"]) == apart
    assert set(plan.row("C2")["contents"]) == apart


def test_case_02_the_consultant_reviews_within_72_elapsed_hours_of_presenting(plan):
    assert plan.due_instants("consultant review") == ["2027-03-28T15:00Z"]  # 16:00 summer time, a 71-hour wall clock
    assert plan.tasks("consultant review") == [("2027-03-28", "open")]


@pytest.mark.parametrize(
    ("visit", "expected"),
    [
        ("C1", [(2, "2027-03-30T09:00Z")]),  # the first would have gone before the visit was booked
        ("C2", []),  # one pair for the shared attendance
        ("C3", [(1, "2027-03-31T09:00Z"), (2, "2027-04-06T09:00Z")]),
        ("C11", []),  # not yet real
    ],
)
def test_case_02_reminders_keep_to_ten_o_clock_local_time_through_the_clock_change(plan, visit, expected):
    assert plan.reminders(visit) == expected


def test_case_02_clot_prevention_review_is_due_on_6_may(plan):
    assert plan.tasks("clot prevention review") == [("2027-05-06", "open")]


def test_case_02_an_intact_fibula_is_pointed_out_without_a_sign_off(plan):
    assert plan.alerts("scope") == [("2027-03-25", "INFO")]
    assert plan["scope"]["needs_sign_off"] == []


def test_case_02_the_ladder_gives_days_and_kg(plan):
    steps = plan.ladder()

    assert [(stage, day) for stage, day, _ in steps[:1]] == [("NWB", "2027-03-25")]
    assert steps[1:4] == [("TTWB", "2027-04-21", 6), ("PWB50", "2027-05-05", 33), ("WBAT", "2027-05-19", None)]


def test_case_02_the_leg_is_non_weightbearing_until_somebody_orders(plan):
    assert plan["stage_now"]["stage"] == "NWB"
    assert plan["stage_now"]["printed"] == "Non-weightbearing"
    assert plan["stage_now"]["ordered_by"] is None


def test_case_02_the_places_follow_the_calendar_named_in_the_case():
    assert CLINIC["clinic_days"] == ["mon", "wed", "fri"]
    assert CLINIC["subdivision"] == "ENG"
