"""Rules R44 to R50: baselines, changes, limits and alarm levels of films.

R51 (a film taken and never read) needs today's date and belongs to the application's list of loose ends.
The second half of R48, an AMBER film nobody reads in a working day, does so too.
"""

import pytest

from tests.rehab.cases.course import NAIL, NOT_MEASURED, in_cast, nailed, plated

COURSE = in_cast("2027-09-08")
STRAIGHT = COURSE.film("2027-09-08")


def alarms(course):
    return course.planned().alerts("alignment")


# R44: what a film is compared with


def test_r44_the_first_film_since_the_treatment_is_only_held_to_the_limits():
    assert alarms(COURSE.film("2027-09-10", valgus=5)) == []


def test_r44_a_film_from_before_the_nail_is_no_baseline():
    course = STRAIGHT.then(NAIL, "2027-09-20").film("2027-09-21", valgus=4)

    assert alarms(course) == []


@pytest.mark.parametrize("film_on", ["2027-09-22", "2027-09-23"])
def test_r44_a_film_on_the_day_of_wedging_or_the_next_is_a_new_baseline(film_on):
    assert alarms(STRAIGHT.wedged("2027-09-22").film(film_on, valgus=4)) == []


def test_r44_a_film_a_week_after_wedging_is_held_to_the_old_baseline():
    assert alarms(STRAIGHT.wedged("2027-09-22").film("2027-09-29", valgus=4)) == [("2027-09-29", "AMBER")]


def test_r44_a_film_named_baseline_is_first_judged_by_the_old_one():
    named = STRAIGHT.film("2027-09-22", valgus=4, baseline=True)
    assert alarms(named) == [("2027-09-22", "AMBER")]

    assert alarms(named.film("2027-09-29", valgus=5)) == [("2027-09-22", "AMBER")]


# R45: and with the film before it


def test_r45_two_degrees_each_way_is_a_change_of_five():
    course = STRAIGHT.film("2027-09-15", valgus=2.5)
    assert alarms(course) == []

    assert alarms(course.film("2027-09-22", varus=2.5)) == [("2027-09-22", "RED")]


def test_r45_creep_of_two_degrees_a_week_does_not_escape():
    course = STRAIGHT.film("2027-09-15", valgus=2).film("2027-09-22", valgus=4)

    assert alarms(course) == [("2027-09-22", "AMBER")]


def test_r45_a_correction_by_wedging_is_no_slip():
    slipped = COURSE.film("2027-09-08", varus=4).film("2027-09-22", varus=5)
    course = slipped.wedged("2027-09-22").film("2027-09-22", valgus=1)

    assert alarms(course) == []


# R46: edges


@pytest.mark.parametrize(
    ("reading", "level"),
    [
        ({"valgus": 2.9}, None),
        ({"valgus": 3.0}, "AMBER"),
        ({"valgus": 4.9}, "AMBER"),
        ({"valgus": 5.0}, "RED"),
        ({"anterior": 2.9}, None),
        ({"posterior": 3.0}, "AMBER"),
        ({"anterior": 5.0}, "RED"),
        ({"shortening": 3}, None),
        ({"shortening": 3.1}, "AMBER"),
        ({"shortening": 5}, "AMBER"),
        ({"shortening": 5.1}, "RED"),
    ],
)
def test_r46_changes_from_the_baseline(reading, level):
    expected = [("2027-09-15", level)] if level else []

    assert alarms(STRAIGHT.film("2027-09-15", **reading)) == expected


@pytest.mark.parametrize(
    ("reading", "level"),
    [
        ({"varus": 5.0}, None),
        ({"varus": 5.1}, "RED"),
        ({"valgus": 5.1}, "RED"),
        ({"anterior": 10.0}, None),
        ({"posterior": 10.1}, "RED"),
        ({"rotation": 10}, None),
        ({"rotation": 10.1}, "RED"),
        ({"shortening": 10}, None),
        ({"shortening": 10.1}, "RED"),
        ({"contact": 50}, None),
        ({"contact": 49.9}, "RED"),
    ],
)
def test_r46_a_first_film_equal_to_a_limit_is_acceptable_and_above_is_not(reading, level):
    expected = [("2027-09-08", level)] if level else []

    assert alarms(COURSE.film("2027-09-08", **reading)) == expected


