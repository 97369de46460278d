"""Rules R31 to R34 and R38 to R41: the ladder of permissions, its days, kilograms and printed terms.

R43 (practice on a scale) is a form of the application: a course file records no trial on a scale.
"""

import pytest

from tests.rehab.cases.course import NAIL, in_cast, nailed, plated

CAST_COURSE = in_cast("2027-09-08", weight_kg=64.0)  # Wednesday; C5 6 Oct, C6 20 Oct, C7 3 Nov, C8 1 Dec
EVERY_WEEKDAY = ["mon", "tue", "wed", "thu", "fri"]


def days(plan):
    return {stage: day for stage, day, _ in plan.ladder()}


# R31: permissions are not orders


@pytest.mark.parametrize("course", [nailed("2027-02-02"), in_cast("2027-02-02"), plated("2027-02-02")])
def test_r31_without_an_order_the_leg_carries_nothing(course):
    now = course.planned(on="2027-12-31")["stage_now"]

    assert (now["stage"], now["printed"]) == ("NWB", "Non-weightbearing")
    assert (now["since"], now["ordered_by"]) == ("2027-02-02", None)


def test_r31_the_ladder_still_shows_what_may_be_ordered():
    assert nailed("2027-02-02").planned().stage("WBAT")["not_before"] == "2027-02-02"


# R32: the rows


@pytest.mark.parametrize(
    ("course", "steps"),
    [
        (
            in_cast("2027-09-08"),
            [("NWB", "C0"), ("TTWB", "C5"), ("PWB50", "C6"), ("WBAT", "C7"), ("FWB", "C8")],
        ),
        (nailed("2027-02-02", fracture_class="A1"), [("WBAT", "N0"), ("FWB", "N3")]),
        (nailed("2027-02-02", fracture_class="B2"), [("WBAT", "N0"), ("FWB", "N3")]),
        (plated("2027-02-02"), [("TTWB", "P0"), ("PWB50", "P2"), ("WBAT", "P3"), ("FWB", "P4")]),
    ],
)
def test_r32_the_steps_of_each_treatment(course, steps):
    assert [(s["stage"], s["gate_visit"]) for s in course.planned()["stages"]] == steps


NO_DEFAULT = {
    "nail, 42-C": nailed("2027-02-02", fracture_class="C2"),
    "nail, IIIB": nailed("2027-02-02", open_grade="IIIB"),
    "nail, IIIC": nailed("2027-02-02", open_grade="IIIC"),
    "plate, IIIB": plated("2027-02-02", open_grade="IIIB"),
    "cast, IIIC": in_cast("2027-02-02", open_grade="IIIC"),
}


@pytest.mark.parametrize("course", NO_DEFAULT.values(), ids=NO_DEFAULT)
def test_r32_where_the_surgeon_must_choose_the_ladder_has_one_step(course):
    assert [stage for stage, _, _ in course.planned().ladder()] == ["NWB"]


@pytest.mark.parametrize("course", NO_DEFAULT.values(), ids=NO_DEFAULT)
def test_r32_the_surgeons_unrestricted_order_adds_the_last_step_for_surgeons_only(course):
    plan = course.ordered("WBAT", "2027-02-03").planned()

    assert [stage for stage, _, _ in plan.ladder()] == ["NWB", "FWB"]
    assert plan.stage("FWB")["authorised_by"] == ["surgeon"]


def test_r32_a_limited_order_adds_no_step():
    plan = nailed("2027-02-02", fracture_class="C2").ordered("PWB50", "2027-02-03").planned()

    assert [stage for stage, _, _ in plan.ladder()] == ["NWB"]


# R33: not before


def test_r33_ten_days_after_the_stage_before():
    # Cast on Monday 4 January; closures push C5 to day 30 (3 February) and C6 to day 38 (11 February).
    closed = ["02-01", "02-02", "02-12", "02-15", "02-16", "02-17", "02-18", "02-19"]
    clinic = {"clinic_days": EVERY_WEEKDAY, "closed_on": [f"2027-{day}" for day in closed]}
    plan = in_cast("2027-01-04").at_clinic(**clinic).planned()

    assert (plan.row("C5")["placed_on"], plan.row("C6")["placed_on"]) == ("2027-02-03", "2027-02-11")
    assert days(plan)["PWB50"] == "2027-02-13"


def test_r33_an_early_visit_outside_its_window_brings_no_loading_forward():
    closed = ["2027-10-18", "2027-10-20", "2027-10-22", "2027-10-25", "2027-10-27"]
    plan = plated("2027-09-10").at_clinic(closed_on=closed).planned()

    assert plan.row("P2")["placed_on"] == "2027-10-15"  # three days before its window
    assert days(plan)["PWB50"] == "2027-10-18"


def test_r33_an_earlier_order_of_the_surgeon_replaces_the_day():
    plan = CAST_COURSE.ordered("TTWB", "2027-09-20").planned()

    assert days(plan)["TTWB"] == "2027-09-20"
    assert days(plan)["PWB50"] == "2027-10-20"


def test_r33_a_later_order_pushes_the_next_stages():
    found = days(CAST_COURSE.ordered("TTWB", "2027-10-15").planned())

    assert (found["PWB50"], found["WBAT"]) == ("2027-10-25", "2027-11-04")


# R34: the gate visit is missed


