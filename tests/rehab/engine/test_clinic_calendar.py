"""Open days, working days, and the nearest of them."""

from datetime import UTC, date, datetime, time

import pytest

from rehab.engine.clinic_calendar import CalendarTooShort
from tests.rehab.engine.conftest import a_calendar


def test_a_clinic_day_is_open_unless_it_is_a_public_holiday(calendar):
    assert calendar.is_open(date(2027, 3, 24))
    assert not calendar.is_open(date(2027, 3, 29))  # Easter Monday
    assert not calendar.is_open(date(2027, 3, 25))  # a Thursday


def test_closed_and_full_days_are_not_open_but_stay_working_days():
    calendar = a_calendar(closed_on=frozenset({date(2027, 3, 3)}), full_on=frozenset({date(2027, 3, 5)}))

    assert [calendar.is_open(date(2027, 3, day)) for day in (1, 3, 5)] == [True, False, False]
    assert calendar.is_working_day(date(2027, 3, 3))
    assert calendar.why_closed(date(2027, 3, 3)) == "closed"
    assert calendar.why_closed(date(2027, 3, 5)) == "full"


def test_a_tuesday_is_a_working_day_without_a_clinic(calendar):
    assert calendar.is_working_day(date(2027, 3, 2))
    assert calendar.why_closed(date(2027, 3, 2)) == "not a clinic day"


@pytest.mark.parametrize(
    ("day", "rolled"),
    [
        (date(2027, 5, 31), date(2027, 5, 28)),  # late May holiday, a Monday: back to Friday
        (date(2027, 7, 17), date(2027, 7, 16)),  # a Saturday
        (date(2027, 12, 28), date(2027, 12, 24)),  # two substitute days and a weekend
        (date(2027, 3, 16), date(2027, 3, 16)),
    ],
)
def test_a_day_is_rolled_back_to_a_working_day(calendar, day, rolled):
    assert calendar.working_day_on_or_before(day) == rolled


@pytest.mark.parametrize(
    ("target", "earliest", "latest", "nearest"),
    [
        (date(2027, 2, 16), date(2027, 2, 12), date(2027, 2, 18), date(2027, 2, 15)),  # tie: the earlier
        (date(2027, 5, 3), date(2027, 4, 29), date(2027, 5, 5), date(2027, 5, 5)),  # holiday: 2 days beats 3
        (date(2027, 7, 12), date(2027, 7, 5), date(2027, 7, 19), date(2027, 7, 12)),  # open itself
        (date(2027, 3, 28), date(2027, 3, 26), date(2027, 3, 28), None),  # Easter: nothing open
        (date(2027, 2, 16), date(2027, 2, 16), date(2027, 2, 18), date(2027, 2, 17)),  # not before the 16th
        (date(2027, 2, 16), date(2027, 2, 18), date(2027, 2, 15), None),  # an empty span
    ],
)
def test_the_nearest_open_day_is_found_and_a_tie_goes_to_the_earlier(calendar, target, earliest, latest, nearest):
    assert calendar.nearest_open(target, earliest, latest) == nearest


def test_a_wall_time_becomes_the_right_instant_on_both_sides_of_the_clock_change(calendar):
    assert calendar.instant(date(2027, 10, 29), time(10)) == datetime(2027, 10, 29, 9, tzinfo=UTC)
    assert calendar.instant(date(2027, 11, 4), time(10)) == datetime(2027, 11, 4, 10, tzinfo=UTC)


def test_a_wall_time_that_happens_twice_is_read_as_the_first(calendar):
    assert calendar.instant(date(2027, 10, 31), time(1, 30)) == datetime(2027, 10, 31, 0, 30, tzinfo=UTC)


def test_a_day_outside_the_calendar_is_an_error_and_not_a_guess(calendar):
    with pytest.raises(CalendarTooShort, match="2030-01-01 is outside the calendar"):
        calendar.is_open(date(2030, 1, 1))
