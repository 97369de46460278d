"""Rules R35 to R37 and R42: gates, the review after a gate not met, and who may order."""

import pytest

from tests.rehab.cases.course import in_cast, nailed, plated

PLATE = plated("2027-09-10", fracture_class="B2", weight_kg=58.0).ordered("TTWB", "2027-09-10").film("2027-09-10")
AT_WEEK_6 = PLATE.attended("P2", "2027-10-22").film("2027-10-22")
FAILED = AT_WEEK_6.found("P2", "2027-10-22", touch_pain=6, implants_unchanged=True)
CAST_COURSE = in_cast("2027-09-08", weight_kg=64.0).film("2027-09-08").film("2027-09-29")
AT_WEEK_4 = CAST_COURSE.attended("C5", "2027-10-06").film("2027-10-06")
NAIL_COURSE = nailed("2027-02-02").ordered("WBAT", "2027-02-02").attended("N3", "2027-04-26")
WALKS_WELL = NAIL_COURSE.found("N3", "2027-04-26", gait_without_limp=True, walking_pain=2)


def extra_visits(plan):
    return [v for v in plan["visits"] if v["code"].startswith("X") and v["state"] == "planned"]


# R35: what calls for a review


def test_r35_a_finding_that_fails_calls_for_a_review_after_14_days():
    plan = FAILED.planned()

    assert [visit["target_on"] for visit in extra_visits(plan)] == ["2027-11-05"]
    assert plan.stage("PWB50")["gate_visit"] == "X1"


def test_r35_findings_not_recorded_call_for_a_review_once_the_day_is_over():
    assert extra_visits(AT_WEEK_6.planned(on="2027-10-22")) == []
    assert [v["target_on"] for v in extra_visits(AT_WEEK_6.planned(on="2027-10-23"))] == ["2027-11-05"]


def test_r35_an_order_on_the_day_needs_no_review():
    assert extra_visits(FAILED.ordered("PWB50", "2027-10-22").planned(on="2027-11-30")) == []


def test_r35_a_higher_order_needs_no_review_either():
    assert extra_visits(FAILED.ordered("WBAT", "2027-10-22").planned(on="2027-11-30")) == []


def test_r35_an_order_before_the_review_lets_it_lapse():
    assert extra_visits(FAILED.ordered("PWB50", "2027-10-29").planned()) == []


def test_r35_the_review_can_fail_again():
    again = FAILED.attended("X1", "2027-11-05").found("X1", "2027-11-05", touch_pain=6, implants_unchanged=True)
    plan = again.planned()

    assert [(v["code"], v["target_on"]) for v in extra_visits(plan)] == [("X2", "2027-11-19")]
    assert plan.stage("PWB50")["gate_visit"] == "X2"


def test_r35_not_united_at_week_16_calls_for_no_review():
    course = PLATE.ordered("WBAT", "2027-12-03").attended("P4", "2027-12-31")

    assert extra_visits(course.found("P4", "2027-12-31", gait_without_limp=False).planned(on="2028-01-10")) == []


def test_r35_no_stage_begins_by_itself():
    assert FAILED.planned(on="2028-06-01").now()[0] == "TTWB"


# R36: the cascade


def test_r36_a_failed_week_4_is_reviewed_at_week_6_and_pushes_the_rest():
    plan = AT_WEEK_4.found("C5", "2027-10-06", rest_pain=6, cast_problem=False).planned()
    days = {stage: day for stage, day, _ in plan.ladder()}

    assert extra_visits(plan) == []
    assert plan.stage("TTWB")["gate_visit"] == "C6"
    assert (days["TTWB"], days["PWB50"], days["WBAT"]) == ("2027-10-20", "2027-10-30", "2027-11-09")


def test_r36_the_hosting_visit_names_the_rule():
    plan = AT_WEEK_4.found("C5", "2027-10-06", rest_pain=6, cast_problem=False).planned()

    assert "S10" in {reason["rule"] for reason in plan.row("C6")["why"]}


# R37: who may order what


def test_r37_a_surgeon_may_order_any_stage_on_any_day():
    assert CAST_COURSE.ordered("WBAT", "2027-09-29").planned().now() == ("WBAT", None, "surgeon")


def test_r37_a_physiotherapist_cannot_order_partial_weight():
    course = CAST_COURSE.ordered("TTWB", "2027-10-06").ordered("PWB50", "2027-10-20", by="physiotherapist")
    plan = course.planned()

    assert plan.now() == ("TTWB", 6, "surgeon")
    assert plan.alert("scope", "2027-10-20")["level"] == "AMBER"


def test_r37_a_physiotherapist_may_always_order_less():
    course = NAIL_COURSE.ordered("TTWB", "2027-04-28", by="physiotherapist")

    assert course.planned().now() == ("TTWB", 7, "physiotherapist")
    assert course.planned().alerts("scope") == []


