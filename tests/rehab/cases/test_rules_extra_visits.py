"""Rules R23 to R30: union, discharge, conversion, extra visits, wound visits."""

import pytest

from tests.rehab.cases.course import CAST, NAIL, in_cast, nailed, plated
from tests.rehab.cases.reading import as_row, rules

NAILED = nailed("2027-02-02").ordered("WBAT", "2027-02-02")
UNITED = NAILED.attended("N4", "2027-07-19").union_confirmed("2027-07-19")
SLIPPED = in_cast("2027-09-08").film("2027-09-08").attended("C3", "2027-09-22").film("2027-09-22", valgus=7)
CLOT = "clot prevention review"


def test_r23_after_union_the_last_visit_remains():
    assert UNITED.planned().states("N6") == [("2028-01-31", "planned")]


def test_r23_after_union_no_delayed_union_is_raised():
    assert NAILED.union_confirmed("2027-07-19").planned(on="2027-12-01").alerts("delayed union") == []


def test_r23_after_union_a_non_union_film_nobody_attended_stops():
    course = (
        nailed("2027-01-08", injured_at="2027-01-06T08:40")
        .film("2027-06-25", rust=[2, 2, 2, 2])
        .film("2027-09-17", rust=[2, 2, 2, 2])
    )
    assert course.planned().states("X1") == [("2027-10-06", "planned")]

    united = course.union_confirmed("2027-09-20").planned()

    assert "planned" not in [state for _, state in united.states("X1")]


# R24: a plan ends only by a discharge that leaves nothing open


def test_r24_discharge_ends_the_plan():
    plan = UNITED.clot_review_closed("2027-07-19").discharged("2027-10-01").planned()

    assert plan.states("N6") == [("2028-01-31", "cancelled")]
    assert plan["reminders"] == []
    assert [task["state"] for task in plan["tasks"] if task["state"] in ("open", "overdue")] == []
    assert plan.alerts("scope") == []


@pytest.mark.parametrize(
    "course",
    [
        UNITED,
        NAILED.clot_review_closed("2027-07-19"),
        UNITED.clot_review_closed("2027-07-19").ordered("TTWB", "2027-07-20"),
        UNITED.clot_review_closed("2027-10-04"),
    ],
    ids=["clot review open", "not united", "still limited", "clot review closed only afterwards"],
)
def test_r24_an_incomplete_discharge_keeps_the_plan_going(course):
    plan = course.discharged("2027-10-01").planned()

    assert plan.states("N6") == [("2028-01-31", "planned")]
    assert plan.alert("scope", "2027-10-01")["level"] == "AMBER"


@pytest.mark.parametrize("reason", ["informed refusal", "transferred, acknowledged"])
def test_r24_a_reason_ends_the_plan_before_union(reason):
    plan = NAILED.discharged("2027-03-01", reason=reason).planned()

    assert plan.codes("planned") == []
    assert plan["reminders"] == []
    assert [task["state"] for task in plan["tasks"] if task["state"] in ("open", "overdue")] == []


# R25: conversion


def test_r25_an_exchange_nail_tells_equal_codes_apart_by_treatment():
    course = NAILED.attended("N1", "2027-02-15").attended("N4", "2027-07-19").then(NAIL, "2027-07-22")
    plan = course.planned()

    assert [(r["treatment"], r["placed_on"], r["state"]) for r in plan.rows("N1")] == [
        (1, "2027-02-15", "attended"),
        (2, "2027-08-04", "planned"),
    ]
    assert plan.row("N6", treatment=1)["state"] == "cancelled"


def test_r25_a_starred_visit_that_was_real_is_cancelled():
    plan = NAILED.attended("N4", "2027-07-19").then(NAIL, "2027-07-22").planned()

    assert plan.row("N5", treatment=1)["state"] == "cancelled"


def test_r25_a_starred_visit_that_was_not_real_leaves_no_row():
    plan = NAILED.then(NAIL, "2027-04-07").planned()

    assert [row["treatment"] for row in plan.rows("N5")] == [2]


def test_r25_wound_visits_start_again_and_antibiotic_reviews_do_not():
    plan = in_cast("2027-02-02", open_grade="II").attended("C1", "2027-02-05").then(NAIL, "2027-02-08").planned()

    assert plan.row("O1", treatment=2)["target_on"] == "2027-02-15"
    assert plan.row("O1", treatment=1)["state"] == "cancelled"
    assert len(plan.tasks("antibiotic review")) == 1


