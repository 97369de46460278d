"""Public holidays and working days against published lists, an algorithm and numpy."""

import random
from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

import numpy
import pytest

from rehab.engine.facts import Clinic
from rehab.holiday_tables import calendar_for, countries, public_holidays

MONDAY_TO_FRIDAY = frozenset({0, 1, 2, 3, 4})
# Bank holidays of England and Wales, typed in from copies of the official list (gov.uk/bank-holidays), which
# names the substitute day when the day itself falls on a weekend; the weekend days themselves are left out here.
ENGLAND_AND_WALES = {
    2026: ["01-01", "04-03", "04-06", "05-04", "05-25", "08-31", "12-25", "12-28"],
    2027: ["01-01", "03-26", "03-29", "05-03", "05-31", "08-30", "12-27", "12-28"],
    2028: ["01-03", "04-14", "04-17", "05-01", "05-29", "08-28", "12-25", "12-26"],
}
# Easter Sundays by the Meeus/Jones/Butcher algorithm for the Gregorian calendar.
EASTER = {
    2024: "2024-03-31",
    2025: "2025-04-20",
    2026: "2026-04-05",
    2027: "2027-03-28",
    2028: "2028-04-16",
    2029: "2029-04-01",
    2030: "2030-04-21",
    2031: "2031-04-13",
    2032: "2032-03-28",
    2033: "2033-04-17",
}


def england(first_year, last_year):
    return public_holidays("GB", "ENG", first_year, last_year)


def a_clinic(days=MONDAY_TO_FRIDAY, **details):
    place = {"country": "GB", "subdivision": "ENG", **details}
    return Clinic(time_zone=ZoneInfo("Europe/London"), clinic_days=days, appointment_time=time(9, 30), **place)


@pytest.mark.parametrize("year", sorted(ENGLAND_AND_WALES))
@pytest.mark.parametrize("part", ["ENG", "WLS"])
def test_the_bank_holidays_of_england_and_wales_are_the_official_ones(year, part):
    on_weekdays = [day for day in sorted(public_holidays("GB", part, year, year)) if day.weekday() < 5]

    assert [f"{day:%m-%d}" for day in on_weekdays] == ENGLAND_AND_WALES[year]


@pytest.mark.parametrize(("year", "sunday"), sorted(EASTER.items()))
def test_good_friday_and_easter_monday_stand_around_the_computed_easter(year, sunday):
    easter = date.fromisoformat(sunday)
    days_off = england(year, year)

    assert easter - timedelta(days=2) in days_off
    assert easter + timedelta(days=1) in days_off


