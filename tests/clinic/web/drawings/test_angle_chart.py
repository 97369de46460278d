from dataclasses import replace
from datetime import date
from decimal import Decimal

from clinic.web.drawings.angle_chart import AngleChart, Reading, Scale, angle_words, draw_angle_chart

FIRST = Reading(date(2027, 3, 24), Decimal(-2), "2° varus")
AT_LIMIT = Reading(date(2027, 3, 26), Decimal(-5), "5° varus")
OVER = Reading(date(2027, 3, 31), Decimal(-7), "7° varus")
CHART = AngleChart("From the front", "varus", "valgus", Decimal(5), (FIRST, AT_LIMIT, OVER))


def test_a_film_at_the_limit_is_a_disc_and_past_it_a_triangle():
    drawn = str(draw_angle_chart(CHART))

    assert drawn.count("chart-disc") == 2
    assert drawn.count("chart-triangle") == 1


def test_both_directions_lie_on_one_axis_with_straight_in_the_middle():
    scale = Scale(CHART)

    assert scale.y(Decimal(-5)) < scale.y(0) < scale.y(Decimal(5))
    assert scale.y(0) - scale.y(Decimal(-5)) == scale.y(Decimal(5)) - scale.y(0)


def test_films_of_an_older_treatment_stay_in_outline_and_are_not_joined():
    drawn = str(draw_angle_chart(replace(CHART, readings=(replace(FIRST, is_of_older_treatment=True), OVER))))

    assert drawn.count("chart-old") == 1
    assert "chart-course" not in drawn


def test_the_chart_in_words_names_every_film():
    assert angle_words(CHART) == (
        "From the front. Limit 5° either way. Wednesday 24 March 2027: 2° varus, in limits. "
        "Friday 26 March 2027: 5° varus, in limits. Wednesday 31 March 2027: 7° varus, over the limit."
    )


def test_a_limit_of_ten_is_written_as_people_write_it():
    assert "Limit 10° either way." in angle_words(replace(CHART, limit=Decimal(10)))


def test_one_film_alone_can_be_drawn():
    assert "chart-disc" in str(draw_angle_chart(replace(CHART, readings=(FIRST,))))
