"""History entries fit the injury, the treatment in force and each other (R2, R8, R9, R11)."""

import pytest

from rehab.files import plan_course
from tests.rehab.files.conftest import faults_of


@pytest.fixture
def converted(just_nailed):
    """A cast on 5 July, replaced by a nail on 15 July."""
    just_nailed["injury"] |= {"at": "2027-07-05T11:00", "presented_at": "2027-07-05T12:00"}
    just_nailed["treatments"] = [
        {"kind": "long_leg_cast", "at": "2027-07-05T15:00"},
        {"kind": "intramedullary_nail", "at": "2027-07-15T15:00"},
    ]
    return just_nailed


def with_entries(document, *entries):
    return document | {"history": list(entries)}


def attended(on, visit):
    return {"on": on, "what": "attended", "visit": visit}


def film(**reading):
    return {"on": "2027-02-15", "what": "film", **reading}


@pytest.mark.parametrize(
    ("entry", "begins"),
    [
        (film(), "A film cannot be older than the injury, which was on Tuesday 2 February 2027."),
        ({"what": "clinical union", "yes": False}, "Nothing is recorded before the injury, which was on Tuesday 2"),
    ],
)
def test_r11_nothing_is_recorded_before_the_injury(just_nailed, entry, begins):
    told = faults_of(with_entries(just_nailed, entry | {"on": "2027-02-01"}))

    assert list(told) == ["$.history[0].on"]
    assert told["$.history[0].on"].startswith(begins)


@pytest.mark.parametrize("what", ["attended", "missed"])
def test_r11_a_visit_of_the_treatment_before_is_a_fault(converted, what):
    told = faults_of(with_entries(converted, {"on": "2027-07-19", "what": what, "visit": "C3"}))

    assert told == {
        "$.history[0].visit": "“C3” is not a visit of the treatment in force on Monday 19 July 2027, intramedullary "
        "nail. Its visits are N0, N1, N2, N3, N3b, N4, N5, N6, O1, O2, O3."
    }


def test_r02_entries_of_the_conversion_day_belong_to_the_new_treatment(converted):
    assert list(faults_of(with_entries(converted, attended("2027-07-15", "C2")))) == ["$.history[0].visit"]


def test_r02_entries_of_the_day_before_belong_to_the_old_treatment(converted):
    plan = plan_course(with_entries(converted, attended("2027-07-14", "C2")))

    assert [row["placed_on"] for row in plan["visits"] if row["code"] == "C2"] == ["2027-07-14"]


def test_a_misspelt_visit_is_a_fault_with_the_nearest_code(just_nailed):
    told = faults_of(with_entries(just_nailed, attended("2027-02-15", "n1 ")))

    assert "Did you mean “N1”?" in told["$.history[0].visit"]


def test_before_the_first_treatment_there_is_no_visit(just_nailed):
    just_nailed["treatments"][0]["at"] = "2027-02-10T15:00"
    told = faults_of(with_entries(just_nailed, attended("2027-02-05", "N1")))

    assert told == {
        "$.history[0].visit": "No treatment was in force on Friday 5 February 2027, so there is no visit “N1”."
    }


@pytest.mark.parametrize(
    ("on", "visit"),
    [("2027-03-15", "X1"), ("2027-02-15", "O1"), ("2027-02-15", "N3b")],
)
def test_a_code_that_could_be_but_is_not_in_the_plan_is_a_fault(just_nailed, on, visit):
    told = faults_of(with_entries(just_nailed, attended(on, visit)))

    assert list(told) == ["$.history[0].visit"]
    assert "The plan has N1, N2, N3, N4, N5, N6." in told["$.history[0].visit"]


def test_an_entry_outside_the_plan_is_named_by_its_place_in_the_file(just_nailed):
    later_first = with_entries(just_nailed, attended("2027-03-15", "X1"), attended("2027-02-15", "N1"))

    assert list(faults_of(later_first)) == ["$.history[0].visit"]


