"""A clinic of Mondays, Wednesdays and Fridays in England, for tests that need no database."""

from datetime import date, time
from zoneinfo import ZoneInfo

import pytest

from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.facts import Clinic

# England and Wales bank holidays, typed in from published copies of the official list (gov.uk/bank-holidays).
BANK_HOLIDAYS = frozenset(
    date(year, month, day)
    for year, days in {
        2027: [(1, 1), (3, 26), (3, 29), (5, 3), (5, 31), (8, 30), (12, 27), (12, 28)],
        2028: [(1, 3), (4, 14), (4, 17), (5, 1), (5, 29), (8, 28), (12, 25), (12, 26)],
    }.items()
    for month, day in days
)
LONDON = ZoneInfo("Europe/London")


def a_clinic(**changes) -> Clinic:
    """The test clinic, with something changed."""
    usual = {
        "time_zone": LONDON,
        "clinic_days": frozenset({0, 2, 4}),
        "appointment_time": time(9, 30),
        "country": "GB",
        "subdivision": "ENG",
    }
    return Clinic(**{**usual, **changes})


def a_calendar(**changes) -> ClinicCalendar:
    """The calendar of the test clinic for 2026 to 2029."""
    return ClinicCalendar(a_clinic(**changes), BANK_HOLIDAYS, date(2026, 1, 1), date(2029, 12, 31))


@pytest.fixture(scope="session")
def calendar() -> ClinicCalendar:
    """The usual calendar, built once."""
    return a_calendar()
