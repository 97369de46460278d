"""Plans come from course documents; dates, kilograms and stages are typed in from the worked cases."""

from datetime import date, time

import pytest

from clinic.documents.from_plan import NotYetKnown, OutOfScope, known_on, sheet_from_plan
from clinic.documents.sheet import Load
from rehab.engine.facts import Stage
from rehab.files import plan_course_file
from tests.rehab.cases.course import in_cast, nailed, plated

PLATED = plated(
    "2027-04-19",
    injured_at="2027-04-17T16:20",
    side="left",
    fracture_class="B2",
    born_on="1975-02-03",
    weight_kg=84.5,
    weighed_on="2027-04-19",
)
NAILED = nailed("2027-02-02", side="right", weight_kg=72.0, weighed_on="2027-02-02")


def sheet_of(course, on, **details):
    planned = plan_course_file(course.document)
    return sheet_from_plan(planned.plan, planned.course, planned.clinic, on=date.fromisoformat(on), **details)


def test_without_an_order_the_sheet_says_no_order_and_bears_nothing():
    sheet = sheet_of(NAILED, "2027-02-02")  # worked case 1 without orders

    assert (sheet.load, sheet.stage, sheet.ordered_by) == (Load.NO_ORDER, Stage.NWB, None)


@pytest.mark.parametrize(
    ("stage", "load", "cap_kg"),
    [
        ("NWB", Load.NONE, 0),
        ("TTWB", Load.TOUCH, 8),  # worked case 3: 84.5 kg
        ("PWB25", Load.LIMITED, 21),
        ("PWB50", Load.LIMITED, 42),
        ("PWB75", Load.LIMITED, 63),
        ("WBAT", Load.COMFORT, None),
        ("FWB", Load.FREE, None),
    ],
)
def test_the_order_decides_the_load_and_the_kilograms(stage, load, cap_kg):
    sheet = sheet_of(PLATED.ordered(stage, "2027-06-02"), "2027-06-02")

    assert (sheet.load, sheet.cap_kg, sheet.valid_from) == (load, cap_kg, date(2027, 6, 2))


def test_a_weight_of_90_days_leaves_a_touch_until_weighed():
    course = NAILED.ordered("PWB50", "2027-05-03")  # weighed 2 February: 89 days on 2 May, 90 on 3 May (R39)

    assert sheet_of(course, "2027-05-03").load is Load.TOUCH_UNTIL_WEIGHED
    assert sheet_of(NAILED.ordered("PWB50", "2027-05-02"), "2027-05-02").load is Load.LIMITED


def test_half_the_weight_fills_half_the_sole():
    assert sheet_of(PLATED.ordered("PWB50", "2027-06-02"), "2027-06-02").share == pytest.approx(0.497, abs=0.001)


def test_the_next_visit_is_the_first_one_still_to_come():
    sheet = sheet_of(PLATED, "2027-05-06")  # P1 was Wednesday 5 May

    assert (sheet.next_visit.on, sheet.next_visit.at) == (date(2027, 6, 2), time(9, 30))


def test_a_visit_only_for_slow_healing_is_not_among_the_dates():
    sheet = sheet_of(PLATED, "2027-04-19")

    assert [visit.on for visit in sheet.later_visits] == [
        date(2027, 6, 2),
        date(2027, 7, 12),
        date(2027, 8, 9),
        date(2027, 10, 4),
        date(2028, 4, 19),  # P6 on 29 December is left out
    ]


def test_an_unbooked_day_is_marked_as_only_planned():
    assert sheet_of(PLATED, "2027-04-19").next_visit.is_booked is False


def test_a_booked_time_is_printed_for_its_day():
    sheet = sheet_of(PLATED, "2027-04-19", times={date(2027, 6, 2): time(10, 40)})

    assert [visit.at for visit in sheet.later_visits[:2]] == [time(10, 40), None]


def test_two_visits_on_one_day_are_one_row():
    course = in_cast("2027-03-25", injured_at="2027-03-25T10:00", side="left")  # worked case 2: Easter
    sheet = sheet_of(course, "2027-03-25")
    days = [sheet.next_visit.on, *(visit.on for visit in sheet.later_visits)]

    assert days == sorted(set(days))
    assert len(sheet.next_visit.what_for) == 2


def test_both_legs_hurt_print_the_more_restrictive_stage_and_no_drawing():
    other = plan_course_file(PLATED.ordered("TTWB", "2027-04-19").document).plan
    sheet = sheet_of(NAILED.ordered("WBAT", "2027-02-02"), "2027-04-19", other_leg=other)

    assert (sheet.load, sheet.cap_kg, sheet.has_drawings) == (Load.TOUCH, 8, False)


def test_a_course_that_says_both_legs_are_hurt_prints_no_drawing():
    both = nailed("2027-02-02", circumstances=["both legs injured"]).ordered("NWB", "2027-02-02")

    assert sheet_of(both, "2027-02-02").both_legs
    assert not sheet_of(NAILED.ordered("NWB", "2027-02-02"), "2027-02-02").both_legs


def test_an_unordered_other_leg_bears_nothing():
    other = plan_course_file(PLATED.document).plan
    sheet = sheet_of(NAILED.ordered("NWB", "2027-02-02"), "2027-04-19", other_leg=other)

    assert sheet.load is Load.NO_ORDER


def test_a_refused_course_gets_no_sheet():
    with pytest.raises(OutOfScope):
        sheet_of(NAILED.changed("injury", bone_segment="43"), "2027-02-02")


def test_an_order_of_tomorrow_is_never_printed_today():
    with pytest.raises(NotYetKnown):
        sheet_of(PLATED.ordered("FWB", "2027-06-02"), "2027-06-01")


def test_a_course_as_known_on_a_day_holds_nothing_later():
    course = plan_course_file(PLATED.ordered("TTWB", "2027-04-19").ordered("FWB", "2027-06-02").document).course

    assert [entry.on for entry in known_on(course, date(2027, 6, 1)).history] == [date(2027, 4, 19)]


@pytest.mark.parametrize(("country", "number"), [("GB", "999"), ("FR", None)])
def test_the_emergency_number_is_that_of_the_country_when_known(country, number):
    course = NAILED.at_clinic(country=country, subdivision=None)

    assert sheet_of(course, "2027-02-02").site.emergency_number == number
