"""What is well written and cannot be true: order in time, places, weights."""

import pytest

from rehab.files import plan_course
from tests.rehab.files.conftest import faults_of

AFTER_INJURY = "This is before the injury, which was on Tuesday 2 February 2027 at 11:00."


# The clinic


def test_an_unknown_zone_is_a_fault_with_the_nearest_name(just_nailed):
    just_nailed["clinic"]["time_zone"] = "Europe/London "

    assert "Did you mean “Europe/London”?" in faults_of(just_nailed)["$.clinic.time_zone"]


@pytest.mark.parametrize("zone", ["", "Europe", "../../etc/passwd", "/etc/localtime", "London\0", "GMT+1"])
def test_what_is_no_zone_is_a_fault_and_no_crash(just_nailed, zone):
    just_nailed["clinic"]["time_zone"] = zone

    assert list(faults_of(just_nailed)) == ["$.clinic.time_zone"]


def test_an_unknown_country_is_a_fault_with_the_usual_letters(just_nailed):
    just_nailed["clinic"]["country"] = "UK"

    assert "Did you mean “GB”?" in faults_of(just_nailed)["$.clinic.country"]


def test_an_unknown_part_of_the_country_is_a_fault_with_those_it_has(just_nailed):
    just_nailed["clinic"]["subdivision"] = "ENGL"
    expected = "“ENGL” is not a part of GB. Did you mean “ENG”? Give one of ENG, NIR, SCT, WLS, or null."

    assert faults_of(just_nailed) == {"$.clinic.subdivision": expected}


def test_an_unknown_clinic_day_is_a_fault(just_nailed):
    just_nailed["clinic"]["clinic_days"] = ["mon", "wednesday"]

    assert list(faults_of(just_nailed)) == ["$.clinic.clinic_days[1]"]


def test_an_impossible_closed_day_is_named_by_its_place(just_nailed):
    just_nailed["clinic"]["closed_on"] = ["2027-02-15", "2027-02-29"]

    assert list(faults_of(just_nailed)) == ["$.clinic.closed_on[1]"]


# The person


def test_a_weight_without_its_day_is_a_fault_of_the_day(just_nailed):
    just_nailed["person"]["weighed_on"] = None

    assert list(faults_of(just_nailed)) == ["$.person.weighed_on"]


def test_a_day_without_its_weight_is_a_fault_of_the_weight(just_nailed):
    just_nailed["person"]["weight_kg"] = None

    assert list(faults_of(just_nailed)) == ["$.person.weight_kg"]


def test_nobody_is_born_after_the_injury(just_nailed):
    just_nailed["person"]["born_on"] = "2027-02-03"

    assert list(faults_of(just_nailed)) == ["$.person.born_on", "$.person.weighed_on"]


def test_a_weight_older_than_the_person_is_a_fault(just_nailed):
    just_nailed["person"]["weighed_on"] = "1992-12-31"

    assert list(faults_of(just_nailed)) == ["$.person.weighed_on"]


@pytest.mark.parametrize("year", ["0001", "1899", "2091", "9999"])
def test_a_year_that_cannot_be_planned_is_a_fault(just_nailed, year):
    just_nailed["history"] = [{"on": f"{year}-03-01", "what": "clinical union", "yes": True}]
    expected = f"The year {int(year)} cannot be used. Give a year from 1900 to 2090."

    assert faults_of(just_nailed) == {"$.history[0].on": expected}


# The injury and its treatments


@pytest.mark.parametrize("key", ["presented_at", "wound_closed_at", "antibiotic_at"])
def test_nothing_of_the_injury_is_older_than_it(just_nailed, key):
    just_nailed["injury"][key] = "2027-02-02T10:59"

    assert faults_of(just_nailed)[f"$.injury.{key}"].startswith(AFTER_INJURY)


@pytest.mark.parametrize("moment", ["2027-02-30T11:00", "2027-02-02T24:30", "2027-02-02T11:00+99:99"])
def test_a_moment_that_does_not_exist_is_a_fault(just_nailed, moment):
    just_nailed["injury"]["at"] = moment

    assert list(faults_of(just_nailed)) == ["$.injury.at"]


