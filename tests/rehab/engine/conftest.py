"""A clinic of Mondays, Wednesdays and Fridays in England, for tests that need no database."""

from datetime import date, time
from zoneinfo import ZoneInfo

import pytest

from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.facts import Clinic

# England and Wales bank holidays, typed in from published copies of the official list (gov.uk/bank-holidays).
BANK_HOLIDAYS = frozenset(
    date.fromisoformat(day)
    for day in """
    2027-01-01 2027-03-26 2027-03-29 2027-05-03 2027-05-31 2027-08-30 2027-12-27 2027-12-28
    2028-01-03 2028-04-14 2028-04-17 2028-05-01 2028-05-29 2028-08-28 2028-12-25 2028-12-26
    """.split()
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
