from datetime import date, datetime
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from clinic.web.forms.fields import (
    DateField,
    KilogramField,
    MeasureField,
    MomentField,
    PastDateField,
    PastMomentField,
    WordsField,
)


def message(field, typed) -> str:
    with pytest.raises(ValidationError) as refused:
        field.clean(typed)
    return refused.value.messages[0]


@pytest.mark.parametrize(
    "typed", [["31", "3", "2027"], ["31", "mar", "27"], ["31", "March", "2027"], [" 31", "03 ", "2027"]]
)
def test_a_date_may_have_its_month_as_number_or_name(typed):
    assert DateField().clean(typed) == date(2027, 3, 31)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (["30", "2", "2027"], "There is no 30 February 2027."),
        (["29", "2", "2027"], "There is no 29 February 2027."),
        (["1", "13", "2027"], "“13” is not a month. Give 1 to 12, or its name."),
        (["1", "mars", "2027"], "“mars” is not a month. Give 1 to 12, or its name."),
        (["1", "", "2027"], "Give the day, the month and the year."),
        (["one", "2", "2027"], "Give the date in figures, like 31 3 2027."),
        (["1", "2", "327"], "Give the date in figures, like 31 3 2027."),
        (["", "", ""], "Give the day, the month and the year."),
    ],
)
def test_an_impossible_date_says_what_is_wrong_with_it(typed, words):
    assert message(DateField(), typed) == words


def test_29_february_of_a_leap_year_is_a_day():
    assert DateField().clean(["29", "2", "2028"]) == date(2028, 2, 29)


@pytest.mark.parametrize(("typed", "hour", "minute"), [("09:20", 9, 20), ("9.20", 9, 20), ("23:59", 23, 59)])
def test_a_moment_is_a_date_and_a_clock_time(typed, hour, minute):
    assert MomentField().clean(["2", "2", "2027", typed]) == datetime(2027, 2, 2, hour, minute)  # noqa: DTZ001


@pytest.mark.parametrize("typed", ["24:00", "9:60", "noon", "", "0920"])
def test_a_time_that_no_clock_shows_is_refused(typed):
    assert message(MomentField(), ["2", "2", "2027", typed]) == "Give the time like 09:20, by the 24-hour clock."


def test_a_day_still_to_come_is_refused():
    field = PastDateField()
    field.today = date(2027, 2, 4)

    assert field.clean(["4", "2", "2027"]) == date(2027, 2, 4)
    assert message(field, ["5", "2", "2027"]) == "This day is still to come. Give a day up to today."


def test_a_moment_still_to_come_is_refused():
    field = PastMomentField()
    field.now = datetime(2027, 2, 4, 10)  # noqa: DTZ001

    assert message(field, ["4", "2", "2027", "10:01"]) == "This moment is still to come. Give one up to now."


@pytest.mark.parametrize(
    ("typed", "tenths"), [("84.5", 845), ("84,5", 845), ("84", 840), ("84.5 kg", 845), (" 84 KG ", 840)]
)
def test_a_weight_in_kilograms_is_kept_in_tenths(typed, tenths):
    assert KilogramField().clean(typed) == tenths


@pytest.mark.parametrize("typed", ["172 lb", "172lb", "12 st 4", "84.55", "kg", "-70", "8e1", "84.5.1"])
def test_anything_but_kilograms_is_refused_and_never_converted(typed):
    assert message(KilogramField(), typed) == f"Give the weight in kilograms. “{typed}” cannot be used."


@pytest.mark.parametrize(
    ("typed", "measured"), [("7", Decimal(7)), ("7.5", Decimal("7.5")), ("7,5", Decimal("7.5")), ("", None)]
)
def test_a_measurement_is_exact_and_may_be_left_out(typed, measured):
    assert MeasureField(at_most=90, unit="°").clean(typed) == measured


@pytest.mark.parametrize("typed", ["91", "-1", "7.25", "seven", "NaN", "Infinity", "1e9", "1e1", "9" * 20])
def test_a_measurement_that_cannot_be_is_refused(typed):
    words = message(MeasureField(at_most=90, unit="°"), typed)

    assert words == f"Give a number from 0 to 90, like 7 or 7.5. “{typed}” cannot be used."


@pytest.mark.parametrize("boxes", [("9" * 5000, "5", "1971"), ("9", "9" * 5000, "1971"), ("9", "5", "9" * 5000)])
def test_any_number_of_figures_is_a_fault_and_never_a_broken_page(boxes):
    with pytest.raises(ValidationError):
        DateField().clean(list(boxes))


@pytest.mark.parametrize("typed", ["\N{RIGHT-TO-LEFT OVERRIDE}live", "\N{ZERO WIDTH SPACE}", "Ann\x07"])
def test_a_sign_that_nobody_sees_is_refused(typed):
    with pytest.raises(ValidationError, match="invisible sign"):
        WordsField(max_length=80).clean(typed)


@pytest.mark.parametrize("typed", ["ليلى", "O'Brien", "<script>", "می\N{ZERO WIDTH NON-JOINER}خواهم"])
def test_names_of_any_script_are_kept_as_they_are(typed):
    assert WordsField(max_length=80).clean(typed) == typed


def test_words_that_are_too_long_say_how_long_they_may_be():
    assert message(WordsField(max_length=5), "Featherstow") == "This is too long: at most 5 letters."
