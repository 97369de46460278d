"""Numbers as people read them."""

from decimal import Decimal

import pytest

from rehab.words import number


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (42, "42"),
        (0, "0"),
        (Decimal("7.0"), "7"),
        (Decimal("2.50"), "2.5"),
        (Decimal("84.5"), "84.5"),
        (Decimal(100), "100"),
        (Decimal("1E+2"), "100"),
        (Decimal("0.05"), "0.05"),
        (Decimal("-3.5"), "-3.5"),
        (Decimal(0), "0"),
    ],
)
def test_a_number_has_no_more_decimals_than_it_needs(value, written):
    assert number(value) == written
