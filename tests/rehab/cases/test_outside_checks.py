"""The engine against things outside it; the published source stands beside each check.

Not used as oracles, because their own counts do not give them: the p-values of the cast-or-nail trial,
the 94 per cent of the three-factor index, the 27 per cent of the large nail trial. ISO weeks serve
capacity reports, not plans.
"""

from datetime import date, timedelta
from itertools import product

import numpy
import pytest
from dateutil.relativedelta import relativedelta

from rehab.engine.facts import Score, ScoreScale
from tests.rehab.cases.course import in_cast, nailed, plated
from tests.rehab.cases.reference import ENGLISH_HOLIDAYS, easter_sunday

# Weekday bank holidays of England and Wales, from the official list at gov.uk/bank-holidays.
BANK_HOLIDAYS = {
    2027: "01-01 03-26 03-29 05-03 05-31 08-30 12-27 12-28",
    2028: "01-03 04-14 04-17 05-01 05-29 08-28 12-25 12-26",
}
# Easter Sundays, from the Meeus/Jones/Butcher algorithm and any almanac.
EASTERS = {
    2024: "03-31",
    2025: "04-20",
    2026: "04-05",
    2027: "03-28",
    2028: "04-16",
    2029: "04-01",
    2030: "04-21",
    2031: "04-13",
    2032: "03-28",
    2033: "04-17",
}


def holidays_of(year, subdivision="ENG"):
    from rehab.holiday_tables import public_holidays

    return {day for day in public_holidays("GB", subdivision, year, year) if day.year == year}


@pytest.mark.parametrize("year", BANK_HOLIDAYS)
def test_english_bank_holidays_are_those_of_the_official_list(year):
    on_weekdays = sorted(f"{day:%m-%d}" for day in holidays_of(year) if day.weekday() < 5)

    assert on_weekdays == BANK_HOLIDAYS[year].split()


@pytest.mark.parametrize(("year", "easter"), EASTERS.items())
def test_good_friday_and_easter_monday_follow_the_computed_easter(year, easter):
    sunday = date.fromisoformat(f"{year}-{easter}")
    assert easter_sunday(year) == sunday

    assert {sunday - timedelta(days=2), sunday + timedelta(days=1)} <= holidays_of(year)


def test_good_friday_2027_is_not_2_april():
    """One public list gives 2 April 2027; Easter Sunday is 28 March."""
    assert date(2027, 4, 2) not in holidays_of(2027)


def test_scotland_keeps_other_days():
    """Scottish Government list of bank holidays 2027: no Easter Monday, but 2 August and St Andrew's Day."""
    days = holidays_of(2027, "SCT")

    assert {date(2027, 1, 4), date(2027, 8, 2), date(2027, 11, 30)} <= days
    assert date(2027, 3, 29) not in days


def test_the_tests_own_holiday_table_agrees():
    for year in BANK_HOLIDAYS:
        ours = {day for day in ENGLISH_HOLIDAYS if day.year == year}
        assert ours == {day for day in holidays_of(year) if day.weekday() < 5}


def test_clot_reviews_of_a_whole_year_roll_back_as_numpys_business_days_do():
    """numpy.busday_offset with roll "backward" is an independent reference for the roll to a working day."""
    holidays = sorted(ENGLISH_HOLIDAYS)
    start = date(2027, 1, 1)
    for anchor in (start + timedelta(days=n) for n in range(365)):
        due = numpy.busday_offset(anchor + timedelta(days=42), 0, roll="backward", holidays=holidays)

        assert nailed(str(anchor)).planned().tasks("clot prevention review") == [(str(due), "open")]


# RUST and mRUST: Whelan 2010 and the JBJS table of 2018 (three and four grades a cortex, four cortices).


@pytest.mark.parametrize(
    ("scale", "grades", "counts"),
    [
        (ScoreScale.RUST, (1, 2, 3), [1, 4, 10, 16, 19, 16, 10, 4, 1]),
        (ScoreScale.MRUST, (1, 2, 3, 4), [1, 4, 10, 20, 31, 40, 44, 40, 31, 20, 10, 4, 1]),
    ],
)
def test_all_readings_of_four_cortices_give_the_totals_of_the_definition(scale, grades, counts):
    totals = [Score(scale, cortices).total for cortices in product(grades, repeat=4)]

    assert [totals.count(total) for total in range(4, 4 * max(grades) + 1)] == counts
    assert len(totals) == sum(counts)


def test_every_rust_reading_is_flagged_in_week_12_exactly_up_to_six():
    """Six or less at three months: Cureus and Injury series, 47 non-unions of 155."""
    course = nailed("2027-02-02")
    for cortices in product((1, 2, 3), repeat=4):
        flagged = bool(course.film("2027-04-26", rust=list(cortices)).planned().alerts("high risk"))

        assert flagged is (sum(cortices) <= 6), cortices


@pytest.mark.parametrize("cortices", [[4, 1, 1, 1], [1, 0, 1, 1]])
def test_a_grade_outside_the_scale_is_no_rust_reading(cortices):
    assert [path for path, _ in nailed("2027-02-02").film("2027-03-15", rust=cortices).faults()] == [
        f"$.history[0].score.cortices[{0 if cortices[0] == 4 else 1}]"
    ]