def test_an_extra_visit_that_is_in_the_plan_is_read(just_nailed):
    just_nailed["treatments"][0]["kind"] = "plate_and_screws"
    findings = {"touch_pain": 6, "implants_unchanged": True}
    history = [
        attended("2027-03-15", "P2"),
        {"on": "2027-03-15", "what": "gate findings", "visit": "P2", "findings": findings},
        attended("2027-03-29", "X1"),
    ]
    plan = plan_course(with_entries(just_nailed, *history[:2]))
    [extra] = [row for row in plan["visits"] if row["code"] == "X1"]
    history[2]["on"] = extra["placed_on"]
    plan = plan_course(with_entries(just_nailed, *history))

    assert [row["state"] for row in plan["visits"] if row["code"] == "X1"] == ["attended"]


def test_r11_only_a_cast_can_be_wedged(converted):
    entries = [{"on": "2027-07-12", "what": "wedged"}, {"on": "2027-07-19", "what": "wedged"}]
    told = faults_of(with_entries(converted, *entries))

    assert list(told) == ["$.history[1].what"]
    assert told["$.history[1].what"].startswith("Only a cast can be wedged, and no cast was in force on Monday 19 July")


def test_the_same_outcome_twice_on_one_day_is_a_fault_of_the_later_one(just_nailed):
    missed = {"on": "2027-02-15", "what": "missed", "visit": "N1"}
    told = faults_of(with_entries(just_nailed, missed, film(), missed))

    assert told == {
        "$.history[2].visit": "$.history[0] says the same of this visit and day already. Keep one of the two."
    }


def test_a_place_before_the_day_it_was_booked_is_a_fault(just_nailed):
    booked = {"on": "2027-02-10", "what": "booked", "visit": "N1", "place_on": "2027-02-09"}

    assert list(faults_of(with_entries(just_nailed, booked))) == ["$.history[0].place_on"]


def test_an_impossible_place_is_a_fault(just_nailed):
    booked = {"on": "2027-02-10", "what": "booked", "visit": "N1", "place_on": "2027-02-29"}

    assert list(faults_of(with_entries(just_nailed, booked))) == ["$.history[0].place_on"]


def test_a_booking_of_another_treatments_visit_is_a_fault(just_nailed):
    booked = {"on": "2027-02-10", "what": "booked", "visit": "P1", "place_on": "2027-02-15"}

    assert list(faults_of(with_entries(just_nailed, booked))) == ["$.history[0].visit"]


@pytest.mark.parametrize("coronal", [{"degrees": 7}, {"degrees": 7, "toward": None}])
def test_r09_degrees_need_a_direction(just_nailed, coronal):
    told = faults_of(with_entries(just_nailed, film(coronal=coronal)))

    assert told == {"$.history[0].coronal.toward": "Choose varus or valgus for 7°."}


@pytest.mark.parametrize("sagittal", [{"degrees": 0}, {"degrees": 0, "toward": None}])
def test_r09_no_degrees_need_no_direction(just_nailed, sagittal):
    assert plan_course(with_entries(just_nailed, film(sagittal=sagittal)))["films"]


def test_a_direction_needs_its_degrees(just_nailed):
    told = faults_of(with_entries(just_nailed, film(sagittal={"degrees": None, "toward": "apex anterior"})))

    assert list(told) == ["$.history[0].sagittal.degrees"]


@pytest.mark.parametrize(
    ("scale", "cortices", "path"),
    [
        ("RUST", [3, 3, 4, 3], "$.history[0].score.cortices[2]"),
        ("mRUST", [4, 4, 4, 5], "$.history[0].score.cortices[3]"),
        ("RUST", [3, 3, "3", 3], "$.history[0].score.cortices[2]"),
        ("RUST", [3, 3, 3], "$.history[0].score.cortices"),
        ("RUST", [3, True, 3, 3], "$.history[0].score.cortices[1]"),
    ],
)
def test_a_cortex_that_cannot_be_is_named_by_its_place(just_nailed, scale, cortices, path):
    told = faults_of(with_entries(just_nailed, film(score={"scale": scale, "cortices": cortices})))

    assert list(told) == [path]


def test_a_four_on_the_modified_scale_is_read(just_nailed):
    plan = plan_course(with_entries(just_nailed, film(score={"scale": "mRUST", "cortices": [4, 4, None, 1]})))

    assert plan["films"][0]["on"] == "2027-02-15"
