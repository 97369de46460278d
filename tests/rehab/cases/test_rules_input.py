"""Rules R2 to R12: what a course file may say, and how each fault is named.

R12 (both legs) has nothing to see in one plan: two courses, linked by the application, which also
prints the more restrictive stage. What a course file shows of it is that a side is never "both".
"""

from copy import deepcopy

import pytest

from tests.rehab.cases.course import CAST, CLINIC, NAIL, NOT_MEASURED, faults_of, film, in_cast, nailed, plated

NAIL_COURSE = nailed("2027-02-02")


def paths(course):
    return sorted(path for path, _ in course.faults())


def without(course, part, key):
    document = deepcopy(course.document)
    del document[part][key]
    return document


# R2: sorted by day, same-day entries keep their order


def test_r02_entries_may_stand_in_any_order():
    forward = NAIL_COURSE.attended("N1", "2027-02-15").missed("N2", "2027-03-15")
    backward = NAIL_COURSE.missed("N2", "2027-03-15").attended("N1", "2027-02-15")

    assert forward.planned().answer == backward.planned().answer


def test_r02_on_one_day_the_list_gives_the_order():
    slipped_then_wedged = in_cast("2027-09-08").film("2027-09-08").film("2027-09-22", valgus=7)
    in_order = slipped_then_wedged.wedged("2027-09-22").film("2027-09-22", valgus=2)
    wedged_last = slipped_then_wedged.film("2027-09-22", valgus=2).wedged("2027-09-22")

    assert in_order.planned().alerts("alignment") == [("2027-09-22", "RED")]
    assert wedged_last.planned().alerts("alignment") == [("2027-09-22", "RED"), ("2027-09-22", "RED")]


def test_r02_an_order_of_the_conversion_day_belongs_to_the_new_treatment():
    course = in_cast("2027-07-05").ordered("WBAT", "2027-07-15").then(NAIL, "2027-07-15")

    assert course.planned().now() == ("WBAT", None, "surgeon")


# R3: offsets are turned into clinic time first


def test_r03_the_clinics_own_date_counts_not_the_utc_date():
    course = nailed("2027-06-05", injured_at="2027-06-05T20:00", treated_at="2027-06-05T23:10:00+00:00")

    assert course.planned()["anchor_on"] == "2027-06-06"


def test_r03_a_time_the_clock_change_skips_keeps_its_date():
    course = nailed("2027-03-28", injured_at="2027-03-27T22:00", treated_at="2027-03-28T01:30")

    assert course.planned()["anchor_on"] == "2027-03-28"


# R4: several treatments


def test_r04_of_two_treatments_on_one_day_only_the_last_counts():
    plan = (
        in_cast("2027-03-01", injured_at="2027-03-01T07:00", treated_at="2027-03-01T09:00")
        .then(NAIL, "2027-03-01", at="2027-03-01T18:00")
        .planned()
    )

    assert plan["anchor_on"] == "2027-03-01"
    assert {code[0] for code in plan.codes()} == {"N"}


def test_r04_treatments_out_of_time_order_are_a_fault_of_the_later_one():
    assert paths(NAIL_COURSE.then(NAIL, "2027-02-02", at="2027-02-02T13:00")) == ["$.treatments[1].at"]


def test_r04_a_treatment_before_the_injury_is_a_fault():
    assert paths(nailed("2027-02-02", injured_at="2027-02-03T09:00")) == ["$.treatments[0].at"]


def test_r04_the_same_treatment_again_is_a_conversion_with_a_new_day_0():
    plan = NAIL_COURSE.then(NAIL, "2027-04-07").planned()

    assert plan["anchor_on"] == "2027-04-07"
    assert plan.row("N1", treatment=1)["state"] == "cancelled"


# R5: coming of age


@pytest.mark.parametrize(
    ("injured_on", "accepted"),
    [("2026-02-27", False), ("2026-02-28", False), ("2026-03-01", True)],
)
def test_r05_a_person_born_on_29_february_comes_of_age_on_1_march(injured_on, accepted):
    plan = nailed(injured_on, born_on="2008-02-29").planned(on=injured_on)

    assert plan["scope"]["accepted"] is accepted


