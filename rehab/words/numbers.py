"""Numbers as people read them: no trailing zeros, no exponent."""

from decimal import Decimal

from django.utils.formats import number_format


def number(value: Decimal | int) -> str:
    """Write a number with no more decimals than it has: 2.50 is 2.5, 7.0 is 7."""
    if isinstance(value, int):
        return number_format(value, use_l10n=True)
    plain = f"{value.normalize():f}"
    decimals = len(plain.partition(".")[2])
    return number_format(value, decimal_pos=decimals, use_l10n=True)