def test_r37_after_a_nail_a_physiotherapist_may_order_full_weight_when_the_gates_are_met():
    course = WALKS_WELL.ordered("FWB", "2027-04-26", by="physiotherapist")

    assert course.planned().now() == ("FWB", None, "physiotherapist")
    assert "physiotherapist" in course.planned().stage("FWB")["authorised_by"]


@pytest.mark.parametrize(
    "course",
    [
        NAIL_COURSE.ordered("FWB", "2027-04-26", by="physiotherapist"),
        NAIL_COURSE.found("N3", "2027-04-26", gait_without_limp=False, walking_pain=2).ordered(
            "FWB", "2027-04-26", by="physiotherapist"
        ),
        WALKS_WELL.ordered("FWB", "2027-04-25", by="physiotherapist"),
    ],
    ids=["nothing recorded", "limps", "a day too early"],
)
def test_r37_otherwise_the_order_has_no_effect_and_is_shown(course):
    plan = course.planned()

    assert plan.now() == ("WBAT", None, "surgeon")
    assert [level for _, level in plan.alerts("scope")] == ["AMBER"]


def test_r37_in_a_cast_the_last_step_is_the_surgeons():
    assert CAST_COURSE.planned().stage("FWB")["authorised_by"] == ["surgeon"]


def test_r37_unrestricted_weight_in_a_cast_waits_for_a_signed_pathway():
    plan = CAST_COURSE.planned()

    assert plan["pathway"]["approved_by"] is None
    assert plan.stage("WBAT")["authorised_by"] == ["surgeon"]


# R42: findings and their limits


@pytest.mark.parametrize(("pain", "met"), [(3, True), (4, False)])
def test_r42_rest_pain_of_three_opens_touch_weight(pain, met):
    plan = AT_WEEK_4.found("C5", "2027-10-06", rest_pain=pain, cast_problem=False).planned()

    assert plan.gate("TTWB", "rest_pain") is met


def test_r42_a_cast_problem_shuts_touch_weight():
    plan = AT_WEEK_4.found("C5", "2027-10-06", rest_pain=0, cast_problem=True).planned()

    assert plan.gate("TTWB", "cast_problem") is False


def test_r42_nothing_recorded_is_neither_met_nor_failed():
    assert AT_WEEK_4.planned().gate("TTWB", "rest_pain") is None
    assert in_cast("2027-09-08").planned().gate("TTWB", "films_in_limits") is None


@pytest.mark.parametrize(
    ("cortices", "met"),
    [([2, 2, 1, None], True), ([3, 2, 1, 1], True), ([2, 1, 1, None], False), ([1, 1, 1, 1], False)],
)
def test_r42_two_cortices_with_callus_open_unrestricted_weight_in_a_cast(cortices, met):
    course = CAST_COURSE.attended("C7", "2027-11-03").film("2027-11-03", rust=cortices)

    assert course.planned().gate("WBAT", "callus_cortices") is met


@pytest.mark.parametrize(("cortices", "met"), [([2, 1, 1, 1], True), ([1, 1, 1, 1], False)])
def test_r42_one_cortex_with_callus_opens_partial_weight_in_a_cast(cortices, met):
    course = CAST_COURSE.attended("C6", "2027-10-20").film("2027-10-20", rust=cortices)

    assert course.planned().gate("PWB50", "callus_cortices") is met


@pytest.mark.parametrize(("pain", "met"), [(4, True), (5, False)])
def test_r42_walking_pain_of_four_opens_unrestricted_weight(pain, met):
    course = CAST_COURSE.attended("C7", "2027-11-03").found("C7", "2027-11-03", walking_pain=pain)

    assert course.planned().gate("WBAT", "walking_pain") is met


@pytest.mark.parametrize(("pain", "met"), [(3, True), (4, False)])
def test_r42_walking_pain_of_three_opens_full_weight(pain, met):
    course = NAIL_COURSE.found("N3", "2027-04-26", gait_without_limp=True, walking_pain=pain)

    assert course.planned().gate("FWB", "walking_pain") is met


@pytest.mark.parametrize(("fading", "met"), [(2, True), (1, False)])
def test_r42_a_fading_line_serves_after_a_plate_without_callus(fading, met):
    course = PLATE.attended("P3", "2027-12-03").film("2027-12-03", rust=[1, 1, None, None])

    plan = course.found("P3", "2027-12-03", fading_line_cortices=fading).planned()

    assert plan.gate("WBAT", "callus_or_fading_cortices") is met


@pytest.mark.parametrize(("pain", "all_met"), [(1, True), (2, False)])
def test_r42_pain_that_rose_by_two_shuts_the_gate(pain, all_met):
    before = CAST_COURSE.found("C4", "2027-09-29", rest_pain=0)
    course = before.attended("C5", "2027-10-06").film("2027-10-06")
    plan = course.found("C5", "2027-10-06", rest_pain=pain, cast_problem=False).planned()

    assert all(gate["met"] for gate in plan.stage("TTWB")["gates"]) is all_met


def test_r42_findings_have_fixed_names():
    [(path, _)] = CAST_COURSE.found("C5", "2027-10-06", mood=3).faults()

    assert path == "$.history[2].findings.mood"