def test_r25_reminders_default_to_the_day_of_the_newest_treatment():
    plan = in_cast("2027-07-05").then(NAIL, "2027-07-15").planned()

    assert plan.answer == in_cast("2027-07-05").then(NAIL, "2027-07-15").planned(on="2027-07-15").answer


def test_r25_any_number_of_conversions_in_any_direction():
    plan = NAILED.then(CAST, "2027-03-01").then(NAIL, "2027-03-15").planned()

    assert plan["anchor_on"] == "2027-03-15"
    assert plan["healing_clock_from"] == "2027-02-02"
    assert {v["treatment"] for v in plan["visits"] if v["state"] == "planned"} == {3}
    assert plan.tasks(CLOT, treatment=3) == [("2027-04-26", "open")]


# R26 and R27: extra visits


def test_r26_a_visit_in_the_window_takes_the_extra_film():
    plan = SLIPPED.wedged("2027-09-22").film("2027-09-22").planned()

    assert plan.rows("X1") == []
    assert "S12" in rules(plan.row("C4"))


def test_r26_a_visit_without_a_film_cannot_take_the_extra_film():
    plan = NAILED.film("2027-02-02").film("2027-02-09", valgus=7).planned()  # N1 on 15 Feb is a wound check

    assert as_row(plan.row("X1")) == ("X1", "2027-02-16", "2027-02-14", "2027-02-18", "2027-02-15", 13, True)
    assert plan.row("X1")["together_with"] == ["N1"]
    assert "S12" not in rules(plan.row("N1"))


def test_r26_extra_visits_are_numbered_by_the_day_of_their_cause():
    course = (
        plated("2027-09-10")
        .attended("P2", "2027-10-22")
        .found("P2", "2027-10-22", touch_pain=6, implants_unchanged=True)
        .attended("X1", "2027-11-05")
        .found("X1", "2027-11-05", touch_pain=5, implants_unchanged=True)
    )
    plan = course.planned()

    assert as_row(plan.row("X2")) == ("X2", "2027-11-19", "2027-11-17", "2027-11-21", "2027-11-19", 70, True)
    assert plan.stage("PWB50")["gate_visit"] == "X2"


def test_r27_a_red_film_that_nobody_operated_is_repeated_after_seven_days():
    plan = NAILED.film("2027-02-02").attended("N2", "2027-03-15").film("2027-03-15", varus=7).planned()

    assert as_row(plan.row("X1")) == ("X1", "2027-03-22", "2027-03-20", "2027-03-24", "2027-03-22", 48, True)
    assert "S12" in rules(plan.row("X1"))


def test_r27_a_second_red_film_on_the_same_baseline_alerts_without_another_visit():
    course = NAILED.film("2027-02-02").attended("N2", "2027-03-15").film("2027-03-15", varus=7)
    plan = course.attended("X1", "2027-03-22").film("2027-03-22", varus=7).planned()

    assert plan.alerts("alignment", "RED") == [("2027-03-15", "RED"), ("2027-03-22", "RED")]
    assert plan.rows("X2") == []


def test_r27_every_wedging_asks_for_a_film_after_seven_days():
    course = SLIPPED.wedged("2027-09-22").film("2027-09-22").attended("C5", "2027-10-06").wedged("2027-10-06")
    plan = course.film("2027-10-06").planned()

    assert as_row(plan.row("X1")) == ("X1", "2027-10-13", "2027-10-11", "2027-10-15", "2027-10-13", 35, True)


def test_r27_an_operation_before_its_day_cancels_the_extra_film():
    course = NAILED.film("2027-02-02").attended("N2", "2027-03-15").film("2027-03-15", varus=7)

    assert course.then(NAIL, "2027-03-18").planned().row("X1")["state"] == "cancelled"


def test_r13_an_extra_film_is_never_on_the_day_of_the_film_that_caused_it():
    # Fridays only. Target Friday 26 March is Good Friday; 19 March and 2 April are both seven days off.
    course = nailed("2027-02-12").at_clinic(clinic_days=["fri"]).film("2027-02-12")
    row = course.film("2027-03-19", varus=7).planned().row("X1")

    assert as_row(row) == ("X1", "2027-03-26", "2027-03-24", "2027-03-28", "2027-04-02", 49, False)


