"""A site's days: when it sees people, when it is shut, and its frozen public holidays."""

from datetime import date, datetime, timedelta

from django.db import transaction

from clinic.common.clock import clinic_instant
from clinic.diary.models import ClosedDay, ClosedDayKind, Session
from clinic.people.models import Site
from rehab.holiday_tables import public_holidays
from rehab.translate import ClinicDays, clinic_facts

WARN_DAYS_BEFORE = 90  # hazard H6: somebody must load more holidays before they run out


def clinic_days_of(site: Site) -> ClinicDays:
    """Give a site's days as facts. Costs one query."""
    rows = list(ClosedDay.objects.filter(site=site).order_by().values_list("on", "kind"))
    closed = frozenset(on for on, kind in rows if kind == ClosedDayKind.CLOSED)
    facts = clinic_facts(
        time_zone=site.time_zone,
        clinic_days=site.clinic_days,
        appointment_time=site.appointment_time,
        country=site.country,
        subdivision=site.subdivision,
        closed_on=closed,
    )
    return ClinicDays(facts, frozenset(on for on, kind in rows if kind == ClosedDayKind.PUBLIC_HOLIDAY))


@transaction.atomic
def freeze_holidays(site: Site, first_year: int, last_year: int, *, source: str) -> int:
    """Put the public holidays of the years on file, and say how many were new.

    Days already on file stay as they are: an upgrade of the table behind it never moves a plan by itself.
    """
    days = public_holidays(site.country, site.subdivision, first_year, last_year)
    kind = ClosedDayKind.PUBLIC_HOLIDAY
    known = set(ClosedDay.objects.filter(site=site, kind=kind).values_list("on", flat=True))
    new = [ClosedDay(site=site, on=on, kind=kind, source=source) for on in sorted(days - known)]
    ClosedDay.objects.bulk_create(new)
    until = date(last_year, 12, 31)
    if site.holidays_until is None or site.holidays_until < until:
        site.holidays_until = until
        site.save(update_fields=["holidays_until"])
    return len(new)


def holidays_run_out(site: Site, on: date) -> bool:
    """Say whether the public holidays on file end too soon."""
    return site.holidays_until is None or site.holidays_until - on < timedelta(days=WARN_DAYS_BEFORE)


def starts_at(session: Session) -> datetime:
    """Give the instant (UTC) a session starts; needs the session's site."""
    return clinic_instant(session.on, session.starts, session.site.zone)