@pytest.mark.parametrize(("born_on", "accepted"), [("2009-02-02", True), ("2009-02-03", False)])
def test_r05_the_eighteenth_birthday_itself_is_adult(born_on, accepted):
    assert nailed("2027-02-02", born_on=born_on).planned(on="2027-02-02")["scope"]["accepted"] is accepted


# R6: error, refusal, flag


@pytest.mark.parametrize("segment", ["41", "43", "44"])
def test_r06_another_bone_segment_is_refused_and_nobody_is_lost(segment):
    plan = NAIL_COURSE.changed("injury", bone_segment=segment).planned(on="2027-02-05")

    assert plan["scope"]["accepted"] is False
    assert plan["scope"]["refused_because"]
    assert (plan["visits"], plan["stages"], plan["reminders"]) == ([], [], [])
    assert plan["stage_now"]["stage"] == "NWB"
    assert [(a["level"], a["kind"]) for a in plan["alerts"]] == [("RED", "scope")]
    assert plan.tasks("clinician must arrange follow-up") == [("2027-02-05", "open")]
    assert len(plan["tasks"]) == 1


@pytest.mark.parametrize("segment", ["4", "421", "tibia", "", 42])
def test_r06_a_malformed_bone_segment_is_a_fault(segment):
    assert paths(NAIL_COURSE.changed("injury", bone_segment=segment)) == ["$.injury.bone_segment"]


FLAGGED = {
    "42-C": nailed("2027-02-02", fracture_class="C2"),
    "IIIB": nailed("2027-02-02", open_grade="IIIB"),
    "IIIC": plated("2027-02-02", open_grade="IIIC"),
    "an open fracture in a cast": in_cast("2027-02-02", open_grade="I"),
    "a weight under 40 kg": nailed("2027-02-02", weight_kg=39.9),
    "a weight over 160 kg": nailed("2027-02-02", weight_kg=160.1),
    "B1 in the 2018 edition": nailed("2027-02-02", fracture_class="B1", edition=2018),
}


@pytest.mark.parametrize("course", FLAGGED.values(), ids=FLAGGED)
def test_r06_a_flag_is_planned_as_usual_and_asks_for_a_sign_off(course):
    plan = course.planned()

    assert plan["scope"]["accepted"] is True
    assert len(plan["scope"]["needs_sign_off"]) == 1
    assert plan.alerts("scope") == [("2027-02-02", "AMBER")]
    assert plan["visits"]


@pytest.mark.parametrize("weight_kg", [40.0, 160.0])
def test_r06_the_weights_at_the_edge_are_not_flagged(weight_kg):
    assert nailed("2027-02-02", weight_kg=weight_kg).planned()["scope"]["needs_sign_off"] == []


def test_r06_an_intact_fibula_in_a_cast_is_only_pointed_out():
    assert in_cast("2027-02-02", fibula="intact").planned().alerts("scope") == [("2027-02-02", "INFO")]
    assert nailed("2027-02-02", fibula="intact").planned().alerts("scope") == []


# R7: the class


@pytest.mark.parametrize("fracture_class", ["A", "B", "A1", "A3", "B2", "B3"])
def test_r07_a_letter_with_or_without_a_group_is_accepted(fracture_class):
    assert nailed("2027-02-02", fracture_class=fracture_class).planned()["scope"]["needs_sign_off"] == []


@pytest.mark.parametrize("fracture_class", ["D1", "A4", "A0", "a2", "42-A2", "", None])
def test_r07_another_class_is_a_fault(fracture_class):
    assert paths(nailed("2027-02-02", fracture_class=fracture_class)) == ["$.injury.fracture_class"]


def test_r07_b1_belongs_to_the_2007_edition():
    assert nailed("2027-02-02", fracture_class="B1", edition=2007).planned()["scope"]["needs_sign_off"] == []


