"""The day a command is asked to look from: `--on YYYY-MM-DD`."""

from argparse import ArgumentTypeError
from contextlib import suppress
from datetime import date

from django.utils.translation import gettext as _

from rehab.files.reading import FIRST_YEAR, LAST_YEAR


def day_of_asking(text: str) -> date:
    """Read the day of `--on`. Raises ArgumentTypeError, which names what would be right."""
    with suppress(ValueError):
        day = date.fromisoformat(text)
        if text == day.isoformat() and FIRST_YEAR <= day.year <= LAST_YEAR:
            return day
    words = {"day": text, "first": FIRST_YEAR, "last": LAST_YEAR}
    message = _("“%(day)s” cannot be used. Give a day as YYYY-MM-DD, from %(first)d to %(last)d.")
    raise ArgumentTypeError(message % words)
