"""Rule R59: a falling score, new pain and changed implants are RED at once."""

import pytest

from tests.rehab.cases.course import nailed, plated

NAIL = nailed("2027-02-02").ordered("WBAT", "2027-02-02")
SIX, SEVEN, EIGHT = [2, 2, 1, 1], [2, 2, 2, 1], [2, 2, 2, 2]


def test_r59_a_falling_score_is_red():
    course = NAIL.film("2027-07-19", rust=EIGHT).film("2027-07-26", rust=SEVEN)

    assert course.planned().alerts("high risk") == [("2027-07-26", "RED")]


def test_r59_the_other_scale_does_not_make_a_fall():
    course = NAIL.film("2027-07-19", mrust=[4, 4, 2, 2]).film("2027-07-26", rust=EIGHT)

    assert course.planned().alerts("high risk") == []


@pytest.mark.parametrize(
    ("pain", "second", "expected"),
    [
        (3, SEVEN, [("2027-04-26", "RED")]),
        (2, SEVEN, []),
        (3, EIGHT, []),
    ],
)
def test_r59_new_pain_without_a_better_score_is_red(pain, second, expected):
    course = (
        NAIL.attended("N2", "2027-03-15")
        .film("2027-03-15", rust=SEVEN)
        .found("N2", "2027-03-15", walking_pain=1)
        .attended("N3", "2027-04-26")
        .film("2027-04-26", rust=second)
        .found("N3", "2027-04-26", walking_pain=pain)
    )

    assert course.planned().alerts("high risk") == expected


@pytest.mark.parametrize("film_is_first", [True, False])
@pytest.mark.parametrize(("third", "expected"), [(SEVEN, [("2027-04-26", "RED")]), (EIGHT, [])])
def test_r59_the_film_of_the_same_day_counts_whichever_was_written_first(third, expected, film_is_first):
    before = NAIL.film("2027-02-22", rust=SIX).film("2027-03-15", rust=SEVEN).found("N2", "2027-03-15", walking_pain=1)
    if film_is_first:
        course = before.film("2027-04-26", rust=third).found("N3", "2027-04-26", walking_pain=3)
    else:
        course = before.found("N3", "2027-04-26", walking_pain=3).film("2027-04-26", rust=third)

    assert course.planned().alerts("high risk") == expected


def test_r59_changed_implants_are_red():
    course = plated("2027-09-10").attended("P2", "2027-10-22").found("P2", "2027-10-22", implants_unchanged=False)

    assert course.planned().alerts("high risk") == [("2027-10-22", "RED")]
