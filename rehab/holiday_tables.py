"""Public holidays by country and part of the country, and the clinic's calendar made from them."""

from datetime import date
from functools import cache, lru_cache

import holidays

from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.facts import Clinic


@lru_cache(maxsize=512)
def public_holidays(country: str, subdivision: str | None, first_year: int, last_year: int) -> frozenset[date]:
    """List the public holidays of the years, both ends included.

    `country` has two letters (ISO 3166-1), `subdivision` is the part after the hyphen of ISO 3166-2;
    None gives only what the whole country shares. Days on a weekend and their substitutes both count.
    """
    years = range(first_year, last_year + 1)
    return frozenset(holidays.country_holidays(country, subdiv=subdivision, years=years))


@lru_cache(maxsize=256)
def calendar_for(clinic: Clinic, first: date, last: date) -> ClinicCalendar:
    """Make the clinic's calendar from `first` to `last`; the same question gets the same object."""
    days_off = public_holidays(clinic.country, clinic.subdivision, first.year, last.year)
    return ClinicCalendar(clinic, days_off, first, last)


@cache
def countries() -> dict[str, tuple[str, ...]]:
    """List the countries whose public holidays are known, each with the codes of its parts."""
    supported = holidays.list_supported_countries(include_aliases=False)
    return {code: tuple(parts) for code, parts in supported.items() if len(code) == len("GB")}
