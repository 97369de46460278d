"""Rules R52 to R58: low scores, delayed union, possible non-union, union suggested."""

import pytest

from tests.rehab.cases.course import in_cast, nailed, plated

NAIL = nailed("2027-02-02").ordered("WBAT", "2027-02-02")  # healing day 168 is Tuesday 20 July 2027
FIVE, SIX, SEVEN, EIGHT = [2, 1, 1, 1], [2, 2, 1, 1], [2, 2, 2, 1], [2, 2, 2, 2]


# R52: low scores by the day from the anchor


@pytest.mark.parametrize(
    ("film_on", "cortices", "is_flagged"),
    [
        ("2027-03-11", FIVE, False),  # day 37
        ("2027-03-12", FIVE, True),  # day 38
        ("2027-03-12", SIX, False),
        ("2027-04-19", FIVE, True),  # day 76
        ("2027-04-19", SIX, False),
        ("2027-04-20", SIX, True),  # day 77
        ("2027-04-20", SEVEN, False),
        ("2027-07-19", SIX, True),  # day 167
        ("2027-07-20", SIX, False),  # day 168
    ],
)
def test_r52_a_low_score_is_flagged_by_its_day(film_on, cortices, is_flagged):
    expected = [(film_on, "AMBER")] if is_flagged else []

    assert NAIL.film(film_on, rust=cortices).planned().alerts("high risk") == expected


def test_r52_the_week_16_film_of_an_open_fracture_counts():
    course = nailed("2027-02-02", open_grade="IIIA").attended("N3b", "2027-05-24").film("2027-05-24", rust=SIX)

    assert course.planned().row("N3b")["day"] == 111
    assert course.planned().alerts("high risk") == [("2027-05-24", "AMBER")]


def test_r52_any_treatment_counts():
    assert in_cast("2027-02-02").film("2027-04-26", rust=SIX).planned().alerts("high risk") == [("2027-04-26", "AMBER")]


@pytest.mark.parametrize(
    "course",
    [
        NAIL.film("2027-04-26", mrust=FIVE),
        NAIL.film("2027-04-26", rust=[1, 1, 1, None]),
        plated("2027-02-02", fixation_principle="absolute").film("2027-04-26", rust=FIVE),
    ],
    ids=["the other scale", "a hidden cortex", "a compression plate"],
)
def test_r52_some_scores_are_never_flagged(course):
    assert course.planned().alerts("high risk") == []


# R53 and R54: delayed union


def test_r53_week_24_attended_on_day_167_raises_delayed_union_that_day():
    course = NAIL.attended("N4", "2027-07-19").film("2027-07-19", rust=EIGHT)

    assert course.planned().alerts("delayed union") == [("2027-07-19", "AMBER")]


def test_r53_nothing_is_raised_when_union_is_confirmed_by_then():
    assert NAIL.attended("N4", "2027-07-19").union_confirmed("2027-07-19").planned().alerts("delayed union") == []
    assert NAIL.union_confirmed("2027-06-30").planned(on="2028-01-01").alerts("delayed union") == []


def test_r53_union_confirmed_later_does_not_unsay_it():
    course = NAIL.attended("N4", "2027-07-19").union_confirmed("2027-08-30")

    assert course.planned().alerts("delayed union") == [("2027-07-19", "AMBER")]


def test_r53_if_nobody_comes_healing_day_168_itself_raises_it():
    assert NAIL.planned(on="2027-07-19").alerts("delayed union") == []
    assert NAIL.planned(on="2027-07-20").alerts("delayed union") == [("2027-07-20", "AMBER")]


def test_r53_a_film_on_or_after_healing_day_168_raises_it():
    assert NAIL.film("2027-07-19", rust=EIGHT).planned().alerts("delayed union") == []
    assert NAIL.film("2027-07-20", rust=EIGHT).planned().alerts("delayed union") == [("2027-07-20", "AMBER")]


def test_r53_it_is_raised_once():
    course = NAIL.attended("N4", "2027-07-19").film("2027-07-19", rust=EIGHT).attended("N5", "2027-10-11")

    assert course.film("2027-10-11", rust=EIGHT).planned().alerts("delayed union") == [("2027-07-19", "AMBER")]


def test_r54_after_a_compression_plate_it_is_raised_too_and_says_callus_may_be_absent():
    course = plated("2027-02-02", fixation_principle="absolute").attended("P5", "2027-07-19")

    [alert] = [a for a in course.planned()["alerts"] if a["kind"] == "delayed union"]

    assert alert["on"] == "2027-07-19"
    assert "callus" in alert["text"].lower()


# R55 and R56: two scales, hidden cortices

OLD = nailed("2027-02-01", injured_at="2027-02-01T08:00").ordered("WBAT", "2027-02-01")  # nine months: 1 November


@pytest.mark.parametrize("order", [("rust", "mrust"), ("mrust", "rust")])
def test_r55_two_scales_prove_nothing_about_each_other(order):
    first, second = order
    course = OLD.film("2027-07-20", **{first: EIGHT}).film("2027-11-05", **{second: [2, 2, 2, 1]})
    plan = course.planned()

    assert plan.alerts("possible non-union") == []
    assert plan.alerts("high risk") == []
    assert [code for code in plan.codes() if code.startswith("X")] == []


@pytest.mark.parametrize(
    "score",
    [{"rust": [3, 3, 3, None]}, {"mrust": [3, 4, 3, None]}, {"rust": [3, 3, None, 3]}, {"rust": [3, 3, 3, 1]}],
)
def test_r56_three_bridged_cortices_suggest_union_even_with_one_hidden(score):
    course = NAIL.film("2027-07-19", **score).clinical_union("2027-07-19")

    assert course.planned().alerts("union suggested") == [("2027-07-19", "INFO")]


