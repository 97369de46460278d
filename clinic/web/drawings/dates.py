"""Dates as the pictures write them. Sentences use the full form, drawings the short ones."""

from datetime import date

from django.utils.formats import date_format

NO_BREAK = "\N{NO-BREAK SPACE}"


def in_words(on: date) -> str:
    """Wednesday 31 March 2027."""
    return date_format(on, "l j F Y")


def weekday_and_day(on: date) -> str:
    """Wed 12 May, kept on one line."""
    return date_format(on, "D j M").replace(" ", NO_BREAK)


def day_and_month(on: date) -> str:
    """7 Apr, kept on one line."""
    return date_format(on, "j M").replace(" ", NO_BREAK)


def day_and_full_month(on: date) -> str:
    """31 March, kept on one line."""
    return date_format(on, "j F").replace(" ", NO_BREAK)


def day_month_year(on: date) -> str:
    """31 March 2027, for birth dates and small print."""
    return date_format(on, "j F Y").replace(" ", NO_BREAK)
