"""From worked courses to ladder and strip: no database, the engine's own plans."""

from dataclasses import replace
from datetime import date

import pytest

from clinic.web.drawings.ladder import StepState
from clinic.web.drawings.time_line import Tense
from clinic.web.drawings.time_line_visits import DotState
from clinic.web.pictures import bars_of, ladder_of, stages_stood, time_line_of
from rehab.engine.facts import TreatmentKind
from rehab.engine.plan import make_plan
from rehab.files import read_course
from rehab.files.default_pathways import default_pathways
from rehab.holiday_tables import calendar_for

CLINIC = {
    "time_zone": "Europe/London",
    "country": "GB",
    "subdivision": "ENG",
    "clinic_days": ["mon", "wed", "fri"],
    "appointment_time": "09:30",
}


def drawn(kind, *history, on, weight=84.5):
    """Course, plan and pathway of a right tibia treated on Wednesday 17 February 2027."""
    document = {
        "clinic": CLINIC,
        "person": {"born_on": "1971-05-14", "weight_kg": weight, "weighed_on": "2027-02-17"},
        "injury": {
            "at": "2027-02-16T11:00",
            "side": "right",
            "bone_segment": "42",
            "fracture_class": "B2",
            "edition": 2018,
            "fibula": "intact",
            "open_grade": "closed",
        },
        "treatments": [{"kind": kind, "at": "2027-02-17T15:00", "fixation_principle": None}],
        "history": list(history),
    }
    pathways = default_pathways()
    course, clinic = read_course(document, pathways)
    plan = make_plan(course, pathways, calendar_for(clinic, date(2026, 1, 1), date(2030, 12, 31)), on)
    return course, plan, pathways[TreatmentKind(kind)]


def ordered(on, stage, by="surgeon"):
    return {"on": on, "what": "stage ordered", "stage": stage, "by": by}


def test_without_an_order_now_is_non_weightbearing_though_no_row_of_the_ladder_is():
    course, plan, pathway = drawn("intramedullary_nail", on=date(2027, 2, 20))

    ladder = ladder_of(course, plan, pathway)

    assert [(step.state, step.load_words) for step in ladder.steps] == [
        (StepState.NOW, "0 kg"),
        (StepState.COMING, "no limit"),
        (StepState.COMING, "no limit"),
    ]
    assert ladder.steps[0].plain == "no order on file"


def test_past_steps_say_until_when_and_coming_ones_not_before():
    course, plan, pathway = drawn(
        "plate_and_screws", ordered("2027-02-17", "TTWB"), ordered("2027-03-31", "PWB50"), on=date(2027, 4, 1)
    )

    steps = ladder_of(course, plan, pathway).steps

    assert [(step.state.value, step.load_words) for step in steps] == [
        ("past", "8 kg"),
        ("now", "42 kg"),
        ("coming", "no limit"),
        ("coming", "no limit"),
    ]
    assert steps[0].when == "until 31\N{NO-BREAK SPACE}March\N{NO-BREAK SPACE}2027"
    assert steps[1].when == "since 31\N{NO-BREAK SPACE}March\N{NO-BREAK SPACE}2027"
    assert steps[2].when.startswith("not before ")


def test_an_order_that_goes_down_leaves_its_mark_on_the_step_above():
    course, plan, pathway = drawn(
        "plate_and_screws", ordered("2027-02-17", "PWB50"), ordered("2027-03-01", "TTWB"), on=date(2027, 3, 2)
    )

    now, left, *_ = ladder_of(course, plan, pathway).steps

    assert (now.state, left.state) == (StepState.NOW, StepState.COMING)
    assert left.when == "was here until 1\N{NO-BREAK SPACE}March\N{NO-BREAK SPACE}2027"


def test_a_limited_stage_without_a_fresh_weight_is_touch_only():
    course, plan, pathway = drawn("plate_and_screws", ordered("2027-06-21", "PWB50"), on=date(2027, 6, 22))

    assert plan.stage_now.cap_kg is None  # weighed 17 February: 124 days before the order
    ladder = ladder_of(course, plan, pathway)
    step = ladder.steps[ladder.now]
    assert (step.load_words, step.load_note) == ("touch", "only, until weighed")


def test_the_gate_has_one_bar_for_each_condition_and_one_for_the_order():
    _, plan, _ = drawn("plate_and_screws", ordered("2027-02-17", "TTWB"), on=date(2027, 3, 31))
    row = next(row for row in plan.stages if row.stage.value == "PWB50")

    bars = bars_of(row)

    assert len(bars) == len(row.gates) + 1
    assert bars[-1].needs == "Order of a surgeon"
    assert not any(bar.is_open for bar in bars)


def test_a_stage_stood_on_for_no_day_is_not_told():
    course, plan, _ = drawn(
        "plate_and_screws", ordered("2027-02-17", "TTWB"), ordered("2027-02-17", "PWB50"), on=date(2027, 2, 18)
    )

    assert [stood.stage.value for stood in stages_stood(course, plan)] == ["PWB50"]


@pytest.mark.parametrize("today", [date(2027, 2, 17), date(2027, 3, 31), date(2027, 9, 1)])
def test_no_solid_load_begins_after_today_and_no_plan_before_it(today):
    course, plan, pathway = drawn("plate_and_screws", ordered("2027-02-17", "TTWB"), on=today)

    stretches = time_line_of(course, plan, pathway, today).stretches

    assert all(stretch.from_on <= today for stretch in stretches if stretch.tense is Tense.SOLID)
    assert all(stretch.from_on >= today for stretch in stretches if stretch.tense is Tense.PLANNED)


def test_a_visit_is_drawn_as_booked_only_when_it_has_a_place():
    course, plan, pathway = drawn("plate_and_screws", on=date(2027, 2, 18))

    states = {dot.state for dot in time_line_of(course, plan, pathway, date(2027, 2, 18)).visits}

    assert states == {DotState.NO_PLACE, DotState.IF_NOT_HEALED}


def test_slow_healing_is_judged_from_24_weeks_after_the_injury_and_not_after_union():
    course, plan, pathway = drawn("plate_and_screws", on=date(2027, 2, 18))

    assert time_line_of(course, plan, pathway, date(2027, 2, 18)).slow_from == date(2027, 8, 3)  # 16 February + 168
    united = replace(plan, union_confirmed_on=date(2027, 7, 19))
    assert time_line_of(course, united, pathway, date(2027, 8, 1)).slow_from is None
