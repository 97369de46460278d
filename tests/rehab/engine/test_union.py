"""Healing: suggested union, low and falling scores, delayed union, possible non-union (R52 to R59)."""

from datetime import date
from decimal import Decimal

import pytest

from rehab.engine.facts import (
    ClinicalUnion,
    Film,
    FixationPrinciple,
    Score,
    ScoreScale,
    Treatment,
    TreatmentKind,
    UnionConfirmed,
)
from rehab.engine.pathway import LowScore, UnionRules
from rehab.engine.union import Scored, UnionWatch
from tests.rehab.engine.conftest import a_calendar

INJURED = date(2027, 1, 6)
RULES = UnionRules(
    rust_at_least=10,
    mrust_at_least=13,
    bridged_cortices=3,
    rust_bridged_from=3,
    mrust_bridged_from=3,
    callus_from=2,
    film_and_test_within_days=14,
    delayed_from_healing_day=168,
    nonunion_months=9,
    no_progress_months=3,
    nonunion_film_latest_days=7,
    low_scores=(LowScore("slow_start", 38, 76, 5), LowScore("low_score", 77, 167, 6)),
    pain_rise=2,
)


def nailed(principle=None) -> Treatment:
    """A nail on the day after the injury."""
    at = a_calendar().appointment_at(date(2027, 1, 8))
    return Treatment(TreatmentKind.INTRAMEDULLARY_NAIL, at, date(2027, 1, 8), principle)


def scored(on: date, *cortices, scale=ScoreScale.RUST) -> Scored:
    """A scored film, read."""
    film = Film(on=on, coronal=Decimal(0), score=Score(scale, tuple(cortices)))
    return Scored.of(film, RULES)


def a_watch(*films: Scored) -> UnionWatch:
    """A watch that has read some films."""
    watch = UnionWatch(INJURED, RULES)
    for film in films:
        watch.read(film)
    return watch


@pytest.mark.parametrize(
    ("on", "cortices", "code"),
    [
        (date(2027, 2, 19), (2, 1, 1, 1), "slow_start"),  # day 42, RUST 5
        (date(2027, 2, 19), (2, 2, 1, 1), None),  # RUST 6 at week 6
        (date(2027, 4, 2), (2, 2, 1, 1), "low_score"),  # day 84, RUST 6
        (date(2027, 4, 2), (2, 2, 2, 1), None),
        (date(2027, 2, 14), (1, 1, 1, 1), None),  # day 37: too early to say
        (date(2027, 2, 15), (1, 1, 1, 1), "slow_start"),  # day 38
        (date(2027, 6, 25), (1, 1, 1, 1), None),  # day 168: delayed union speaks then
        (date(2027, 2, 19), (2, 1, 1, None), None),  # a hidden cortex gives no total
    ],
)
def test_a_low_score_is_flagged_by_the_day_from_the_operation(on, cortices, code):
    film = scored(on, *cortices)

    reason = a_watch(film).low_score(film, nailed())

    assert (reason and reason.code) == code


def test_a_low_score_says_nothing_under_a_compression_plate_or_on_the_other_scale():
    low = scored(date(2027, 2, 19), 1, 1, 1, 1)
    other_scale = scored(date(2027, 2, 19), 1, 1, 1, 1, scale=ScoreScale.MRUST)

    assert a_watch(low).low_score(low, nailed(FixationPrinciple.ABSOLUTE)) is None
    assert a_watch(other_scale).low_score(other_scale, nailed()) is None


def test_a_falling_score_is_told_from_one_that_stays():
    first, same, lower = (scored(date(2027, month, 1), *score) for month, score in _THREE_FILMS)
    watch = a_watch(first, same)

    assert watch.falling_score(same) is None
    watch.read(lower)
    assert watch.falling_score(lower).values["before"] == 8


_THREE_FILMS = [(4, (2, 2, 2, 2)), (5, (2, 2, 2, 2)), (6, (2, 2, 2, 1))]


def test_two_scales_are_never_compared():
    watch = a_watch(scored(date(2027, 4, 1), 2, 2, 2, 2))
    lower = scored(date(2027, 5, 1), 1, 1, 1, 1, scale=ScoreScale.MRUST)
    watch.read(lower)

    assert watch.falling_score(lower) is None
    assert watch.not_progressed(lower) == []


def test_non_union_waits_for_nine_months_and_three_without_progress():
    watch = a_watch(scored(date(2027, 6, 25), 2, 2, 2, 2))
    early, in_time = scored(date(2027, 9, 17), 2, 2, 2, 2), scored(date(2027, 10, 6), 2, 2, 2, 2)

    watch.read(early)
    assert watch.possible_nonunion(early) is None
    assert watch.nonunion_film_due_on(early) == date(2027, 10, 6)

    watch.read(in_time)
    assert watch.possible_nonunion(in_time).rule == "R57"
    assert watch.nonunion_film_due_on(in_time) is None


def test_progress_is_no_possible_non_union():
    watch = a_watch(scored(date(2027, 6, 25), 2, 2, 2, 2))
    better = scored(date(2027, 10, 6), 3, 2, 2, 2)
    watch.read(better)

    assert watch.possible_nonunion(better) is None


@pytest.mark.parametrize(
    ("film", "test", "suggested_on"),
    [
        (scored(date(2027, 7, 19), 3, 3, 3, 2), ClinicalUnion(date(2027, 7, 26), yes=True), date(2027, 7, 26)),
        (scored(date(2027, 7, 19), 3, 3, 2, 2), ClinicalUnion(date(2027, 7, 5), yes=True), date(2027, 7, 19)),  # 10
        (scored(date(2027, 7, 19), 3, 2, 2, 2), ClinicalUnion(date(2027, 7, 19), yes=True), None),  # 9
        (scored(date(2027, 7, 19), 3, 3, 3, None), ClinicalUnion(date(2027, 7, 19), yes=True), date(2027, 7, 19)),
        (scored(date(2027, 7, 19), 3, 3, 3, 3), ClinicalUnion(date(2027, 7, 19), yes=False), None),
        (scored(date(2027, 7, 19), 3, 3, 3, 3), ClinicalUnion(date(2027, 8, 3), yes=True), None),  # 15 days apart
    ],
)
def test_union_is_suggested_by_a_score_and_a_clinical_test_close_together(film, test, suggested_on):
    watch = a_watch(film)
    watch.clinical = test

    found = watch.suggestion()

    assert (found and found[0]) == suggested_on


def test_an_mrust_of_thirteen_suggests_and_of_twelve_does_not():
    for cortices, is_suggested in [((4, 3, 3, 3), True), ((4, 4, 2, 2), False)]:
        watch = a_watch(scored(date(2027, 7, 19), *cortices, scale=ScoreScale.MRUST))
        watch.clinical = ClinicalUnion(date(2027, 7, 19), yes=True)

        assert (watch.suggestion() is not None) is is_suggested


def test_union_is_suggested_once_and_never_after_it_is_confirmed():
    watch = a_watch(scored(date(2027, 7, 19), 3, 3, 3, 3))
    watch.clinical = ClinicalUnion(date(2027, 7, 19), yes=True)
    assert watch.suggestion() is not None
    assert watch.suggestion() is None

    confirmed = a_watch(scored(date(2027, 7, 19), 3, 3, 3, 3))
    confirmed.clinical = ClinicalUnion(date(2027, 7, 19), yes=True)
    confirmed.confirmed_on = UnionConfirmed(date(2027, 7, 12)).on
    assert confirmed.suggestion() is None