def test_r34_the_gate_follows_the_rebooked_visit():
    plan = CAST_COURSE.missed("C5", "2027-10-06").planned()

    assert days(plan)["TTWB"] == "2027-10-08"
    assert days(plan)["PWB50"] == "2027-10-20"  # twelve days later: unchanged


def test_r34_a_late_gate_pushes_the_next_only_when_ten_days_forbid():
    missed = CAST_COURSE.missed("C5", "2027-10-06").missed("C5", "2027-10-08")
    assert days(missed.planned())["TTWB"] == "2027-10-11"
    assert days(missed.planned())["PWB50"] == "2027-10-21"
    assert days(missed.planned())["WBAT"] == "2027-11-03"


def test_r34_missing_a_film_that_is_no_gate_moves_nothing():
    assert days(CAST_COURSE.missed("C3", "2027-09-22").planned()) == days(CAST_COURSE.planned())


# R38: full weightbearing


def test_r38_after_a_nail_the_last_step_needs_gait_and_pain_but_not_union():
    found = {gate["finding"] for gate in nailed("2027-02-02").planned().stage("FWB")["gates"]}

    assert found == {"gait_without_limp", "walking_pain"}


def test_r38_in_a_cast_it_needs_union():
    assert {g["finding"] for g in CAST_COURSE.planned().stage("FWB")["gates"]} == {"union_confirmed"}


def test_r38_after_a_plate_it_needs_union_and_gait():
    found = {gate["finding"] for gate in plated("2027-02-02").planned().stage("FWB")["gates"]}

    assert found == {"gait_without_limp", "union_confirmed"}


def test_r38_its_day_stays_when_the_visit_has_passed():
    plan = nailed("2027-02-02").ordered("WBAT", "2027-02-02").attended("N3", "2027-04-26").planned(on="2027-09-01")

    assert days(plan)["FWB"] == "2027-04-26"


# R39: how old a weight may be


@pytest.mark.parametrize(("ordered_on", "cap_kg"), [("2027-05-02", 36), ("2027-05-03", None)])
def test_r39_a_weight_of_89_days_is_good_and_of_90_is_not(ordered_on, cap_kg):
    course = nailed("2027-02-02", weight_kg=72.0, weighed_on="2027-02-02").ordered("PWB50", ordered_on)

    assert course.planned().now() == ("PWB50", cap_kg, "surgeon")


def test_r39_each_step_looks_at_the_weights_age_on_its_own_day():
    plan = plated("2027-02-02", weight_kg=72.0, weighed_on="2026-12-01").planned()

    assert plan.stage("TTWB")["cap_kg"] == 7  # 63 days old on 2 February
    assert plan.stage("PWB50")["cap_kg"] is None  # 104 days old on 15 March


def test_r39_a_weight_taken_later_is_fresh():
    course = plated("2027-02-02", weight_kg=72.0, weighed_on="2027-03-01").ordered("TTWB", "2027-02-02")

    assert course.planned().now() == ("TTWB", 7, "surgeon")


def test_r39_nobody_weighed_gives_no_kilograms():
    assert plated("2027-02-02", weight_kg=None).planned().stage("PWB50")["cap_kg"] is None


def test_r39_the_passing_of_time_changes_no_cap():
    course = nailed("2027-02-02", weight_kg=72.0).ordered("PWB50", "2027-02-02")

    assert course.planned(on="2027-12-31").now() == ("PWB50", 36, "surgeon")


# R40: whole kilograms, rounded down


@pytest.mark.parametrize(
    ("weight_kg", "stage", "cap_kg"),
    [
        (61.9, "PWB50", 30),
        (58.0, "TTWB", 5),
        (84.5, "TTWB", 8),
        (84.5, "PWB25", 21),
        (84.5, "PWB50", 42),
        (84.5, "PWB75", 63),
        (78.0, "PWB50", 39),
        (99.9, "TTWB", 9),
        (100.0, "TTWB", 10),
    ],
)
def test_r40_the_cap_is_rounded_down(weight_kg, stage, cap_kg):
    course = nailed("2027-02-02", weight_kg=weight_kg).ordered(stage, "2027-02-02")

    assert course.planned().now() == (stage, cap_kg, "surgeon")


# R41: the printed terms

TERMS = {
    "NWB": "Non-weightbearing",
    "TTWB": "Limited weightbearing (foot touch for balance)",
    "PWB25": "Limited weightbearing",
    "PWB50": "Limited weightbearing",
    "PWB75": "Limited weightbearing",
    "WBAT": "Unrestricted weightbearing (as comfort allows)",
    "FWB": "Unrestricted weightbearing (no aids needed)",
}


@pytest.mark.parametrize(("stage", "printed"), TERMS.items())
def test_r41_the_stage_in_force_is_printed_in_the_standard_terms(stage, printed):
    assert nailed("2027-02-02").ordered(stage, "2027-02-02").planned()["stage_now"]["printed"] == printed


@pytest.mark.parametrize("course", [CAST_COURSE, nailed("2027-02-02"), plated("2027-02-02")])
def test_r41_the_ladder_is_printed_in_the_same_terms(course):
    assert all(step["printed"] == TERMS[step["stage"]] for step in course.planned()["stages"])


def test_r41_no_percentage_is_ever_printed():
    plan = plated("2027-02-02").then(NAIL, "2027-03-01").ordered("PWB50", "2027-03-01").planned()

    assert "%" not in plan["stage_now"]["printed"]
    assert "per cent" not in plan["stage_now"]["printed"]
