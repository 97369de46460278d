from dataclasses import replace
from datetime import date

import pytest

from clinic.web.drawings.window_bar import WIDTH, Scale, WindowBar, cost_words, draw_window_bar, window_words
from clinic.web.style import INSIDE, OUTSIDE


def test_the_words_say_window_target_place_and_cost():
    assert window_words(INSIDE) == (
        "Window Wednesday 7 April 2027 to Wednesday 21 April 2027, target Wednesday 14 April 2027, "
        "place Friday 16 April 2027, 2 days late."
    )


def test_a_place_outside_says_so_and_is_a_triangle():
    assert window_words(OUTSIDE).endswith("place Monday 19 April 2027, 5 days late, outside the window.")
    assert "bar-outside" in str(draw_window_bar(OUTSIDE))
    assert "bar-place" not in str(draw_window_bar(OUTSIDE))


def test_no_place_yet_draws_no_disc():
    bar = replace(INSIDE, place_on=None)

    assert window_words(bar).endswith("no place yet.")
    assert "bar-place" not in str(draw_window_bar(bar))


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (date(2027, 4, 14), "on the target date"),
        (date(2027, 4, 15), "1 day late"),
        (date(2027, 4, 12), "2 days early"),
    ],
)
def test_the_cost_of_a_place_is_told_in_days(place, words):
    assert cost_words(replace(INSIDE, place_on=place)) == words


def test_everything_marked_lies_inside_the_picture():
    bar = WindowBar(date(2027, 4, 12), date(2027, 4, 12), date(2027, 4, 12), place_on=date(2027, 9, 1))
    scale = Scale(bar)

    assert 0 < scale.x(date(2027, 4, 12)) < scale.x(date(2027, 9, 1)) < WIDTH
