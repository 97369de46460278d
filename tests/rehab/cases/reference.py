"""An independent calendar and placement, written from the papers, to hold the engine against."""

from datetime import date, timedelta

WEEKDAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


def easter_sunday(year):
    """Gregorian Easter by the Meeus/Jones/Butcher algorithm."""
    a, b, c = year % 19, year // 100, year % 100
    d, e = divmod(b, 4)
    g = (8 * b + 13) // 25
    h = (19 * a + b - d - g + 15) % 30
    i, k = divmod(c, 4)
    m = (a + 11 * h) // 319
    q = (2 * e + 2 * i - k - h + m + 32) % 7
    month = (h - m + q + 90) // 25
    return date(year, month, (h - m + q + month + 19) % 32)


def _monday(year, month, last=False):
    days = [date(year, month, day) for day in range(1, 32) if day < 31 or month in (5, 8)]
    mondays = [day for day in days if day.weekday() == 0]
    return mondays[-1 if last else 0]


def english_holidays(year):
    """Weekday bank holidays of England and Wales by the rules of the Banking and Financial Dealings Act 1971."""
    easter = easter_sunday(year)
    days = {easter - timedelta(days=2), easter + timedelta(days=1)}
    days |= {_monday(year, 5), _monday(year, 5, last=True), _monday(year, 8, last=True)}
    new_year, christmas = date(year, 1, 1), date(year, 12, 25)
    days.add(new_year + timedelta(days={5: 2, 6: 1}.get(new_year.weekday(), 0)))
    pair = {0: (0, 1), 1: (0, 1), 2: (0, 1), 3: (0, 1), 4: (0, 3), 5: (2, 3), 6: (1, 2)}[christmas.weekday()]
    return days | {christmas + timedelta(days=n) for n in pair}


ENGLISH_HOLIDAYS = frozenset().union(*(english_holidays(year) for year in range(2026, 2031)))


def is_open(clinic, day):
    """True when the clinic sees people that day (weekday clinics only)."""
    shut = {*clinic.get("closed_on", ()), *clinic.get("full_on", ())}
    is_clinic_day = WEEKDAYS[day.weekday()] in clinic["clinic_days"]
    return is_clinic_day and day not in ENGLISH_HOLIDAYS and str(day) not in shut


def nearest_place(clinic, target, earliest, latest, planning, anchor):
    """Nearest open day to the target inside the window, else outside it; a tie goes to the earlier day.

    Answers (day, is_in_window), or (None, False) when nothing is open within 120 days after the window.
    """
    inside = [day for day in _days(max(earliest, planning), latest) if is_open(clinic, day)]
    if inside:
        return min(inside, key=lambda day: (abs(day - target), day)), True
    first = max(anchor + timedelta(days=1), planning)
    outside = [day for day in _days(first, latest + timedelta(days=120)) if is_open(clinic, day)]
    return (min(outside, key=lambda day: (abs(day - target), day)), False) if outside else (None, False)


def first_open_after(clinic, day):
    """First open day strictly after this one."""
    return next(later for later in _days(day + timedelta(days=1), day + timedelta(days=400)) if is_open(clinic, later))


def _days(first, last):
    return (first + timedelta(days=n) for n in range((last - first).days + 1))
