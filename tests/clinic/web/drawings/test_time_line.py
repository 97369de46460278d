import re
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest

from clinic.web.drawings.time_line import FLAG_Y, FOLD_X, RIGHT, Tense, draw_time_line, scale_for
from clinic.web.drawings.time_line_visits import _placed
from clinic.web.style import YEAR


def test_weeks_0_to_16_take_two_thirds_of_the_strip():
    scale = scale_for(YEAR)

    assert scale.x(date(2027, 2, 17)) == 10
    assert scale.x(date(2027, 6, 9)) == FOLD_X  # day 112
    assert 0.63 < (FOLD_X - 10) / (RIGHT - 10) < 0.68


def test_a_later_day_never_lies_further_left():
    scale = scale_for(YEAR)
    places = [scale.x(date(2027, month, day)) for month in range(2, 13) for day in (1, 15)]

    assert all(earlier <= later for earlier, later in pairwise(places))


def test_days_before_the_treatment_and_after_the_year_are_drawn_at_the_ends():
    scale = scale_for(YEAR)

    assert scale.x(date(2027, 2, 1)) == 10
    assert scale.x(date(2030, 1, 1)) == RIGHT


def test_a_visit_after_week_52_lengthens_the_strip():
    late = replace(YEAR.visits[-1], target_on=date(2028, 6, 1), on=date(2028, 6, 1))

    assert scale_for(replace(YEAR, visits=(*YEAR.visits, late))).last_day == 484  # day 470 and two weeks


def test_nothing_solid_reaches_past_today():
    drawn = str(draw_time_line(YEAR))

    assert drawn.count("load-solid") == sum(stretch.tense is Tense.SOLID for stretch in YEAR.stretches) == 1
    assert drawn.count('class="load-hatch"') == 3


def test_the_flag_gives_the_whole_date_of_today():
    assert "Today, Wednesday 31 March 2027" in str(draw_time_line(YEAR))


def test_names_in_one_row_never_touch():
    crowded = tuple(
        replace(dot, target_on=date(2027, 3, day), on=None) for dot, day in zip(YEAR.visits, range(1, 8), strict=True)
    )
    labels = _placed(crowded, scale_for(YEAR).x, RIGHT)

    assert len({label.row for label in labels}) > 1
    for row in {label.row for label in labels}:
        lefts = sorted(label.left for label in labels if label.row == row)
        assert all(second - first > 60 for first, second in pairwise(lefts))


def test_no_name_lies_across_the_leader_of_another():
    crowded = tuple(
        replace(YEAR.visits[0], title=f"{n} weeks", target_on=date(2027, 2, 17) + timedelta(days=day), on=None)
        for n, day in enumerate((1, 7, 14, 21, 28, 42, 56, 84, 112, 168, 252, 258, 364, 370))
    )
    labels = _placed(crowded, scale_for(YEAR).x, RIGHT)

    assert len(labels) == 14
    assert max(label.row for label in labels) < 7
    crossed = [
        (upper.dot.title, lower.dot.title)
        for upper in labels
        for lower in labels
        if upper.row < lower.row and upper.left < lower.x < upper.left + upper.width
    ]
    assert crossed == []
    assert all(label.left >= 0 and label.left + label.width <= RIGHT for label in labels)


@pytest.mark.parametrize("today", [date(2027, 7, 20), date(2027, 8, 4), date(2027, 8, 9), date(2027, 10, 1)])
def test_the_flag_of_today_never_covers_the_pointer_of_slow_healing(today):
    drawn = str(draw_time_line(replace(YEAR, today=today, slow_from=date(2027, 8, 4))))

    (words_y,) = re.findall(r'y="([\d.]+)" class="slow-words"', drawn)
    assert float(words_y) - 12 > FLAG_Y + 24  # the flag is 24 high, the words 12


def test_the_words_of_a_high_solid_stretch_stand_inside_it():
    walks = replace(YEAR.stretches[0], height=1.0)
    drawn = str(draw_time_line(replace(YEAR, stretches=(walks, *YEAR.stretches[1:]))))

    assert drawn.count("load-inside") == 1
    assert "load-inside" not in str(draw_time_line(YEAR))


def test_words_wider_than_their_stretch_are_left_out():
    soon = replace(YEAR.stretches[1], from_on=date(2027, 2, 26))  # 9 days: too narrow for one long word
    narrow = replace(YEAR, stretches=(replace(YEAR.stretches[0], words="Non-weightbearing"), soon))

    assert "Non-weightbearing" not in str(draw_time_line(narrow))
