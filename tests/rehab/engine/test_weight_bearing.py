"""Weight bearing: the ladder, its gates, who may order, and the stage in force."""

from datetime import date
from decimal import Decimal

import pytest

from rehab.engine.facts import (
    Attended,
    Authoriser,
    Film,
    GateFindings,
    OpenGrade,
    Stage,
    StageOrdered,
    UnionConfirmed,
    Weight,
)
from rehab.engine.weight_bearing import cap_kg, next_stage
from tests.rehab.engine.people import CAST, NAIL, PLATE, a_course, a_treatment, pathways, planned

SURGEON, PHYSIO = Authoriser.SURGEON, Authoriser.PHYSIOTHERAPIST
SHARED = pathways()[NAIL].shared
NAILED_ON = "2027-02-02"
ORDERED = StageOrdered(date(2027, 2, 2), Stage.WBAT, SURGEON)


def ladder_of(plan) -> list[tuple[str, date | None, int | None]]:
    """Each step with its day and its load."""
    return [(step.stage.value, step.not_before, step.cap_kg) for step in plan.stages]


@pytest.mark.parametrize(
    ("tenths", "stage", "kg"),
    [
        # W15; Raza 2022 and physiotherapy definitions give the shares, the sums are whole-number arithmetic
        (845, Stage.TTWB, 8),
        (845, Stage.PWB25, 21),
        (845, Stage.PWB50, 42),
        (845, Stage.PWB75, 63),
        (780, Stage.PWB50, 39),
        (619, Stage.PWB50, 30),
        (580, Stage.TTWB, 5),
        (770, Stage.PWB50, 38),
        (770, Stage.NWB, 0),
        (770, Stage.WBAT, None),
        (770, Stage.FWB, None),
    ],
)
def test_a_load_is_rounded_down_to_whole_kilograms(tenths, stage, kg):
    assert cap_kg(stage, [Weight(tenths, date(2027, 2, 2))], date(2027, 2, 2), SHARED) == kg


@pytest.mark.parametrize(("on", "kg"), [(date(2027, 5, 2), 36), (date(2027, 5, 3), None), (date(2027, 1, 1), 36)])
def test_a_weight_of_ninety_days_is_too_old_and_a_later_one_counts_as_fresh(on, kg):
    assert cap_kg(Stage.PWB50, [Weight(720, date(2027, 2, 2))], on, SHARED) == kg


def test_without_a_weight_there_is_no_limit_in_kilograms():
    assert cap_kg(Stage.TTWB, [], date(2027, 2, 2), SHARED) is None
    assert cap_kg(Stage.NWB, [], date(2027, 2, 2), SHARED) == 0


def test_without_an_order_the_leg_is_non_weightbearing():
    now = planned(a_course(NAIL, NAILED_ON), on="2027-12-01").stage_now

    assert (now.stage, now.since, now.ordered_by) == (Stage.NWB, date(2027, 2, 2), None)


def test_the_ladder_of_a_cast_rises_with_its_gate_visits():
    assert ladder_of(planned(a_course(CAST, "2027-03-25", weight=660))) == [
        ("NWB", date(2027, 3, 25), 0),
        ("TTWB", date(2027, 4, 21), 6),
        ("PWB50", date(2027, 5, 5), 33),
        ("WBAT", date(2027, 5, 19), None),
        ("FWB", date(2027, 6, 16), None),
    ]


@pytest.mark.parametrize(
    "injury",
    [
        {"fracture_class": "C3"},
        {"open_grade": OpenGrade.IIIB},
        {"open_grade": OpenGrade.IIIC},
        {"circumstances": frozenset({"unlocked nail"})},
        {"circumstances": frozenset({"bone loss"})},
    ],
)
def test_where_the_surgeon_must_choose_the_ladder_starts_and_ends_non_weightbearing(injury):
    assert [step.stage for step in planned(a_course(NAIL, NAILED_ON, **injury)).stages] == [Stage.NWB]


def test_once_the_surgeon_chose_comfort_the_last_step_appears_for_the_surgeon_alone():
    steps = planned(a_course(NAIL, NAILED_ON, ORDERED, fracture_class="C3")).stages

    assert [(step.stage, step.authorised_by) for step in steps] == [
        (Stage.NWB, (SURGEON,)),
        (Stage.FWB, (SURGEON,)),
    ]


@pytest.mark.parametrize(
    ("findings", "day", "is_ordered"),
    [
        ({"gait_without_limp": True, "walking_pain": 3}, date(2027, 4, 26), True),
        ({"gait_without_limp": True, "walking_pain": 4}, date(2027, 4, 26), False),
        ({"gait_without_limp": False, "walking_pain": 1}, date(2027, 4, 26), False),
        ({"walking_pain": 1}, date(2027, 4, 26), False),  # silence opens nothing
        ({"gait_without_limp": True, "walking_pain": 3}, date(2027, 4, 25), False),  # a day early
    ],
)
def test_a_nailed_patient_goes_to_full_weight_bearing_only_through_the_gate(findings, day, is_ordered):
    plan = planned(
        a_course(
            NAIL,
            NAILED_ON,
            ORDERED,
            Attended(day, "N3"),
            GateFindings(day, "N3", findings),
            StageOrdered(day, Stage.FWB, PHYSIO),
        )
    )

    # attending a day early moves the gate visit with it; its window still opens on 20 April
    is_early_visit = day == date(2027, 4, 25)
    assert (plan.stage_now.stage is Stage.FWB) is (is_ordered or is_early_visit)


