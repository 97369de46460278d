from datetime import date
from decimal import Decimal

import pytest

from clinic.web.forms.film import FilmForm
from rehab.engine.facts import ScoreScale

FILM = {"taken_on_0": "15", "taken_on_1": "3", "taken_on_2": "2027", "coronal": "7", "coronal_toward": "varus"}
SCORE = {"scale": "RUST", "medial": "2", "lateral": "2", "anterior": "1", "posterior": "hidden"}


def form(**typed) -> FilmForm:
    return FilmForm({**FILM, **typed}, injured_on=date(2027, 2, 2), today=date(2027, 3, 17))


def test_varus_is_negative_and_valgus_positive():
    varus, valgus = form(), form(coronal_toward="valgus")
    assert varus.is_valid()
    assert valgus.is_valid()
    assert (varus.film().coronal, valgus.film().coronal) == (Decimal(-7), Decimal(7))


def test_apex_posterior_is_negative():
    typed = form(sagittal="4", sagittal_toward="apex posterior")
    assert typed.is_valid()
    assert typed.film().sagittal == Decimal(-4)


def test_a_direction_is_never_assumed():
    typed = form(coronal_toward="")

    assert typed.errors["coronal_toward"] == ["Choose varus or valgus for 7°."]


def test_straight_needs_no_direction():
    assert form(coronal="0", coronal_toward="").is_valid()


def test_a_film_before_the_injury_is_refused():
    typed = form(taken_on_0="1", taken_on_1="2")

    assert typed.errors["taken_on"] == [
        "This is before the injury of Tuesday 2 February 2027. Look at the date on the film."
    ]


def test_a_film_of_tomorrow_is_refused():
    assert form(taken_on_0="18").errors["taken_on"] == ["This day is still to come. Give a day up to today."]


def test_a_hidden_cortex_gives_no_total():
    typed = form(**SCORE)
    assert typed.is_valid()
    assert typed.film().score.cortices == (2, 2, 1, None)
    assert typed.film().score.total is None


def test_a_4_exists_on_the_other_scale_only():
    assert form(**{**SCORE, "medial": "4"}).errors == {
        "medial": ["On the RUST scale a cortex is 1, 2 or 3. The 4 is on mRUST only."]
    }
    other = form(**{**SCORE, "medial": "4", "scale": "mRUST"})
    assert other.is_valid()
    assert other.film().score.scale is ScoreScale.MRUST


def test_a_score_without_its_scale_is_refused():
    assert form(**{**SCORE, "scale": ""}).errors == {"scale": ["Say which scale: RUST or mRUST."]}


def test_a_cortex_left_out_is_named():
    assert form(**{**SCORE, "posterior": ""}).errors == {"posterior": ["Score this cortex, or choose “hidden”."]}


def test_an_empty_film_is_no_reading():
    assert form(coronal="", coronal_toward="").errors == {
        "coronal": ["Give at least one measurement or a callus score."]
    }


@pytest.mark.parametrize("field", ["coronal", "rotation", "shortening", "contact"])
def test_every_measure_names_its_own_fault(field):
    assert form(**{field: "many"}).errors[field][0].startswith("Give a number from 0 to")


def test_all_faults_are_told_at_once():
    typed = form(taken_on_1="13", coronal_toward="", rotation="200", **{**SCORE, "medial": "4"})

    assert set(typed.errors) == {"taken_on", "coronal_toward", "rotation", "medial"}