def test_r07_c1_of_the_2018_edition_is_flagged_and_still_planned():
    plan = nailed("2027-02-02", fracture_class="C1", edition=2018).planned()

    assert plan["scope"]["accepted"] is True
    assert len(plan["scope"]["needs_sign_off"]) == 2  # once for 42-C, once for C1 in this edition


# R10: keys beyond the common ones


def test_r10_every_visit_tells_its_treatment_healing_day_and_deadline():
    assert all({"treatment", "healing_day", "deadline_on"} <= set(v) for v in NAIL_COURSE.planned()["visits"])


def test_r10_every_alert_is_open_or_closed_and_every_task_may_have_an_instant():
    plan = in_cast("2027-02-02", open_grade="I").planned()

    assert {alert["state"] for alert in plan["alerts"]} <= {"open", "closed"}
    assert all("due_at" in task for task in plan["tasks"])


def test_r10_a_reason_of_discharge_is_one_of_two():
    course = NAIL_COURSE.discharged("2027-03-01", reason="moved house")

    assert paths(course) == ["$.history[0].reason"]


# R12


@pytest.mark.parametrize("side", ["both", "bilateral", "", None])
def test_r12_one_course_is_one_leg(side):
    assert paths(NAIL_COURSE.changed("injury", side=side)) == ["$.injury.side"]


# R9: what may be absent or null


@pytest.mark.parametrize("key", ["closed_on", "full_on", "subdivision"])
def test_r09_some_keys_of_the_clinic_may_be_absent(key):
    assert without(NAIL_COURSE, "clinic", key)["clinic"].keys() == CLINIC.keys() - {key}
    from rehab.files import plan_course

    assert plan_course(without(NAIL_COURSE, "clinic", key))["scope"]["accepted"] is True


@pytest.mark.parametrize(
    ("part", "key"),
    [("clinic", key) for key in ("time_zone", "country", "clinic_days", "appointment_time")]
    + [("person", key) for key in ("born_on", "weight_kg", "weighed_on")]
    + [("injury", key) for key in NAIL_COURSE.document["injury"] if key != "presented_at"],
)
def test_r09_a_missing_key_is_named_by_its_own_path(part, key):
    assert [path for path, _ in faults_of(without(NAIL_COURSE, part, key))] == [f"$.{part}.{key}"]


def test_r09_nobody_weighed_yet_is_no_fault():
    assert nailed("2027-02-02", weight_kg=None).planned().now()[0] == "NWB"


def test_r09_a_film_with_nothing_measured_is_no_fault():
    assert NAIL_COURSE.film("2027-02-15", without=NOT_MEASURED).planned()["scope"]["accepted"] is True


def test_r09_a_direction_may_be_missing_only_at_zero():
    assert in_cast("2027-02-02").film("2027-02-03").planned()["alerts"] == []
    reading = film() | {"coronal": {"degrees": 2, "toward": None}}

    assert paths(NAIL_COURSE.recorded("film", "2027-02-15", **reading)) == ["$.history[0].coronal.toward"]


def test_r09_history_may_be_absent():
    document = deepcopy(NAIL_COURSE.document)
    del document["history"]
    from rehab.files import plan_course

    assert plan_course(document) == NAIL_COURSE.planned().answer


def test_r09_without_a_time_of_presenting_the_injury_starts_the_72_hours():
    document = without(in_cast("2027-03-02", injured_at="2027-03-01T08:00"), "injury", "presented_at")
    from rehab.files import plan_course

    [task] = [t for t in plan_course(document)["tasks"] if t["kind"] == "consultant review"]

    assert task["due_at"].startswith("2027-03-04T08:00")


@pytest.mark.parametrize("kind", [CAST, NAIL])
def test_r09_the_principle_of_fixation_may_be_null(kind):
    assert NAIL_COURSE.then(kind, "2027-03-01").planned()["anchor_on"] == "2027-03-01"
