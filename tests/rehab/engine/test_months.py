"""Calendar months."""

from datetime import date

import pytest

from rehab.engine.months import months_after


@pytest.mark.parametrize(
    ("day", "months", "after"),
    [
        (date(2027, 8, 31), 3, date(2027, 11, 30)),
        (date(2027, 11, 30), 3, date(2028, 2, 29)),
        (date(2027, 1, 6), 9, date(2027, 10, 6)),
        (date(2027, 1, 31), 1, date(2027, 2, 28)),
        (date(2027, 12, 15), 1, date(2028, 1, 15)),
        (date(2027, 6, 25), 3, date(2027, 9, 25)),
    ],
)
def test_a_month_later_is_the_same_day_number_or_the_months_last(day, months, after):
    assert months_after(day, months) == after
