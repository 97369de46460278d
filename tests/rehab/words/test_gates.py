"""Gates in words."""

import pytest

from rehab.engine.pathway import GateRule
from rehab.files.default_pathways import default_pathways
from rehab.words import finding_name, gate_met, gate_needs, short_finding_name
from rehab.words.gates import FINDINGS


@pytest.mark.parametrize(
    ("gate", "needs"),
    [
        (GateRule("rest_pain", at_most=3), "3 or less"),
        (GateRule("callus_cortices", at_least=2), "2 or more"),
        (GateRule("cast_problem", equals=False), "no"),
        (GateRule("union_confirmed", equals=True), "yes"),
        (GateRule("films_in_limits", at_least=1), "the newest film in limits"),
        (GateRule("films_in_limits", at_least=2), "the 2 newest films in limits"),
    ],
)
def test_a_gate_says_what_it_needs(gate, needs):
    assert gate_needs(gate) == needs


@pytest.mark.parametrize(("met", "words"), [(True, "met"), (False, "not met"), (None, "not recorded")])
def test_a_gate_says_how_it_stands(met, words):
    assert gate_met(met) == words


def test_every_finding_of_the_pathways_has_words():
    rows = [
        row for pathway in default_pathways().values() for row in (*pathway.stages, *pathway.stages_without_default)
    ]

    assert {gate.finding for row in rows for gate in row.gates} <= set(FINDINGS)


def test_a_clinics_own_finding_is_spelt_out():
    assert finding_name("knee_bends_to_90") == "knee bends to 90"


def test_a_pain_is_named_without_its_scale_where_the_value_names_it():
    assert short_finding_name("walking_pain") == "pain on walking"
    assert short_finding_name("wound_dry") == "wound dry"
