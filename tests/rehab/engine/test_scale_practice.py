"""Practice on a scale (W16, R43). Local tolerances: no published one was found."""

import pytest

from rehab.engine.facts import Stage
from rehab.engine.scale_practice import PracticeBand, practice_band, why_practice_fails
from tests.rehab.engine.people import NAIL, pathways

SHARED = pathways()[NAIL].shared


@pytest.mark.parametrize(
    ("stage", "tenths", "band"),
    [
        (Stage.TTWB, 580, PracticeBand(None, 8, 11)),  # 15 % is 8.7, 20 % is 11.6: rounded down
        (Stage.TTWB, 1500, PracticeBand(None, 22, 20)),  # 20 kg is the smaller
        (Stage.PWB50, 845, PracticeBand(32, 47, 52)),  # 42 kg: -10, +5, +10
        (Stage.PWB50, 400, PracticeBand(10, 25, 30)),  # 75 % of 40.0 kg is 30, as is 20 + 10
        (Stage.PWB25, 320, PracticeBand(0, 13, 16)),  # 50 % of 32.0 kg is 16, less than 8 + 10
        (Stage.NWB, 845, None),
        (Stage.WBAT, 845, None),
    ],
)
def test_the_band_follows_the_stage_and_the_weight(stage, tenths, band):
    assert practice_band(stage, tenths, SHARED) == band


@pytest.mark.parametrize(
    ("tries", "codes"),
    [
        ([420, 400, 470, 450, 390], []),
        ([420, 400, 520, 450, 390], []),  # a single try at its limit
        ([420, 400, 521, 450, 390], ["practice_single_over"]),
        ([480, 475, 471, 300, 300], ["practice_middle_over"]),
        ([310, 319, 319, 450, 450], ["practice_middle_under"]),
        ([600, 600, 600, 600, 600], ["practice_middle_over", "practice_single_over"]),
    ],
)
def test_the_middle_try_and_the_largest_one_decide(tries, codes):
    band = practice_band(Stage.PWB50, 845, SHARED)

    assert [reason.code for reason in why_practice_fails(band, tries, SHARED)] == codes


def test_another_number_of_tries_is_an_error():
    with pytest.raises(ValueError, match="practice takes 5 tries, not 4"):
        why_practice_fails(PracticeBand(None, 8, 11), [50, 60, 70, 80], SHARED)