@pytest.mark.parametrize("stage", ["NWB", "TTWB", "PWB25", "PWB50", "PWB75", "WBAT", "FWB"])
def test_only_the_three_standard_weight_bearing_terms_are_printed(stage):
    """Trompeter and Costa, Bone Joint J 2024;106-B:1016: three terms, no percentages, no abbreviations."""
    printed = nailed("2027-02-02").ordered(stage, "2027-02-02").planned()["stage_now"]["printed"]

    terms = ("Non-weightbearing", "Limited weightbearing", "Unrestricted weightbearing")
    assert [term for term in terms if printed.startswith(term)] != []
    assert not any(old in printed for old in ("WBAT", "FWB", "TTWB", "PWB", "%"))


@pytest.mark.parametrize("letter", ["A", "B", "C"])
def test_the_shaft_of_the_tibia_is_42_with_three_types(letter):
    """AO/OTA Fracture and Dislocation Classification Compendium, 2018: bone 4, segment 2, types A, B, C."""
    assert nailed("2027-02-02", fracture_class=letter).planned()["scope"]["accepted"] is True


@pytest.mark.parametrize("letter", ["D", "E", "X"])
def test_there_is_no_fourth_type(letter):
    assert [p for p, _ in nailed("2027-02-02", fracture_class=letter).faults()] == ["$.injury.fracture_class"]


@pytest.mark.parametrize(
    ("weight_kg", "stage", "cap_kg"),
    [
        (84.5, "TTWB", 8),
        (84.5, "PWB25", 21),
        (84.5, "PWB50", 42),
        (84.5, "PWB75", 63),
        (78.0, "PWB50", 39),
        (61.9, "PWB50", 30),
        (58.0, "TTWB", 5),
        (77.0, "PWB50", 38),
    ],
)
def test_kilograms_are_the_integer_part_of_the_share(weight_kg, stage, cap_kg):
    """Arithmetic in whole tenths of a kilogram, rounded down; worked by hand."""
    assert nailed("2027-02-02", weight_kg=weight_kg).ordered(stage, "2027-02-02").planned().now()[1] == cap_kg


# Clock changes of Europe/London (IANA time zone database): 28 March 2027 and 31 October 2027, 01:00 UTC.


def test_72_hours_over_the_spring_change():
    course = in_cast("2027-03-25", injured_at="2027-03-25T14:00", presented_at="2027-03-25T15:00")

    assert course.planned().due_instants("consultant review") == ["2027-03-28T15:00Z"]


def test_half_past_one_on_the_autumn_night_is_read_as_the_first_of_two():
    course = nailed(
        "2027-10-30",
        injured_at="2027-10-30T20:00",
        treated_at="2027-10-30T23:00",
        open_grade="I",
        wound_closed_at="2027-10-31T01:30",
    )

    assert course.planned().due_instants("antibiotic review") == ["2027-11-01T00:30Z"]


@pytest.mark.parametrize(
    ("written", "local_date"),
    [
        ("2027-12-19T16:39:57-08:00", "2027-12-20"),  # RFC 3339 section 5.8, its year changed: 20 December 00:39:57Z
        ("2027-06-05T22:59:59Z", "2027-06-05"),
        ("2027-06-05T23:00:00Z", "2027-06-06"),
        ("2027-01-01T12:00:27.87+00:20", "2027-01-01"),
    ],
)
def test_a_time_with_an_offset_is_read_as_rfc_3339_says(written, local_date):
    course = nailed(local_date, injured_at=written, treated_at=written)

    assert course.planned()["anchor_on"] == local_date


@pytest.mark.parametrize(
    ("anchor_on", "code", "target_on"),
    [
        ("2028-02-29", "N6", "2029-02-27"),  # 364 days
        ("2026-01-31", "N2", "2026-03-14"),  # six weeks
        ("2027-02-02", "N4", "2027-07-20"),  # 168 days
    ],
)
def test_weeks_are_seven_days_over_leap_days_and_month_ends(anchor_on, code, target_on):
    """Proleptic Gregorian calendar, ISO 8601."""
    assert nailed(anchor_on).planned().row(code)["target_on"] == target_on


@pytest.mark.parametrize("injured_on", ["2027-05-29", "2027-05-30", "2027-05-31", "2027-06-01", "2027-02-28"])
def test_nine_months_are_counted_as_dateutil_counts_them(injured_on):
    """dateutil.relativedelta clamps to the end of the month: 31 May and nine months is 29 February 2028."""
    nine_months = date.fromisoformat(injured_on) + relativedelta(months=9)
    early = nailed(injured_on).film(str(nine_months - timedelta(days=100)), rust=[2, 2, 2, 2])

    before = early.film(str(nine_months - timedelta(days=1)), rust=[2, 2, 2, 2])
    assert before.planned().alerts("possible non-union") == []
    assert early.film(str(nine_months), rust=[2, 2, 2, 2]).planned().alerts("possible non-union") == [
        (str(nine_months), "AMBER")
    ]


def test_open_grades_are_those_of_gustilo_and_anderson():
    """Gustilo and Anderson 1976, III split in 1984: I, II, IIIA, IIIB, IIIC; plain III is no grade."""
    assert [path for path, _ in plated("2027-02-02", open_grade="III").faults()] == ["$.injury.open_grade"]
    for grade in ("I", "II", "IIIA", "IIIB", "IIIC"):
        assert plated("2027-02-02", open_grade=grade).planned()["scope"]["accepted"] is True
