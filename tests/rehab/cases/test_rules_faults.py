"""Rules R8, R9 and R11: every fault is named by its path, all at once."""

from copy import deepcopy

import pytest

from tests.rehab.cases.course import NAIL, faults_of, film, in_cast, nailed

NAIL_COURSE = nailed("2027-02-02")
CAST_COURSE = in_cast("2027-02-02")


def paths(course):
    return sorted(path for path, _ in course.faults())


def with_reading(**changes):
    return NAIL_COURSE.recorded("film", "2027-02-15", **(film() | changes))


# R8: the form of the path


@pytest.mark.parametrize(
    ("cortices", "path"),
    [
        ([2, 4, 1, 1], "$.history[0].score.cortices[1]"),
        ([0, 2, 1, 1], "$.history[0].score.cortices[0]"),
        ([2, 2, 1, 5], "$.history[0].score.cortices[3]"),
        ([2, 2, 1.5, 1], "$.history[0].score.cortices[2]"),
        ([2, 2, 1], "$.history[0].score.cortices"),
        ([2, 2, 1, 1, 1], "$.history[0].score.cortices"),
    ],
)
def test_r08_a_wrong_cortex_is_named_by_its_place(cortices, path):
    assert paths(NAIL_COURSE.film("2027-02-15", rust=cortices)) == [path]


def test_r08_a_cortex_of_five_is_a_fault_in_the_modified_score():
    assert paths(NAIL_COURSE.film("2027-02-15", mrust=[4, 4, 5, 4])) == ["$.history[0].score.cortices[2]"]


def test_r08_a_misspelt_key_is_a_fault_and_so_is_the_key_it_hides():
    document = deepcopy(NAIL_COURSE.document)
    document["person"]["wieght_kg"] = document["person"].pop("weight_kg")

    assert sorted(path for path, _ in faults_of(document)) == ["$.person.weight_kg", "$.person.wieght_kg"]


@pytest.mark.parametrize("part", ["clinic", "person", "injury"])
def test_r08_an_unknown_key_is_a_fault_in_every_part(part):
    assert paths(NAIL_COURSE.changed(part, colour="red")) == [f"$.{part}.colour"]


def test_r08_an_unknown_key_is_a_fault_in_the_lists_and_at_the_top():
    document = deepcopy(NAIL_COURSE.attended("N1", "2027-02-15").document)
    document["treatments"][0]["colour"] = "red"
    document["history"][0]["colour"] = "red"
    document["colour"] = "red"

    expected = ["$.colour", "$.history[0].colour", "$.treatments[0].colour"]
    assert sorted(path for path, _ in faults_of(document)) == expected


def test_r08_ten_faults_are_told_at_once():
    course = (
        NAIL_COURSE.changed("person", born_on="1993-02-30", weight_kg="172 lb")
        .changed("injury", side=None, fracture_class="D1", open_grade="IV", fibula="gone")
        .recorded("attended", "2027-02-31", visit="N1")
        .recorded("stage ordered", "2027-02-15", stage="PWB60", by="surgeon")
        .recorded("union confirmed", "2027-02-15", by="nurse")
        .film("2027-02-15", rust=[2, 2, 9, 1])
    )

    assert paths(course) == [
        "$.history[0].on",
        "$.history[1].stage",
        "$.history[2].by",
        "$.history[3].score.cortices[2]",
        "$.injury.fibula",
        "$.injury.fracture_class",
        "$.injury.open_grade",
        "$.injury.side",
        "$.person.born_on",
        "$.person.weight_kg",
    ]


def test_r08_every_fault_says_something():
    faults = NAIL_COURSE.changed("injury", side=None, open_grade=None).faults()

    assert all(len(message) > 10 for _, message in faults)


# R9: limits of what can be measured


@pytest.mark.parametrize(
    ("changes", "path"),
    [
        ({"coronal": {"degrees": 90.5, "toward": "varus"}}, "coronal.degrees"),
        ({"coronal": {"degrees": -1, "toward": "varus"}}, "coronal.degrees"),
        ({"coronal": {"degrees": 3, "toward": "apex anterior"}}, "coronal.toward"),
        ({"sagittal": {"degrees": 91, "toward": "apex anterior"}}, "sagittal.degrees"),
        ({"sagittal": {"degrees": 3, "toward": "valgus"}}, "sagittal.toward"),
        ({"rotation_degrees": 181}, "rotation_degrees"),
        ({"rotation_degrees": -1}, "rotation_degrees"),
        ({"shortening_mm": 101}, "shortening_mm"),
        ({"shortening_mm": -1}, "shortening_mm"),
        ({"contact_percent": 101}, "contact_percent"),
        ({"contact_percent": -1}, "contact_percent"),
    ],
)
def test_r09_a_measurement_out_of_range_is_a_fault(changes, path):
    assert paths(with_reading(**changes)) == [f"$.history[0].{path}"]


