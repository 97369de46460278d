"""Faults are told all at once, one message a path, each saying what would be right."""

import pytest

from rehab.files import CourseFaults
from rehab.files.faults import Faults, did_you_mean, path_text, shown
from rehab.files.json_text import read_json
from tests.rehab.files.conftest import COURSES, faults_of

TEN_FAULTS = {
    "$.clinic.appointment_time": "“9.30” cannot be used here. Give a time of day as HH:MM, such as “09:30”.",
    "$.clinic.time_zone": "“Europe/Lodnon” is not a time zone. Did you mean “Europe/London”? "
    "Give a name of the time zone database, such as “Europe/London”.",
    "$.person.born_on": "“1993-02-30” is not a day of the calendar. Give a day that exists, as YYYY-MM-DD.",
    "$.person.weight_kg": "“172 lb” cannot be used here. Give the weight in kilograms: a number from 30 to 250 with at "
    "most one decimal, such as 72.5, or null when nobody has weighed the person.",
    "$.person.wieght_kg": "This key is not known here. Did you mean “weight_kg”?",
    "$.injury.fracture_class": "“41A2” cannot be used here. Give A, B or C, with the group 1, 2 or 3 where it is "
    "known, such as “A2”; the digits of the bone go in “bone_segment”.",
    "$.injury.open_grade": "This key is missing. Give one of: “closed”, “I”, “II”, “IIIA”, “IIIB”, “IIIC”. "
    "It must be known before a plan can be made.",
    "$.injury.side": "“both” cannot be used here. Give “left” or “right”. "
    "One course is one leg: two broken legs are two courses.",
    "$.history[0].visit": "“C3” is not a visit of the treatment in force on Monday 15 February 2027, intramedullary "
    "nail. Its visits are N0, N1, N2, N3, N3b, N4, N5, N6, O1, O2, O3.",
    "$.history[1].score.cortices[1]": "4 cannot be used here. "
    "On the RUST scale a cortex is scored 1, 2 or 3, or null when it is hidden.",
    "$.history[2].by": "“physiotherapist” cannot be used here. Only a surgeon may sign this: give “surgeon”.",
}


def test_every_fault_of_a_bad_file_is_told_at_once_in_the_order_of_the_file():
    told = faults_of(read_json((COURSES / "ten_faults.json").read_bytes()))

    assert told == TEN_FAULTS
    assert list(told) == list(TEN_FAULTS)


def test_a_path_is_written_as_people_read_it():
    assert path_text(("history", 3, "score", "cortices", 1)) == "$.history[3].score.cortices[1]"
    assert path_text(()) == "$"


def test_a_key_that_is_not_a_plain_word_stands_in_quotes():
    assert path_text(("person", "weight kg")) == '$.person["weight kg"]'


def test_the_first_message_about_a_path_is_kept():
    faults = Faults()
    faults.add(("person",), "first")
    faults.add(("person",), "second")

    with pytest.raises(CourseFaults) as refused:
        faults.raise_if_any()

    assert refused.value.faults == [{"path": "$.person", "message": "first"}]


def test_history_positions_are_told_in_the_order_of_numbers(just_nailed):
    just_nailed["history"] = [{"what": "wedged", "on": "2027-13-01"} for _ in range(12)]

    assert list(faults_of(just_nailed)) == [f"$.history[{n}].on" for n in range(12)]


def test_a_near_word_is_offered_whatever_its_case_and_blanks():
    assert did_you_mean("Weight KG", ["weight_kg", "weighed_on"]) == " Did you mean “weight_kg”?"


def test_no_word_is_offered_when_none_is_near():
    assert did_you_mean("colour", ["weight_kg", "weighed_on"]) == ""


def test_a_long_value_is_cut_in_the_message():
    assert shown("x" * 100) == f"“{'x' * 40}…”"


def test_the_exception_speaks_its_faults():
    refused = CourseFaults([{"path": "$.person", "message": "This key is missing."}])

    assert str(refused) == "$.person: This key is missing."
