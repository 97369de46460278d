"""Lost alignment: limits, bands of change, baselines (rules R44 to R47)."""

from datetime import date
from decimal import Decimal

import pytest

from rehab.engine.alignment import AlignmentWatch, FilmColour
from rehab.engine.facts import Film
from rehab.engine.pathway import AlignmentLimits

GREEN, AMBER, RED = FilmColour.GREEN, FilmColour.AMBER, FilmColour.RED
LIMITS = AlignmentLimits(
    coronal_degrees=Decimal(5),
    sagittal_degrees=Decimal(10),
    rotation_degrees=Decimal(10),
    shortening_mm=Decimal(10),
    contact_percent=Decimal(50),
    changed_degrees=Decimal(3),
    over_change_degrees=Decimal(5),
    changed_shortening_mm=Decimal(3),
    over_shortening_mm=Decimal(5),
    new_baseline_within_days=1,
)


def a_film(day=1, *, coronal="0", sagittal="0", shortening="0", **more) -> Film:
    """A film of September 2027 in degrees and millimetres; varus is negative."""
    measured = {"coronal": coronal, "sagittal": sagittal, "shortening": shortening}
    values = {name: None if value is None else Decimal(value) for name, value in measured.items()}
    extra = {name: Decimal(value) if isinstance(value, str) else value for name, value in more.items()}
    return Film(on=date(2027, 9, day), **values, **extra)


def colours(*films: Film) -> list[FilmColour | None]:
    """The colour of each film of one treatment, in order."""
    watch = AlignmentWatch(LIMITS)
    return [watch.read(film).colour for film in films]


@pytest.mark.parametrize(
    ("film", "colour"),
    [
        (a_film(coronal="-5.0"), GREEN),  # equal to the limit is acceptable
        (a_film(coronal="-5.1"), RED),  # above is not
        (a_film(sagittal="10"), GREEN),
        (a_film(sagittal="10.1"), RED),
        (a_film(rotation="10"), GREEN),
        (a_film(rotation="10.5"), RED),
        (a_film(shortening="10"), GREEN),
        (a_film(shortening="10.1"), RED),
        (a_film(contact="50"), GREEN),
        (a_film(contact="49.9"), RED),
        (a_film(coronal=None), None),  # not measured: cannot be in limits
        (a_film(shortening=None, coronal="-6"), RED),
    ],
)
def test_the_first_film_is_judged_by_the_limits_alone(film, colour):
    assert colours(film) == [colour]


@pytest.mark.parametrize(
    ("change", "colour"), [("2.9", GREEN), ("3", AMBER), ("4.9", AMBER), ("5", RED), ("-3", AMBER)]
)
def test_a_change_is_in_its_band_as_soon_as_it_reaches_it(change, colour):
    assert colours(a_film(1), a_film(8, coronal=change))[1] is colour


@pytest.mark.parametrize(("growth", "colour"), [("3", GREEN), ("3.1", AMBER), ("5", AMBER), ("5.1", RED)])
def test_growth_of_shortening_is_in_its_band_only_above_it(growth, colour):
    assert colours(a_film(1), a_film(8, shortening=growth))[1] is colour


def test_three_degrees_of_varus_to_three_of_valgus_is_a_change_of_six():
    watch = AlignmentWatch(LIMITS)
    watch.read(a_film(1, coronal="-3"))

    judged = watch.read(a_film(8, coronal="3"))

    assert judged.colour is RED
    assert judged.reasons[0].values["change"] == 6


def test_creep_is_caught_against_the_first_film():
    assert colours(*(a_film(day, coronal=value) for day, value in [(1, "0"), (8, "2"), (15, "4"), (22, "5")])) == [
        GREEN,
        GREEN,
        AMBER,
        RED,
    ]


def test_a_swing_is_caught_against_the_film_before():
    films = [a_film(1), a_film(8, coronal="2.5"), a_film(15, coronal="-2.5")]

    assert colours(*films) == [GREEN, GREEN, RED]


def test_a_film_on_the_day_after_wedging_is_the_new_first_film():
    watch = AlignmentWatch(LIMITS)
    watch.read(a_film(8, coronal="2"))
    watch.read(a_film(22, coronal="7"))
    watch.wedge(date(2027, 9, 22))

    judged = watch.read(a_film(23, coronal="2"))

    assert (judged.colour, judged.is_new_baseline) == (GREEN, True)


def test_a_film_a_week_after_wedging_is_judged_against_the_old_first_film():
    watch = AlignmentWatch(LIMITS)
    watch.read(a_film(8, coronal="-4"))
    watch.wedge(date(2027, 9, 15))

    judged = watch.read(a_film(22, coronal="2"))

    assert (judged.colour, judged.is_new_baseline) == (RED, False)


def test_a_film_marked_as_baseline_is_judged_by_the_old_one_and_serves_the_films_after_it():
    assert colours(a_film(1), a_film(8, coronal="4", is_baseline=True), a_film(15, coronal="4.5")) == [
        GREEN,
        AMBER,
        GREEN,
    ]


def test_only_the_first_film_over_the_limit_of_a_baseline_is_called_the_first():
    watch = AlignmentWatch(LIMITS)

    firsts = [watch.read(a_film(day, coronal=value)).is_first_red for day, value in [(1, "0"), (8, "6"), (15, "7")]]

    assert firsts == [False, True, False]


def test_a_film_with_nothing_measured_is_not_in_limits_and_is_no_first_film():
    nothing = a_film(1, coronal=None, sagittal=None, shortening=None)

    assert colours(nothing, a_film(8, coronal="4"), a_film(15, coronal="4")) == [None, GREEN, GREEN]


def test_a_film_without_measurements_after_wedging_leaves_the_first_film_in_force():
    watch = AlignmentWatch(LIMITS)
    watch.read(a_film(1))
    watch.read(a_film(8, coronal="-4"))
    watch.wedge(date(2027, 9, 8))
    watch.read(a_film(8, coronal=None, sagittal=None, shortening=None))

    judged = watch.read(a_film(15, coronal="-5"))

    assert (judged.colour, judged.is_new_baseline) == (RED, False)