@pytest.mark.parametrize(
    "changes",
    [
        {"coronal": {"degrees": 90, "toward": "varus"}},
        {"rotation_degrees": 180},
        {"shortening_mm": 100},
        {"contact_percent": 0},
    ],
)
def test_r09_a_measurement_at_the_edge_is_read(changes):
    assert with_reading(**changes).planned().alerts("alignment") == [("2027-02-15", "RED")]


@pytest.mark.parametrize("pain", [-1, 11])
def test_r09_pain_runs_from_0_to_10(pain):
    assert paths(NAIL_COURSE.found("N1", "2027-02-15", walking_pain=pain)) == ["$.history[0].findings.walking_pain"]


@pytest.mark.parametrize("weight_kg", [29.9, 250.1, 0, -72, "72 kg", "11 st 5", True])
def test_r09_a_weight_outside_30_to_250_kg_is_a_fault(weight_kg):
    assert paths(nailed("2027-02-02", weight_kg=weight_kg)) == ["$.person.weight_kg"]


@pytest.mark.parametrize("weight_kg", [30.0, 250.0, 72])
def test_r09_a_weight_from_30_to_250_kg_is_read(weight_kg):
    assert nailed("2027-02-02", weight_kg=weight_kg).planned()["scope"]["accepted"] is True


def test_r09_a_weight_has_one_decimal():
    assert paths(nailed("2027-02-02", weight_kg=72.05)) == ["$.person.weight_kg"]


def test_r09_a_weight_without_its_day_is_a_fault():
    [path] = paths(NAIL_COURSE.changed("person", weighed_on=None))

    assert path in ("$.person.weight_kg", "$.person.weighed_on")


def test_r09_no_treatment_is_a_fault():
    document = deepcopy(NAIL_COURSE.document)
    document["treatments"] = []

    assert [path for path, _ in faults_of(document)] == ["$.treatments"]


# R11: who may sign, and what fits the treatment in force


@pytest.mark.parametrize("what", ["union confirmed", "clot review closed", "antibiotic review closed", "discharged"])
@pytest.mark.parametrize("by", ["physiotherapist", "clerk", None])
def test_r11_some_entries_only_a_surgeon_may_sign(what, by):
    assert paths(NAIL_COURSE.recorded(what, "2027-03-01", by=by)) == ["$.history[0].by"]


@pytest.mark.parametrize("what", ["union confirmed", "clot review closed", "discharged"])
def test_r11_a_missing_signature_is_a_fault(what):
    assert paths(NAIL_COURSE.recorded(what, "2027-03-01")) == ["$.history[0].by"]


def test_r11_a_stage_is_ordered_by_a_surgeon_or_a_physiotherapist():
    assert paths(NAIL_COURSE.ordered("WBAT", "2027-02-02", by="nurse")) == ["$.history[0].by"]


@pytest.mark.parametrize("what", ["attended", "missed"])
def test_r11_a_cast_visit_after_the_nail_is_a_fault(what):
    course = CAST_COURSE.attended("C1", "2027-02-05").then(NAIL, "2027-02-10")

    assert paths(course.recorded(what, "2027-02-15", visit="C3")) == ["$.history[1].visit"]


def test_r11_findings_of_a_visit_of_another_treatment_are_a_fault():
    assert paths(NAIL_COURSE.found("C5", "2027-03-01", rest_pain=1)) == ["$.history[0].visit"]


def test_r11_a_visit_nobody_planned_is_a_fault():
    assert paths(NAIL_COURSE.attended("N9", "2027-03-01")) == ["$.history[0].visit"]


def test_r11_wedging_without_a_cast_is_a_fault():
    assert paths(NAIL_COURSE.wedged("2027-02-22")) == ["$.history[0].what"]


def test_r11_wedging_after_the_cast_was_replaced_is_a_fault():
    course = CAST_COURSE.then(NAIL, "2027-02-10").wedged("2027-02-22")

    assert paths(course) == ["$.history[0].what"]


@pytest.mark.parametrize(
    "course",
    [
        NAIL_COURSE.film("2027-02-01"),
        NAIL_COURSE.ordered("WBAT", "2027-02-01"),
        NAIL_COURSE.clinical_union("2026-02-02"),
    ],
    ids=["a film", "an order", "a union test"],
)
def test_r11_nothing_happens_before_the_injury(course):
    assert paths(course) == ["$.history[0].on"]


def test_r11_an_unknown_kind_of_entry_is_a_fault():
    assert paths(NAIL_COURSE.recorded("telephoned", "2027-03-01")) == ["$.history[0].what"]
