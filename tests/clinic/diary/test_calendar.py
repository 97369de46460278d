from datetime import UTC, date, datetime, time

import pytest
from django.core.management import CommandError, call_command

from clinic.diary.calendar import clinic_days_of, freeze_holidays, holidays_run_out, starts_at
from clinic.diary.models import ClosedDay
from clinic.people.models import Site
from tests.support.cast import make_session, make_site


def test_the_holidays_on_file_are_the_site_s_own(site):
    """England and Wales 2027, official list of bank holidays: Good Friday 26 March, Easter Monday 29 March."""
    days = clinic_days_of(site)

    assert {date(2027, 3, 26), date(2027, 3, 29), date(2027, 12, 28)} <= days.holidays
    assert date(2027, 11, 30) not in days.holidays  # St Andrew's Day is Scotland's


def test_a_site_in_scotland_keeps_st_andrew_s_day(db):
    days = clinic_days_of(make_site("Glen Clinic", subdivision="SCT"))

    assert date(2027, 11, 30) in days.holidays


def test_a_day_closed_is_no_public_holiday(site):
    ClosedDay.objects.create(site=site, on=date(2027, 2, 15), name="building work")

    days = clinic_days_of(site)

    assert date(2027, 2, 15) in days.clinic.closed_on
    assert date(2027, 2, 15) not in days.holidays


def test_days_on_file_stay_as_they_are_when_more_are_loaded(site):
    ClosedDay.objects.filter(on=date(2027, 5, 3)).delete()
    ClosedDay.objects.create(site=site, on=date(2027, 5, 6), kind="public holiday", name="moved by decree")

    assert freeze_holidays(site, 2033, 2033, source="tests") > 0

    days = clinic_days_of(site)
    assert date(2027, 5, 6) in days.holidays
    assert date(2027, 5, 3) not in days.holidays
    assert site.holidays_until == date(2033, 12, 31)


@pytest.mark.parametrize(("on", "is_soon"), [(date(2032, 10, 2), False), (date(2032, 10, 3), True)])
def test_somebody_is_warned_90_days_before_the_holidays_run_out(site, on, is_soon):
    assert holidays_run_out(site, on) is is_soon


@pytest.mark.parametrize(
    ("on", "instant"),
    [
        (date(2027, 3, 26), datetime(2027, 3, 26, 9, 30, tzinfo=UTC)),
        (date(2027, 3, 29), datetime(2027, 3, 29, 8, 30, tzinfo=UTC)),  # after the clocks went forward on 28 March
        (date(2027, 11, 1), datetime(2027, 11, 1, 9, 30, tzinfo=UTC)),  # after they went back on 31 October
    ],
)
def test_a_session_starts_at_the_clinic_s_wall_time(site, on, instant):
    assert starts_at(make_session(site, on)) == instant


def test_a_wall_time_that_the_clock_skips_is_read_as_before_the_change(site):
    assert starts_at(make_session(site, date(2027, 3, 28), starts=time(1, 30))) == datetime(
        2027, 3, 28, 1, 30, tzinfo=UTC
    )


SITE = {
    "neutral_name": "Harbour Clinic",
    "time_zone": "Europe/London",
    "country": "GB",
    "subdivision": "ENG",
    "days": "mon,wed,fri",
    "time": "09:30",
    "phone": "07700 900412",
    "phone_hours": "9 to 5",
    "emergency": "999",
    "address": "1 Harbour Road|Seaborough",
    "place": "East building, desk C",
    "email": "appointments@harbour.example.org",
}


def make_by_command(**changes):
    words = [f"--{name.replace('_', '-')}={value}" for name, value in {**SITE, **changes}.items()]
    call_command("make_site", "Harbour Fracture Clinic", *words)


def test_a_site_is_made_with_its_holidays(db):
    make_by_command()

    assert Site.objects.get().holidays_until is not None
    assert ClosedDay.objects.exists()


def test_every_fault_of_a_site_is_named_at_once_and_nothing_is_saved(db):
    with pytest.raises(CommandError) as refused:
        make_by_command(time_zone="Londn", days="mon,xyz", neutral_name="Fracture Clinic")

    assert {line.partition(":")[0] for line in str(refused.value).splitlines()} == {
        "time_zone",
        "clinic_days",
        "neutral_name",
    }
    assert not Site.objects.exists()


def test_more_holidays_are_loaded_by_command(site, capsys):
    call_command("load_holidays", site=site.name, until=2040)

    assert "known until 2040-12-31" in capsys.readouterr().out


def test_a_site_that_does_not_exist_is_named(db):
    with pytest.raises(CommandError, match="No site is called “Nowhere”"):
        call_command("load_holidays", site="Nowhere")