def test_r19_a_missed_extra_film_has_a_deadline_of_three_days():
    course = NAILED.film("2027-02-02").attended("N2", "2027-03-15").film("2027-03-15", varus=7)
    again = course.missed("X1", "2027-03-22").planned().rows("X1")[1]

    assert (again["placed_on"], again["deadline_on"]) == ("2027-03-24", "2027-03-25")


# R28: the film that decides non-union

SLOW = nailed("2027-01-08", injured_at="2027-01-06T08:40").attended("N4", "2027-06-25")
NO_PROGRESS = SLOW.film("2027-06-25", rust=[2, 2, 2, 2]).film("2027-09-17", rust=[2, 2, 2, 2])


def test_r28_the_deciding_film_is_never_before_nine_months():
    plan = NO_PROGRESS.at_clinic(closed_on=["2027-10-06"]).planned()

    assert as_row(plan.row("X1"))[1:5] == ("2027-10-06", "2027-10-06", "2027-10-13", "2027-10-08")


def test_r28_only_one_deciding_film_is_pending():
    assert NO_PROGRESS.film("2027-09-27", rust=[2, 2, 2, 2]).planned().rows("X2") == []


def test_r28_a_better_score_asks_for_no_deciding_film():
    course = SLOW.film("2027-06-25", rust=[2, 2, 2, 2]).film("2027-09-17", rust=[3, 2, 2, 2])

    assert course.planned().rows("X1") == []


def test_r28_three_months_from_the_oldest_film_without_progress():
    # Injured 6 January: nine months end 6 October. The oldest film with 8 or more is of 30 August: 30 November.
    course = SLOW.film("2027-08-30", rust=[2, 2, 2, 2]).film("2027-09-17", rust=[2, 2, 2, 2])

    assert as_row(course.planned().row("X1"))[1:5] == ("2027-11-30", "2027-11-30", "2027-12-07", "2027-12-01")


def test_r28_of_several_films_without_progress_the_oldest_counts():
    # 2 August and 30 August both show 8 or more on 17 September: three months from 2 August.
    course = SLOW.film("2027-08-02", rust=[2, 2, 2, 2]).film("2027-08-30", rust=[3, 2, 2, 2])

    row = course.film("2027-09-17", rust=[2, 2, 2, 2]).planned().row("X1")

    assert as_row(row)[1:5] == ("2027-11-02", "2027-11-02", "2027-11-09", "2027-11-03")


# R29 and R30: wounds


@pytest.mark.parametrize(
    ("course", "expected"),
    [
        (in_cast("2027-02-02", open_grade="I"), {"O1", "O3"}),
        (in_cast("2027-02-02", open_grade="IIIA"), {"O1", "O2", "O3"}),
        (nailed("2027-02-02", open_grade="II"), {"O1", "O3"}),
        (nailed("2027-02-02", open_grade="IIIA"), {"O1", "O2", "O3", "N3b"}),
        (plated("2027-02-02", open_grade="I"), {"O1", "O3"}),
        (plated("2027-02-02", open_grade="IIIB"), {"O1", "O2", "O3"}),
        (plated("2027-02-02"), set()),
    ],
)
def test_r29_wound_visits_by_grade_and_treatment(course, expected):
    assert {code for code in course.planned().codes() if code[0] == "O" or code == "N3b"} == expected


def test_r30_sutures_may_not_be_ready_before_day_10():
    closed = ["2027-02-12", "2027-02-15", "2027-02-17", "2027-02-19"]
    row = NAILED.at_clinic(closed_on=closed).planned().row("N1")

    assert (row["day"], row["in_window"]) == (8, False)
    assert any("sutures may not be ready" in content.lower() for content in row["contents"])


@pytest.mark.parametrize("closed", [[], ["2027-02-15", "2027-02-17"]])
def test_r30_from_day_10_the_sutures_are_not_mentioned_as_unready(closed):
    row = NAILED.at_clinic(closed_on=closed).planned().row("N1")

    assert row["day"] == (10 if closed else 13)
    assert not any("may not be ready" in content.lower() for content in row["contents"])
