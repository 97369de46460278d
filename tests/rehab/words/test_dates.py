"""Dates and times in words."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from django.utils.translation import override

from rehab.words.dates import at_local_time, in_short, in_words, wall_time, window_in_short

LONDON = ZoneInfo("Europe/London")


def test_a_date_in_a_sentence_names_its_weekday_and_year():
    assert in_words(date(2027, 3, 31)) == "Wednesday 31 March 2027"


def test_a_date_in_a_column_is_short_and_keeps_its_weekday():
    assert in_short(date(2027, 3, 3)) == "Wed 3 Mar 2027"


def test_a_date_is_written_in_the_readers_language():
    assert in_words(date(2027, 3, 31)) == "Wednesday 31 March 2027"
    with override("pl"):
        assert in_words(date(2027, 3, 31)).startswith("Środa 31 ")


def test_an_instant_is_written_in_clinic_time():
    assert at_local_time(datetime(2027, 3, 28, 15, 0, tzinfo=UTC), LONDON) == "Sunday 28 March 2027 at 16:00"


def test_a_wall_time_is_written_as_its_own_clock_shows_it():
    assert wall_time(datetime(2027, 3, 31, 9, 5, tzinfo=LONDON)) == "Wednesday 31 March 2027 at 09:05"


def test_a_window_of_one_year_names_the_year_once():
    assert window_in_short(date(2027, 2, 12), date(2027, 2, 18)) == "Fri 12 Feb – Thu 18 Feb 2027"


def test_a_window_over_the_new_year_names_both():
    assert window_in_short(date(2027, 12, 24), date(2028, 1, 6)) == "Fri 24 Dec 2027 – Thu 6 Jan 2028"
