"""Calendar-month arithmetic: the same day number, clamped to the month's end."""

from calendar import monthrange
from datetime import date


def months_after(day: date, months: int) -> date:
    """Give the date so many calendar months later (31 August + 3 is 30 November).

    Rule R57; ISO 8601 leaves month arithmetic open, so the clamp is stated here.
    """
    year, month_index = divmod(day.year * 12 + day.month - 1 + months, 12)
    month = month_index + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))
