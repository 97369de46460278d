"""The course told entry by entry: reviews, extra films, slow healing, discharge."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from rehab.engine.facts import (
    Attended,
    Authoriser,
    Booked,
    ClotReviewClosed,
    Discharged,
    Film,
    GateFindings,
    Missed,
    Score,
    ScoreScale,
    Stage,
    StageOrdered,
    UnionConfirmed,
    Wedged,
)
from tests.rehab.engine.people import CAST, NAIL, PLATE, a_course, a_treatment, planned, row, rows

SURGEON = Authoriser.SURGEON
PLATED_ON = "2027-09-10"


def a_film(on: date, degrees="0", *cortices) -> Film:
    """A film with an angle (varus negative) and perhaps a score."""
    score = Score(ScoreScale.RUST, cortices) if cortices else None
    return Film(on, coronal=Decimal(degrees), sagittal=Decimal(0), shortening=Decimal(0), score=score)


def levels(plan, kind: str) -> list[tuple[str, date]]:
    """Level and day of each alert of a kind."""
    return [(alert.level.value, alert.on) for alert in plan.alerts if alert.kind == kind]


def test_a_gate_not_met_is_looked_at_again_two_weeks_later():
    failed = (
        Attended(date(2027, 10, 22), "P2"),
        GateFindings(date(2027, 10, 22), "P2", {"touch_pain": 6}),
    )
    plan = planned(a_course(PLATE, PLATED_ON, *failed))

    assert rows(plan, "X1") == [(date(2027, 11, 5), "planned")]
    assert next(step for step in plan.stages if step.stage is Stage.PWB50).gate_visit == "X1"


def test_a_gate_visit_that_passed_without_an_order_is_looked_at_again_the_day_after():
    attended = Attended(date(2027, 10, 22), "P2")

    same_day, day_after = (planned(a_course(PLATE, PLATED_ON, attended), on=on) for on in ("2027-10-22", "2027-10-23"))

    assert (rows(same_day, "X1"), rows(day_after, "X1")) == ([], [(date(2027, 11, 5), "planned")])


def test_a_review_lapses_when_the_order_comes_first():
    attended = Attended(date(2027, 10, 22), "P2")
    order = StageOrdered(date(2027, 10, 29), Stage.PWB50, SURGEON)

    plan = planned(a_course(PLATE, PLATED_ON, attended, order))

    assert rows(plan, "X1") == []
    assert next(step for step in plan.stages if step.stage is Stage.PWB50).gate_visit == "P2"


def test_wedging_asks_for_an_extra_film_which_a_planned_one_may_serve():
    plan = planned(a_course(CAST, "2027-09-08", Wedged(date(2027, 9, 22))))

    assert rows(plan, "X1") == []
    assert "S12" in {why.rule for why in row(plan, "C4").why}


def test_a_film_over_the_limit_asks_for_one_extra_film_and_no_more():
    films = (a_film(date(2027, 2, 3)), a_film(date(2027, 3, 15), "-6"), a_film(date(2027, 3, 17), "-6"))
    plan = planned(a_course(NAIL, "2027-02-02", *films))

    assert rows(plan, "X1") == [(date(2027, 3, 22), "planned")]
    assert rows(plan, "X2") == []
    assert levels(plan, "alignment") == [("RED", date(2027, 3, 15)), ("RED", date(2027, 3, 17))]


def test_an_alert_never_changes_the_stage():
    ordered = StageOrdered(date(2027, 2, 2), Stage.WBAT, SURGEON)
    plan = planned(a_course(NAIL, "2027-02-02", ordered, a_film(date(2027, 3, 15), "-9")))

    assert plan.stage_now.stage is Stage.WBAT


def test_delayed_union_is_raised_at_the_week_24_visit():
    plan = planned(a_course(NAIL, "2027-02-02", Attended(date(2027, 7, 19), "N4")))

    assert levels(plan, "delayed union") == [("AMBER", date(2027, 7, 19))]


def test_delayed_union_is_raised_by_the_clock_when_nobody_came():
    plan = planned(a_course(NAIL, "2027-02-02"), on="2027-08-30")

    assert levels(plan, "delayed union") == [("AMBER", date(2027, 7, 20))]


def test_union_confirmed_the_same_day_raises_no_delayed_union():
    plan = planned(a_course(NAIL, "2027-02-02", Attended(date(2027, 7, 19), "N4"), UnionConfirmed(date(2027, 7, 19))))

    assert levels(plan, "delayed union") == []


def test_new_pain_without_a_gain_in_score_is_urgent():
    history = (
        a_film(date(2027, 3, 15), "0", 2, 1, 1, 1),
        GateFindings(date(2027, 3, 15), "N2", {"walking_pain": 2}),
        a_film(date(2027, 4, 26), "0", 2, 1, 1, 1),
        GateFindings(date(2027, 4, 26), "N3", {"walking_pain": 5}),
    )
    plan = planned(a_course(NAIL, "2027-02-02", *history))

    assert ("RED", date(2027, 4, 26)) in levels(plan, "high risk")


def test_changed_implants_are_urgent():
    plan = planned(a_course(PLATE, PLATED_ON, GateFindings(date(2027, 10, 22), "P2", {"implants_unchanged": False})))

    assert levels(plan, "high risk") == [("RED", date(2027, 10, 22))]


def test_discharge_ends_the_plan_only_with_union_a_free_stage_and_the_clot_review_closed():
    on = date(2028, 1, 31)
    full = (
        StageOrdered(date(2027, 2, 2), Stage.WBAT, SURGEON),
        ClotReviewClosed(date(2027, 3, 16)),
        UnionConfirmed(date(2027, 7, 19)),
        Discharged(on),
    )
    ended = planned(a_course(NAIL, "2027-02-02", *full))
    kept = planned(a_course(NAIL, "2027-02-02", *full[:1], *full[2:]))

    assert (ended.ended_on, ended.reminders) == (on, ())
    assert {visit.state for visit in ended.visits} == {"cancelled"}
    assert kept.ended_on is None
    assert kept.alerts[-1].reasons[0].values["missing"] == ("clot review closed",)


def test_a_discharge_with_a_reason_ends_the_plan_as_it_is():
    plan = planned(a_course(NAIL, "2027-02-02", Discharged(date(2027, 5, 3), "informed refusal")))

    assert plan.ended_on == date(2027, 5, 3)
    assert {task.state for task in plan.tasks} == {"closed"}


def test_what_was_found_before_the_treatment_counts_for_healing_alone():
    plan = planned(
        a_course(NAIL, "2027-02-02", a_film(date(2027, 2, 2), "-9", 1, 1, 1, 1), a_film(date(2027, 3, 15), "-9"))
    )

    assert plan.films[0].is_new_baseline
    assert rows(plan, "X1") != []


def test_new_pain_is_judged_with_the_film_of_its_own_day_whichever_was_written_first():
    day = date(2027, 4, 26)
    film, pain = a_film(day, "0", 2, 1, 1, 1), GateFindings(day, "N3", {"walking_pain": 5})
    before = (
        a_film(date(2027, 2, 15), "0", 1, 1, 1, 1),
        a_film(date(2027, 3, 15), "0", 2, 1, 1, 1),
        GateFindings(date(2027, 3, 15), "N2", {"walking_pain": 2}),
    )

    plans = [planned(a_course(NAIL, "2027-02-02", *before, *entries)) for entries in ((film, pain), (pain, film))]

    assert [("RED", day) in levels(plan, "high risk") for plan in plans] == [True, True]


def test_what_a_discharge_needs_may_be_written_down_later_the_same_day():
    on = date(2028, 1, 31)
    history = (
        StageOrdered(date(2027, 2, 2), Stage.WBAT, SURGEON),
        UnionConfirmed(date(2027, 7, 19)),
        Discharged(on),
        ClotReviewClosed(on),
    )

    assert planned(a_course(NAIL, "2027-02-02", *history)).ended_on == on


def test_a_treatment_after_a_discharge_opens_the_plan_again():
    discharged = Discharged(date(2027, 8, 16), "transferred, acknowledged")
    plan = planned(a_course(NAIL, "2027-03-01", discharged, later=(a_treatment(NAIL, "2027-10-04"),)))

    second = [visit for visit in plan.visits if visit.treatment == 2]
    assert plan.ended_on is None
    assert {visit.state for visit in second} == {"planned"}
    assert [task.state for task in plan.tasks if task.treatment == 2] == ["open"]


def test_nothing_about_healing_is_raised_once_the_plan_has_ended():
    plan = planned(a_course(NAIL, "2027-02-02", Discharged(date(2027, 4, 1), "informed refusal")), on="2030-01-01")

    assert levels(plan, "delayed union") == []


def test_a_review_may_be_booked_on_the_very_day_that_brought_it():
    day = date(2027, 10, 22)
    history = (
        Attended(day, "P2"),
        GateFindings(day, "P2", {"touch_pain": 6}),
        Booked(day, "X1", date(2027, 11, 5)),
    )
    plan = planned(a_course(PLATE, PLATED_ON, *history))

    assert (row(plan, "X1").is_booked, plan.unmatched) == (True, ())


def test_a_booking_of_a_visit_that_never_came_to_be_is_handed_back():
    plan = planned(a_course(PLATE, PLATED_ON, Booked(date(2027, 10, 22), "X1", date(2027, 11, 5))))

    assert [entry.visit for entry in plan.unmatched] == ["X1"]


def test_an_urgent_reading_after_a_discharge_stays_open():
    history = (Discharged(date(2027, 4, 1), "informed refusal"), a_film(date(2027, 5, 24), "-9"))
    plan = planned(a_course(NAIL, "2027-03-01", *history))

    assert [alert.is_open for alert in plan.alerts if alert.kind == "alignment"] == [True]


def test_an_order_before_day_zero_is_said_to_have_no_effect():
    course = a_course(NAIL, "2027-02-02", StageOrdered(date(2027, 2, 3), Stage.WBAT, SURGEON))
    course = replace(course, treatments=(a_treatment(NAIL, "2027-02-05"),))
    plan = planned(course)

    assert plan.stage_now.stage is Stage.NWB
    assert [alert.reasons[0].code for alert in plan.alerts] == ["before_day_zero"]


def test_a_bone_that_is_operated_again_counts_as_not_united():
    confirmed = UnionConfirmed(date(2027, 8, 16))
    plan = planned(a_course(NAIL, "2027-03-01", confirmed, later=(a_treatment(PLATE, "2027-10-04"),)))

    assert plan.union_confirmed_on is None
    assert "P6" in {visit.code for visit in plan.visits}
    assert [gate.met for gate in plan.stages[-1].gates if gate.finding == "union_confirmed"] == [None]


def test_a_missed_visit_that_union_made_needless_is_settled():
    history = (Missed(date(2027, 10, 11), "N5"), UnionConfirmed(date(2027, 10, 12)))
    plan = planned(a_course(NAIL, "2027-02-02", *history))

    assert [alert.is_open for alert in plan.alerts if alert.kind == "missed"] == [False]
