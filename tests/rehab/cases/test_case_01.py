"""Worked case 1: a simple nail, from the operation to union at week 24 (dates from the clinic's case book)."""

import pytest

from tests.rehab.cases.course import nailed
from tests.rehab.cases.reading import as_row, rules

# Right leg, closed 42-A2, fibula broken at another level, 34 years, 72.0 kg.
# Injured and nailed Tuesday 2 February 2027.
COURSE = nailed("2027-02-02", born_on="1993-01-15", weight_kg=72.0)

# code, target, earliest, latest, placed, day, in window; all five by "nearest, tie goes to the earlier"
ROWS = [
    ("N1", "2027-02-16", "2027-02-12", "2027-02-18", "2027-02-15", 13, True),
    ("N2", "2027-03-16", "2027-03-12", "2027-03-20", "2027-03-15", 41, True),
    ("N3", "2027-04-27", "2027-04-20", "2027-05-04", "2027-04-26", 83, True),
    ("N4", "2027-07-20", "2027-07-13", "2027-07-27", "2027-07-19", 167, True),
    ("N5", "2027-10-12", "2027-10-05", "2027-10-19", "2027-10-11", 251, True),
    ("N6", "2028-02-01", "2028-01-18", "2028-02-15", "2028-01-31", 363, True),
]


@pytest.fixture(scope="module")
def plan():
    return COURSE.planned()


@pytest.fixture(scope="module")
def healed():
    """The same person after the films of weeks 6, 12 and 24, united on Monday 19 July 2027."""
    return (
        COURSE.ordered("WBAT", "2027-02-02")
        .attended("N1", "2027-02-15")
        .attended("N2", "2027-03-15")
        .film("2027-03-15", rust=[2, 2, 1, 1])
        .clot_review_closed("2027-03-15")
        .attended("N3", "2027-04-26")
        .film("2027-04-26", rust=[3, 2, 2, 2])
        .attended("N4", "2027-07-19")
        .film("2027-07-19", rust=[3, 3, 3, 2])
        .clinical_union("2027-07-19")
        .union_confirmed("2027-07-19")
    )


@pytest.mark.parametrize("expected", ROWS, ids=lambda row: row[0])
def test_case_01_each_visit_has_its_target_window_and_place(plan, expected):
    assert as_row(plan.row(expected[0])) == expected


def test_case_01_has_these_visits_and_no_other(plan):
    assert plan.codes() == ["N1", "N2", "N3", "N4", "N5", "N6"]
    assert plan.codes("planned") == ["N1", "N2", "N3", "N4", "N5", "N6"]


def test_case_01_every_place_gives_the_rule_of_the_nearest_day(plan):
    assert all("S5" in rules(visit) for visit in plan["visits"])


def test_case_01_only_week_36_waits_for_union(plan):
    assert [v["code"] for v in plan["visits"] if v["only_if_not_united"]] == ["N5"]


def test_case_01_anchor_and_healing_clock_start_on_the_day_of_injury_and_nail(plan):
    assert (plan["anchor_on"], plan["healing_clock_from"]) == ("2027-02-02", "2027-02-02")
    assert plan["scope"] == {"accepted": True, "refused_because": [], "needs_sign_off": []}
    assert plan["pathway"]["treatment"] == "intramedullary_nail"


def test_case_01_unrestricted_weightbearing_may_be_ordered_from_day_0_without_a_kg_target(plan):
    row = plan.stage("WBAT")

    assert (row["not_before"], row["cap_kg"], row["gate_visit"]) == ("2027-02-02", None, "N0")
    assert row["printed"] == "Unrestricted weightbearing (as comfort allows)"


def test_case_01_clot_prevention_review_is_due_on_16_march(plan):
    assert plan.tasks("clot prevention review") == [("2027-03-16", "open")]


def test_case_01_an_unrestricted_order_lets_a_clinician_close_the_clot_review_early():
    course = COURSE.ordered("WBAT", "2027-02-02")

    assert course.planned().tasks("clot prevention review") == [("2027-03-16", "open")]
    assert course.clot_review_closed("2027-02-15").planned().tasks("clot prevention review") == [
        ("2027-03-16", "closed")
    ]


@pytest.mark.parametrize(
    ("visit", "expected"),
    [
        ("N1", [(1, "2027-02-08T10:00Z"), (2, "2027-02-12T10:00Z")]),
        ("N2", [(1, "2027-03-08T10:00Z"), (2, "2027-03-12T10:00Z")]),
        ("N3", [(1, "2027-04-19T09:00Z"), (2, "2027-04-23T09:00Z")]),  # summer time
        ("N4", [(1, "2027-07-12T09:00Z"), (2, "2027-07-16T09:00Z")]),
        ("N5", []),  # not yet real
        ("N6", [(1, "2028-01-24T10:00Z"), (2, "2028-01-28T10:00Z")]),
    ],
)
def test_case_01_reminders_go_a_week_before_and_on_the_last_working_day_before(plan, visit, expected):
    assert plan.reminders(visit) == expected


def test_case_01_a_new_plan_raises_no_alert(plan):
    assert plan["alerts"] == []


def test_case_01_the_order_puts_the_leg_on_unrestricted_weightbearing(healed):
    now = healed.planned()["stage_now"]

    assert (now["stage"], now["cap_kg"], now["since"], now["ordered_by"]) == ("WBAT", None, "2027-02-02", "surgeon")


def test_case_01_score_6_at_week_6_and_9_at_week_12_raise_no_flag(healed):
    assert healed.planned().alerts("high risk") == []


def test_case_01_score_11_and_a_painless_leg_suggest_union_on_19_july(healed):
    assert healed.planned().alerts("union suggested") == [("2027-07-19", "INFO")]


def test_case_01_union_on_the_day_of_week_24_leaves_no_delayed_union(healed):
    assert healed.planned().alerts("delayed union") == []


def test_case_01_the_week_36_visit_is_never_created(healed):
    plan = healed.planned()

    assert plan.rows("N5") == []
    assert plan.reminders("N5") == []
    assert plan.codes("planned") == ["N6"]


def test_case_01_healing_took_167_days(healed):
    assert healed.planned().row("N4")["healing_day"] == 167