def meeus_jones_butcher(year):
    """Easter Sunday of the Gregorian calendar (Meeus, Astronomical Algorithms, 1991, from memory)."""
    golden = year % 19
    century, in_century = divmod(year, 100)
    leap_centuries, rest = divmod(century, 4)
    moon = (19 * golden + century - leap_centuries - (century - (century + 8) // 25 + 1) // 3 + 15) % 30
    weekday = (32 + 2 * rest + 2 * (in_century // 4) - moon - in_century % 4) % 7
    late = (golden + 11 * moon + 22 * weekday) // 451
    month, day = divmod(moon + weekday - 7 * late + 114, 31)
    return date(year, month, day + 1)


def test_the_algorithm_gives_the_easters_that_are_typed_in():
    assert {year: meeus_jones_butcher(year).isoformat() for year in EASTER} == EASTER


@pytest.mark.parametrize("year", range(2000, 2091))
def test_every_easter_of_the_tables_is_the_computed_one(year):
    assert meeus_jones_butcher(year) + timedelta(days=1) in england(year, year)


def test_scotland_has_days_of_its_own_and_no_easter_monday():
    scotland = public_holidays("GB", "SCT", 2027, 2027)

    assert {date(2027, 1, 4), date(2027, 8, 2), date(2027, 11, 30)} <= scotland
    assert date(2027, 3, 29) not in scotland


def test_without_a_part_only_the_days_of_the_whole_country_count():
    whole = public_holidays("GB", None, 2027, 2027)

    assert date(2027, 3, 26) in whole
    assert whole < england(2027, 2027)


def test_a_weekend_holiday_and_its_substitute_are_both_days_off():
    assert {date(2026, 12, 26), date(2026, 12, 28)} <= england(2026, 2026)


def test_only_the_years_asked_for_are_listed():
    assert {day.year for day in england(2026, 2028)} == {2026, 2027, 2028}


def test_the_countries_known_are_two_letter_codes_with_their_parts():
    assert countries()["GB"] == ("ENG", "NIR", "SCT", "WLS")
    assert "UK" not in countries()


def test_the_same_question_gets_the_same_calendar():
    first = calendar_for(a_clinic(), date(2026, 1, 1), date(2027, 12, 31))

    assert calendar_for(a_clinic(), date(2026, 1, 1), date(2027, 12, 31)) is first


def test_a_clinic_in_scotland_sees_people_on_easter_monday():
    span = date(2027, 1, 1), date(2027, 12, 31)

    assert calendar_for(a_clinic(subdivision="SCT"), *span).is_open(date(2027, 3, 29))
    assert not calendar_for(a_clinic(), *span).is_open(date(2027, 3, 29))


# numpy's business days are an independent reading of the same calendar.


def business_days(days_off):
    return numpy.busdaycalendar(holidays=[numpy.datetime64(day) for day in days_off])


@pytest.mark.parametrize(
    ("day", "following", "preceding"),
    [
        ("2026-04-04", "2026-04-07", "2026-04-02"),
        ("2026-12-25", "2026-12-29", "2026-12-24"),
        ("2026-10-31", "2026-11-02", "2026-10-30"),
    ],
)
def test_rolling_over_holidays_ends_on_the_days_numpy_gives(day, following, preceding):
    calendar = calendar_for(a_clinic(), date(2026, 1, 1), date(2027, 12, 31))
    reference = business_days(england(2026, 2027))

    assert str(numpy.busday_offset(day, 0, roll="forward", busdaycal=reference)) == following
    assert calendar.open_on_or_after(date.fromisoformat(day)) == date.fromisoformat(following)
    assert calendar.working_day_on_or_before(date.fromisoformat(day)) == date.fromisoformat(preceding)


def test_april_2026_has_20_working_days():
    calendar = calendar_for(a_clinic(), date(2026, 1, 1), date(2027, 12, 31))
    april = [date(2026, 4, 1) + timedelta(days=n) for n in range(30)]

    assert sum(calendar.is_working_day(day) for day in april) == 20
    assert numpy.busday_count("2026-04-01", "2026-05-01", busdaycal=business_days(england(2026, 2026))) == 20


@pytest.mark.parametrize("part", ["ENG", "SCT", "NIR"])
def test_ten_thousand_random_days_roll_as_numpy_rolls_them(part):
    calendar = calendar_for(a_clinic(subdivision=part), date(2019, 1, 1), date(2041, 12, 31))
    reference = business_days(public_holidays("GB", part, 2019, 2041))
    chance = random.Random(20270202)
    days = [date(2020, 1, 1) + timedelta(days=chance.randrange(7600)) for _ in range(10_000)]
    forward = numpy.busday_offset(numpy.array(days, "datetime64[D]"), 0, roll="forward", busdaycal=reference)
    back = numpy.busday_offset(numpy.array(days, "datetime64[D]"), 0, roll="backward", busdaycal=reference)

    assert [calendar.open_on_or_after(day) for day in days] == forward.astype(object).tolist()
    assert [calendar.working_day_on_or_before(day) for day in days] == back.astype(object).tolist()


@pytest.mark.parametrize("days", [{0, 2, 4}, {1}, {2, 5}])
def test_the_clinics_own_weekdays_are_numpys_weekmask(days):
    calendar = calendar_for(a_clinic(days=frozenset(days)), date(2026, 1, 1), date(2029, 12, 31))
    mask = [day in days for day in range(7)]
    reference = numpy.busdaycalendar(weekmask=mask, holidays=[numpy.datetime64(day) for day in england(2026, 2029)])
    span = [date(2026, 6, 1) + timedelta(days=n) for n in range(900)]

    assert [calendar.is_open(day) for day in span] == numpy.is_busday(span, busdaycal=reference).tolist()
