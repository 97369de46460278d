"""The words that would tell a stranger what is wrong. The list is ours: common practice, no source."""

import pytest

from clinic.common.neutral_words import STEMS, WORDS, clinical_words_in
from clinic.invitations.invitation import Method, Status
from clinic.invitations.writing import FILE_NAME, PRODUCT, invitation_bytes
from tests.clinic.invitations.cast import visit, whole_day
from tests.clinic.invitations.reading import unfolded


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Tibia check", ["tibia"]),
        ("Your TIBIAL FRACTURE", ["tibial", "fracture"]),
        ("fracture.clinic@example.org", ["fracture"]),
        ("fractureclinic", ["fractureclinic"]),
        ("X-ray, x‑ray, x–ray, xray and X ray", ["x-ray", "xray", "x ray"]),
        ("leg_clinic.ics", ["leg"]),
        ("Both legs. Crutches!", ["legs", "crutches"]),
        ("full weight-bearing", ["weight-bearing"]),
        ("ｆｒａｃｔｕｒｅ", ["fracture"]),
        ("frac\N{SOFT HYPHEN}ture", ["fracture"]),
        ("Orthopaedics, orthopedics", ["orthopaedics", "orthopedics"]),
        ("nail, plate, cast, bone", ["nail", "plate", "cast", "bone"]),
        ("Ward 4", ["ward"]),
    ],
)
def test_clinical_words_are_found_however_they_are_written(text, words):
    assert clinical_words_in(text) == words


@pytest.mark.parametrize(
    "text",
    [
        "",
        "Clinic appointment",
        "Main building, level 2, desk 4",
        "See your letter for what to bring.",
        "A template forecast for Castle Street, College Lane and Legion Hall",
        "Firm Footing",
        "appointment.ics",
    ],
)
def test_neutral_words_are_left_alone(text):
    assert clinical_words_in(text) == []


@pytest.mark.parametrize("word", [*STEMS, *WORDS])
def test_each_word_of_the_list_is_found_in_a_sentence(word):
    assert clinical_words_in(f"Please see {word} today") == [word]


@pytest.mark.parametrize(
    "invitation",
    [
        visit(),
        whole_day(),
        visit(method=Method.PUBLISH, attendee=None),
        visit(method=Method.CANCEL, status=Status.CANCELLED, sequence=1),
    ],
)
def test_no_invitation_says_what_the_visit_is_for(invitation):
    assert clinical_words_in(unfolded(invitation_bytes(invitation))) == []


def test_file_name_and_product_say_nothing_either():
    assert clinical_words_in(FILE_NAME + " " + PRODUCT) == []