def test_pain_that_rose_by_two_keeps_a_gate_shut_however_low_it_is():
    plan = planned(
        a_course(
            NAIL,
            NAILED_ON,
            ORDERED,
            GateFindings(date(2027, 3, 15), "N2", {"walking_pain": 1}),
            GateFindings(date(2027, 4, 26), "N3", {"walking_pain": 3, "gait_without_limp": True}),
        )
    )
    gates = {gate.finding: gate.met for gate in plan.stages[-1].gates}

    assert gates == {"gait_without_limp": True, "walking_pain": False}


def test_a_physiotherapist_may_always_lower_a_stage():
    plan = planned(a_course(NAIL, NAILED_ON, ORDERED, StageOrdered(date(2027, 2, 20), Stage.TTWB, PHYSIO)))

    assert (plan.stage_now.stage, plan.stage_now.ordered_by, plan.alerts) == (Stage.TTWB, PHYSIO, ())


@pytest.mark.parametrize(("stage", "code"), [(Stage.PWB50, "order_needs_surgeon"), (Stage.WBAT, "order_needs_surgeon")])
def test_a_physiotherapist_may_not_raise_a_stage_that_names_only_the_surgeon(stage, code):
    plan = planned(a_course(CAST, "2027-03-25", StageOrdered(date(2027, 5, 20), stage, PHYSIO)))

    assert plan.stage_now.stage is Stage.NWB
    assert [(alert.kind, alert.reasons[0].code) for alert in plan.alerts if alert.level == "AMBER"] == [("scope", code)]


def test_a_surgeon_may_order_any_stage_on_any_day():
    plan = planned(a_course(PLATE, "2027-04-19", StageOrdered(date(2027, 4, 20), Stage.FWB, SURGEON)))

    assert plan.stage_now.stage is Stage.FWB


def test_an_early_order_of_the_surgeon_moves_the_step_and_the_ones_after_it():
    plan = planned(a_course(CAST, "2027-03-25", StageOrdered(date(2027, 4, 14), Stage.TTWB, SURGEON)))

    assert [step.not_before for step in plan.stages][:3] == [date(2027, 3, 25), date(2027, 4, 14), date(2027, 5, 5)]


def test_the_next_stage_waits_for_its_day_and_for_every_bar():
    plan = planned(a_course(NAIL, NAILED_ON, ORDERED, GateFindings(date(2027, 4, 26), "N3", {"walking_pain": 2})))

    decision = next_stage(plan.stages, plan.stage_now, on=date(2027, 4, 20))

    assert decision.row.stage is Stage.FWB
    assert (decision.days_to_wait, [bar.finding for bar in decision.bars_shut]) == (6, ["gait_without_limp"])
    assert not decision.is_open


def test_there_is_no_stage_after_full_weight_bearing():
    plan = planned(a_course(NAIL, NAILED_ON, StageOrdered(date(2027, 2, 2), Stage.FWB, SURGEON)))

    assert next_stage(plan.stages, plan.stage_now, on=date(2027, 3, 1)).row is None


def test_full_weight_bearing_after_a_plate_needs_union_confirmed():
    history = (
        StageOrdered(date(2027, 7, 12), Stage.WBAT, SURGEON),
        Attended(date(2027, 8, 9), "P4"),
        GateFindings(date(2027, 8, 9), "P4", {"gait_without_limp": True}),
    )
    order = StageOrdered(date(2027, 8, 9), Stage.FWB, PHYSIO)

    without = planned(a_course(PLATE, "2027-04-19", *history, order))
    united = planned(a_course(PLATE, "2027-04-19", *history, UnionConfirmed(date(2027, 8, 9)), order))

    assert (without.stage_now.stage, united.stage_now.stage) == (Stage.WBAT, Stage.FWB)


GOOD_GAIT = GateFindings(date(2027, 4, 26), "N3", {"gait_without_limp": True, "walking_pain": 0})
FREE = StageOrdered(date(2027, 4, 26), Stage.FWB, PHYSIO)


@pytest.mark.parametrize(
    ("history", "code"),
    [
        ((GOOD_GAIT, FREE), "order_skips_a_step"),  # the surgeon never ordered the step below
        (
            (ORDERED, GOOD_GAIT, StageOrdered(date(2027, 4, 26), Stage.NWB, SURGEON), FREE),
            "order_skips_a_step",  # the surgeon took it back
        ),
        ((ORDERED, Film(date(2027, 4, 26), coronal=Decimal(-8)), GOOD_GAIT, FREE), "order_alarm_unanswered"),
        (
            (ORDERED, GateFindings(date(2027, 4, 26), "N3", {"implants_unchanged": False}), GOOD_GAIT, FREE),
            "order_alarm_unanswered",
        ),
    ],
)
def test_a_physiotherapist_neither_skips_a_step_nor_passes_an_urgent_alert(history, code):
    plan = planned(a_course(NAIL, NAILED_ON, *history))

    assert plan.stage_now.stage is not Stage.FWB
    assert code in [reason.code for alert in plan.alerts for reason in alert.reasons]


def test_an_urgent_alert_that_a_surgeon_answered_with_an_order_holds_nothing():
    slipped = Film(date(2027, 4, 26), coronal=Decimal(-8))
    answered = StageOrdered(date(2027, 4, 26), Stage.WBAT, SURGEON)
    plan = planned(a_course(NAIL, NAILED_ON, ORDERED, slipped, answered, GOOD_GAIT, FREE))

    assert plan.stages[-1].not_before == date(2027, 5, 6)  # ten days after the newest order
    assert plan.stage_now.stage is Stage.WBAT


def test_what_was_found_before_an_exchange_nail_opens_no_gate_of_the_new_one():
    exchange = a_treatment(NAIL, "2027-09-06")
    plan = planned(a_course(NAIL, NAILED_ON, ORDERED, GOOD_GAIT, later=(exchange,)))

    assert [gate.met for gate in plan.stages[-1].gates] == [None, None]