def test_r46_three_varus_to_three_valgus_is_a_change_of_six():
    course = COURSE.film("2027-09-08", varus=3).film("2027-09-15", valgus=3)

    assert alarms(course) == [("2027-09-15", "RED")]


def test_r46_tenths_are_compared_as_written():
    # 4.1 less 1.1 is 3 in tenths of a degree, and a little less in binary numbers.
    course = COURSE.film("2027-09-08", varus=1.1).film("2027-09-15", varus=4.1)

    assert alarms(course) == [("2027-09-15", "AMBER")]


# R47: measurements nobody took


@pytest.mark.parametrize("missing", [("coronal",), ("sagittal",), ("shortening_mm",), NOT_MEASURED])
def test_r47_a_film_that_was_not_fully_measured_opens_no_gate(missing):
    course = STRAIGHT.film("2027-09-29").film("2027-10-06", without=missing, rust=[2, 2, 1, 1])

    assert alarms(course) == []
    assert course.planned().gate("TTWB", "films_in_limits") is not True


def test_r47_rotation_and_contact_may_be_missing():
    course = STRAIGHT.film("2027-09-29").film("2027-10-06", without=("rotation_degrees", "contact_percent"))

    assert course.planned().gate("TTWB", "films_in_limits") is True


def test_r47_what_was_measured_still_alarms():
    assert alarms(STRAIGHT.film("2027-09-15", shortening=12, without=("coronal",))) == [("2027-09-15", "RED")]


# R48 and R49


def test_r48_two_amber_films_stay_two_amber_alerts():
    course = STRAIGHT.film("2027-09-15", valgus=3.5).film("2027-09-22", valgus=3.6)

    assert alarms(course) == [("2027-09-15", "AMBER"), ("2027-09-22", "AMBER")]


def test_r49_a_red_film_changes_no_stage_and_shuts_the_gates():
    course = STRAIGHT.ordered("TTWB", "2027-10-06").film("2027-10-20", valgus=8)

    assert course.planned().now()[0] == "TTWB"
    assert course.planned().gate("PWB50", "films_in_limits") is False


# R50: levels, and one alert a film and kind


def test_r50_a_film_with_four_reasons_is_one_red_alert():
    course = COURSE.film("2027-09-08", varus=2, shortening=4)

    assert alarms(course.film("2027-09-15", varus=7, shortening=12)) == [("2027-09-15", "RED")]


@pytest.mark.parametrize(
    ("course", "kind", "expected"),
    [
        (STRAIGHT.film("2027-09-15", valgus=5), "alignment", ("2027-09-15", "RED")),
        (COURSE.missed("C1", "2027-09-10").missed("C1", "2027-09-13"), "missed", ("2027-09-13", "RED")),
        (
            nailed("2027-02-02").film("2027-02-22", rust=[2, 2, 2, 2]).film("2027-03-01", rust=[2, 2, 2, 1]),
            "high risk",
            ("2027-03-01", "RED"),
        ),
        (
            plated("2027-09-10").attended("P2", "2027-10-22").found("P2", "2027-10-22", implants_unchanged=False),
            "high risk",
            ("2027-10-22", "RED"),
        ),
        (nailed("2027-02-02").film("2027-03-15", rust=[2, 1, 1, 1]), "high risk", ("2027-03-15", "AMBER")),
        (STRAIGHT.film("2027-09-15", valgus=3), "alignment", ("2027-09-15", "AMBER")),
        (in_cast("2027-09-08", fibula="intact"), "scope", ("2027-09-08", "INFO")),
    ],
    ids=["slip", "second miss", "falling score", "implants", "high risk", "change", "intact fibula"],
)
def test_r50_each_alert_has_its_level(course, kind, expected):
    assert expected in course.planned().alerts(kind)