@pytest.mark.parametrize("score", [{"rust": [3, 3, 2, None]}, {"mrust": [3, 3, 2, None]}, {"rust": [3, 3, None, None]}])
def test_r56_two_bridged_cortices_do_not(score):
    assert NAIL.film("2027-07-19", **score).clinical_union("2027-07-19").planned().alerts("union suggested") == []


def test_r56_a_hidden_cortex_gives_no_total_to_compare():
    course = OLD.film("2027-07-20", rust=EIGHT).film("2027-11-05", rust=[1, 1, 1, None])
    plan = course.planned()

    assert plan.alerts("possible non-union") == []
    assert plan.alerts("high risk") == []
    assert plan.alerts("delayed union") == [("2027-07-20", "AMBER")]


@pytest.mark.parametrize("film_is_first", [True, False])
def test_r56_delayed_union_says_that_a_hidden_cortex_leaves_it_to_the_surgeon(film_is_first):
    if film_is_first:
        course = NAIL.film("2027-07-19", rust=[2, 2, 2, None]).attended("N4", "2027-07-19")
    else:
        course = NAIL.attended("N4", "2027-07-19").film("2027-07-19", rust=[2, 2, 2, None])

    assert "cannot be compared: surgeon judges" in course.planned().alert("delayed union", "2027-07-19")["text"]


# R57: possible non-union


@pytest.mark.parametrize(
    ("earlier", "film_on", "is_possible"),
    [
        ("2027-08-31", "2027-11-29", False),
        ("2027-08-31", "2027-11-30", True),  # 31 August and three months: 30 November
        ("2027-11-30", "2028-02-28", False),
        ("2027-11-30", "2028-02-29", True),  # 30 November and three months: 29 February
        ("2027-07-20", "2027-10-31", False),  # nine months end on 1 November
        ("2027-07-20", "2027-11-01", True),
    ],
)
def test_r57_months_are_calendar_months_and_end_with_the_month(earlier, film_on, is_possible):
    plan = OLD.film(earlier, rust=EIGHT).film(film_on, rust=EIGHT).planned()

    assert plan.alerts("possible non-union") == ([(film_on, "AMBER")] if is_possible else [])


def test_r57_any_older_film_counts_not_only_the_one_before():
    course = OLD.film("2027-07-20", rust=EIGHT).film("2027-10-18", rust=EIGHT).film("2027-11-05", rust=EIGHT)

    assert course.planned().alerts("possible non-union") == [("2027-11-05", "AMBER")]


def test_r57_the_modified_score_is_tested_on_its_own_scale():
    course = OLD.film("2027-07-20", mrust=[3, 3, 3, 2]).film("2027-11-05", mrust=[3, 3, 3, 2])

    assert course.planned().alerts("possible non-union") == [("2027-11-05", "AMBER")]


def test_r57_progress_or_union_is_no_non_union():
    slow = OLD.film("2027-07-20", rust=EIGHT)

    assert slow.film("2027-11-05", rust=[3, 2, 2, 2]).planned().alerts("possible non-union") == []
    united = slow.union_confirmed("2027-11-01").film("2027-11-05", rust=EIGHT)
    assert united.planned().alerts("possible non-union") == []


def test_r57_each_such_film_alerts():
    course = OLD.film("2027-07-20", rust=EIGHT).film("2027-11-05", rust=EIGHT).film("2027-12-06", rust=EIGHT)

    expected = [("2027-11-05", "AMBER"), ("2027-12-06", "AMBER")]
    assert course.planned().alerts("possible non-union") == expected


# R58: union suggested


@pytest.mark.parametrize(
    ("score", "is_suggested"),
    [
        ({"rust": [3, 2, 2, 2]}, False),
        ({"rust": [3, 3, 2, 2]}, True),
        ({"mrust": [3, 3, 2, 2]}, False),
        ({"mrust": [4, 4, 2, 2]}, False),
        ({"mrust": [4, 4, 3, 2]}, True),
    ],
)
def test_r58_ten_on_the_one_scale_and_thirteen_on_the_other(score, is_suggested):
    plan = NAIL.film("2027-07-19", **score).clinical_union("2027-07-19").planned()

    assert bool(plan.alerts("union suggested")) is is_suggested


@pytest.mark.parametrize(
    ("tested_on", "expected"),
    [
        ("2027-07-26", [("2027-07-26", "INFO")]),
        ("2027-08-02", [("2027-08-02", "INFO")]),  # fourteen days
        ("2027-08-03", []),
    ],
)
def test_r58_film_and_test_lie_at_most_fourteen_days_apart_and_the_later_dates_it(tested_on, expected):
    course = NAIL.film("2027-07-19", rust=[3, 3, 3, 2]).clinical_union(tested_on)

    assert course.planned().alerts("union suggested") == expected


def test_r58_the_test_may_come_first():
    course = NAIL.clinical_union("2027-07-12").film("2027-07-19", rust=[3, 3, 3, 2])

    assert course.planned().alerts("union suggested") == [("2027-07-19", "INFO")]


def test_r58_a_leg_that_still_hurts_suggests_nothing():
    course = NAIL.film("2027-07-19", rust=[3, 3, 3, 2]).clinical_union("2027-07-19", yes=False)

    assert course.planned().alerts("union suggested") == []


def test_r58_it_is_suggested_once_and_not_after_union():
    course = NAIL.film("2027-07-19", rust=[3, 3, 3, 2]).clinical_union("2027-07-19").clinical_union("2027-07-26")
    assert course.planned().alerts("union suggested") == [("2027-07-19", "INFO")]

    united = NAIL.union_confirmed("2027-07-12").film("2027-07-19", rust=[3, 3, 3, 2]).clinical_union("2027-07-19")
    assert united.planned().alerts("union suggested") == []
