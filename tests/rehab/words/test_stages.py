"""Stages in the standard's terms (Trompeter and Costa, Bone Joint J 2024; 106-B: 1016), never as a percentage."""

import pytest

from rehab.engine.facts import Stage
from rehab.files.default_pathways import default_pathways
from rehab.words import plain_stage, printed_stage

PRINTED = {
    "NWB": "Non-weightbearing",
    "TTWB": "Limited weightbearing (foot touch for balance)",
    "PWB25": "Limited weightbearing",
    "PWB50": "Limited weightbearing",
    "PWB75": "Limited weightbearing",
    "WBAT": "Unrestricted weightbearing (as comfort allows)",
    "FWB": "Unrestricted weightbearing (no aids needed)",
}


@pytest.mark.parametrize(("stage", "printed"), PRINTED.items())
def test_r41_a_stage_is_printed_in_exactly_these_words(stage, printed):
    assert printed_stage(Stage(stage)) == printed


def test_the_shared_rules_print_the_same_words():
    stages = next(iter(default_pathways().values())).shared.stages

    assert {stage.value: words.printed for stage, words in stages.items()} == PRINTED


def test_every_printed_term_begins_with_one_of_the_three_of_the_standard():
    terms = ("Non-weightbearing", "Limited weightbearing", "Unrestricted weightbearing")

    assert all(printed_stage(stage).startswith(terms) for stage in Stage)


@pytest.mark.parametrize(
    ("stage", "cap_kg", "plain"),
    [
        (Stage.NWB, 0, "The leg carries nothing; the foot is not rested on the floor."),
        (Stage.TTWB, 8, "The foot may touch the floor for balance: at most 8 kg."),
        (Stage.PWB50, 42, "The leg may carry at most 42 kg."),
        (Stage.WBAT, None, "The leg may carry what is comfortable; crutches or sticks as needed."),
        (Stage.FWB, None, "The leg may carry everything, without crutches or sticks."),
    ],
)
def test_beside_the_term_stands_what_the_leg_may_carry(stage, cap_kg, plain):
    assert plain_stage(stage, cap_kg) == plain


@pytest.mark.parametrize("stage", [Stage.TTWB, Stage.PWB25, Stage.PWB50, Stage.PWB75])
def test_r39_a_limited_stage_without_a_fresh_weight_is_foot_touch_until_weighed(stage):
    assert plain_stage(stage, None) == "Foot touch for balance only until weighed."
