from datetime import UTC, datetime

import pytest

from clinic.web.forms.register import RegisterForm
from rehab.files.default_pathways import default_pathways
from tests.clinic.web.forms_typed import NAILED, date_boxes

pytestmark = pytest.mark.django_db

OPEN = {"open_grade": "II"}
NOW = datetime(2027, 2, 4, 10, tzinfo=UTC)


@pytest.fixture
def form(site):
    shared = next(iter(default_pathways().values())).shared

    def filled(**changes):
        return RegisterForm({**NAILED, **changes}, shared=shared, site=site, now=NOW)

    return filled


def test_a_form_without_faults_brings_what_was_typed(form):
    typed = form()
    assert typed.is_valid(), typed.errors

    brought = typed.registration()

    assert (brought.bone_segment, brought.fracture_class) == ("42", "A2")
    assert str(brought.weight_kg) == "84.5"
    assert brought.injured_at == datetime(2027, 2, 2, 11, tzinfo=UTC)
    assert brought.mobile == "+447700900118"
    assert brought.circumstances == ()


def test_pounds_are_refused_by_their_field_and_stay_in_the_box(form):
    typed = form(weight="172 lb")

    assert typed.errors == {"weight": ["Give the weight in kilograms. “172 lb” cannot be used."]}
    assert 'value="172 lb"' in str(typed["weight"])


def test_a_summer_moment_is_read_by_the_clinics_own_clock(form):
    typed = form(
        **date_boxes("injured_at", "1", "7", "2026", "11:00"), **date_boxes("treated_at", "1", "7", "2026", "15:00")
    )
    assert typed.is_valid(), typed.errors

    assert typed.registration().injured_at == datetime(2026, 7, 1, 10, tzinfo=UTC)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"side_typed": ""}, "side_typed", "Type the side: left or right."),
        ({"side_typed": "R"}, "side_typed", "Type the whole word: left or right. One record is one leg."),
        ({"side_typed": "both"}, "side_typed", "Type the whole word: left or right. One record is one leg."),
        ({"side": "left"}, "side", "You typed RIGHT and confirmed LEFT. Look at the note again."),
        (
            {"fracture_code": "41-A2"},
            "fracture_code",
            "41 is not the tibial shaft. This tool plans 42 only: use the local pathway.",
        ),
        (
            {"fracture_code": "43-C3"},
            "fracture_code",
            "43 is not the tibial shaft. This tool plans 42 only: use the local pathway.",
        ),
        (
            {"fracture_code": "42-D1"},
            "fracture_code",
            "“42-D1” is not a code of this kind. Give it like 42-A2: A, B or C, then 1 to 3.",
        ),
        (
            date_boxes("born_on", "3", "2", "2009"),
            "born_on",
            "Under 18 on the day of the injury. This tool plans for adults only.",
        ),
        (date_boxes("injured_at", "30", "2", "2027", "11:00"), "injured_at", "There is no 30 February 2027."),
        (
            date_boxes("treated_at", "1", "2", "2027", "15:00"),
            "treated_at",
            "This is before the injury of Tuesday 2 February 2027.",
        ),
        ({"open_grade": ""}, "open_grade", "Say whether the skin is whole, or the open grade. It must be known."),
        ({"circumstances": []}, "circumstances", "Tick what applies, or “None of these”."),
        (
            {"circumstances": ["none", "pregnancy"]},
            "circumstances",
            "“None of these” is ticked, and something else too. Untick one of them.",
        ),
        ({"weight": "8.4"}, "weight", "Give the weight in kilograms, from 30 to 250."),
        ({"weight": "845"}, "weight", "Give the weight in kilograms, from 30 to 250."),
        ({"weight": "38"}, "weight", "38 kg is unusual. Correct it, or confirm below that it is right."),
        (date_boxes("weighed_on", "", "", ""), "weighed_on", "A weight needs the day it was measured."),
        (
            {"fixation_principle": "absolute"},
            "fixation_principle",
            "This is asked of a plate only.",
        ),
        (
            {**OPEN, **date_boxes("antibiotic_at", "1", "2", "2027", "11:40")},
            "antibiotic_at",
            "This is before the injury of Tuesday 2 February 2027.",
        ),
        (
            {**OPEN, **date_boxes("wound_closed_at", "5", "2", "2027", "11:40")},
            "wound_closed_at",
            "This moment is still to come. Give one up to now.",
        ),
        (
            date_boxes("wound_closed_at", "2", "2", "2027", "15:40"),
            "wound_closed_at",
            "The skin is whole, so there is no wound. Leave this empty, or give the grade.",
        ),
        (
            {"mobile": "12"},
            "mobile",
            "“12” is not a mobile number that can take a text. Write it like 07700 900123 or +44 7700 900123.",
        ),
    ],
)
def test_each_fault_has_one_message_by_its_own_field(form, changes, field, words):
    assert form(**changes).errors == {field: [words]}


def test_all_faults_are_told_at_once(form):
    typed = form(
        weight="172 lb", side="left", fracture_code="43-A1", open_grade="", **date_boxes("born_on", "31", "4", "1971")
    )

    assert set(typed.errors) == {"weight", "side", "fracture_code", "open_grade", "born_on"}


def test_the_times_of_an_open_wound_are_brought_when_they_are_known(form):
    typed = form(
        **OPEN,
        **date_boxes("antibiotic_at", "2", "2", "2027", "11:40"),
        **date_boxes("wound_closed_at", "2", "2", "2027", "16:30"),
    )
    assert typed.is_valid(), typed.errors
    unknown = form(**OPEN)
    assert unknown.is_valid(), unknown.errors

    assert typed.registration().antibiotic_at == datetime(2027, 2, 2, 11, 40, tzinfo=UTC)
    assert typed.registration().wound_closed_at == datetime(2027, 2, 2, 16, 30, tzinfo=UTC)
    assert unknown.registration().wound_closed_at is None


def test_an_unusual_weight_may_be_confirmed(form):
    typed = form(weight="38", weight_is_right="on")

    assert typed.is_valid(), typed.errors


def test_who_is_out_of_scope_may_be_registered_without_a_plan(form):
    typed = form(fracture_code="43-A1", without_plan="on")

    assert typed.is_valid(), typed.errors
    assert typed.is_out_of_scope


def test_a_refused_circumstance_is_told_by_name(form):
    assert form(circumstances=["pathological fracture"]).errors == {
        "circumstances": ["This tool makes no plan for: Pathological or metastatic fracture. Use the local pathway."]
    }


def test_nothing_that_could_be_wrong_unseen_is_filled_in_beforehand(form, site):
    shared = next(iter(default_pathways().values())).shared
    empty = RegisterForm(shared=shared, site=site, now=NOW)

    assert {name for name, field in empty.fields.items() if field.initial} == {"edition"}


def test_a_fault_found_by_the_act_stands_by_its_field(form):
    typed = form()
    assert typed.is_valid()

    typed.take_faults(
        [{"path": "$.injury.circumstances[0]", "message": "unknown"}, {"path": "$.odd", "message": "odd"}]
    )

    assert typed.errors["circumstances"] == ["unknown"]
    assert typed.non_field_errors() == ["odd"]