@pytest.mark.parametrize("moment", ["2027-02-02", "2027-02-02 11:00", "11:00", "2027-W05-2T11:00"])
def test_a_moment_in_another_form_is_a_fault(just_nailed, moment):
    just_nailed["injury"]["at"] = moment

    assert list(faults_of(just_nailed)) == ["$.injury.at"]


def test_an_unknown_circumstance_is_a_fault_with_the_nearest_word(just_nailed):
    just_nailed["injury"]["circumstances"] = ["unlocked nails"]

    assert "Did you mean “unlocked nail”?" in faults_of(just_nailed)["$.injury.circumstances[0]"]


def test_r04_a_treatment_before_the_injury_is_a_fault(just_nailed):
    just_nailed["treatments"][0]["at"] = "2027-02-02T10:00"

    assert faults_of(just_nailed)["$.treatments[0].at"].startswith(AFTER_INJURY)


def test_r04_treatments_out_of_order_are_a_fault_of_the_later_one(just_nailed):
    just_nailed["treatments"].append({"kind": "plate_and_screws", "at": "2027-02-02T14:00"})
    expected = "Treatments stand in the order of time, and the one before this was on Tuesday 2 February 2027 at 15:00."

    assert faults_of(just_nailed) == {"$.treatments[1].at": expected}


def test_r04_order_is_judged_by_instants_not_by_wall_times(just_nailed):
    just_nailed["injury"] |= {"at": "2027-10-31T00:00", "presented_at": "2027-10-31T00:30"}
    just_nailed["treatments"] = [
        {"kind": "long_leg_cast", "at": "2027-10-31T01:50+01:00"},
        {"kind": "intramedullary_nail", "at": "2027-10-31T01:10+00:00"},
    ]

    assert plan_course(just_nailed)["pathway"]["treatment"] == "intramedullary_nail"


def test_a_plan_older_than_its_treatment_is_a_fault(just_nailed):
    just_nailed["treatments"][0]["planned_on"] = "2027-02-01"

    assert list(faults_of(just_nailed)) == ["$.treatments[0].planned_on"]


def test_r05_and_r06_a_child_and_another_bone_are_no_faults(just_nailed):
    just_nailed["person"]["born_on"] = "2015-01-15"
    just_nailed["injury"]["bone_segment"] = "41"

    assert plan_course(just_nailed)["scope"]["accepted"] is False


@pytest.mark.parametrize("fracture_class", ["D1", "A4", "A", "42A2", "a2", "A22", ""])
def test_r07_a_class_is_a_letter_with_an_optional_group(just_nailed, fracture_class):
    just_nailed["injury"]["fracture_class"] = fracture_class

    if fracture_class == "A":
        assert plan_course(just_nailed)["scope"]["accepted"] is True
    else:
        assert list(faults_of(just_nailed)) == ["$.injury.fracture_class"]


def test_r09_both_sides_are_two_courses(just_nailed):
    just_nailed["injury"]["side"] = "both"

    assert "One course is one leg" in faults_of(just_nailed)["$.injury.side"]


# Faults in one place hide nothing in another


def test_a_bad_zone_does_not_hide_a_treatment_before_the_injury(just_nailed):
    just_nailed["clinic"]["time_zone"] = "London"
    just_nailed["treatments"][0]["at"] = "2027-02-01T10:00"

    assert list(faults_of(just_nailed)) == ["$.clinic.time_zone", "$.treatments[0].at"]


def test_a_bad_treatment_day_does_not_hide_a_visit_of_another_treatment(just_nailed):
    just_nailed["treatments"][0]["at"] = "2027-02-30T10:00"
    just_nailed["history"] = [{"on": "2027-02-15", "what": "attended", "visit": "C3"}]

    assert list(faults_of(just_nailed)) == ["$.treatments[0].at", "$.history[0].visit"]


def test_an_unknown_treatment_judges_no_visit(just_nailed):
    just_nailed["treatments"][0]["kind"] = "nail"
    just_nailed["history"] = [{"on": "2027-02-15", "what": "attended", "visit": "C3"}]

    assert list(faults_of(just_nailed)) == ["$.treatments[0].kind"]
