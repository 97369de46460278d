"""The VTIMEZONE we write, read by three strangers to it.

Which clocks change when is tzdata's word, through `zoneinfo`; what a VTIMEZONE means is RFC 5545 section 3.6.5.
"""

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

import pytest

from clinic.invitations.clock_rules import parse_clock_rule, tzdata_file
from clinic.invitations.time_zones import zone_bytes
from clinic.invitations.writing import invitation_bytes
from tests.clinic.invitations.cast import visit
from tests.clinic.invitations.reading import (
    ELEVEN_ZONES,
    unfolded,
    written_start,
    zone_by_dateutil,
    zone_by_icalendar,
)

# Zones whose rule no yearly calendar rule can say, or whose tzdata differs from its rule in these years.
ODD_ZONES = ("Africa/Cairo", "Asia/Gaza", "Asia/Jerusalem", "America/Santiago", "America/Nuuk", "Africa/Casablanca")


def one_zone_of_each_rule() -> list[str]:
    """Give the first zone, by name, for each different rule that tzdata ends with."""
    rules = {}
    for zone in sorted(available_timezones() - {"localtime", "Factory"}):
        rules.setdefault(tzdata_file(zone).rstrip(b"\n").rpartition(b"\n")[2], zone)
    return sorted(rules.values())


ALL_RULES = one_zone_of_each_rule()


def wall_times(zone: str) -> list[datetime]:
    """Give 20 past nine, by the zone's clock, on the 1st, 11th and 21st of the 24 months of 2026 and 2027."""
    info = ZoneInfo(zone)
    days = [(year, month, day) for year in (2026, 2027) for month in range(1, 13) for day in (1, 11, 21)]
    return [datetime(*day, 9, 20, tzinfo=info) for day in days]


def as_utc(moments: list[datetime]) -> list[datetime]:
    return [moment.astimezone(UTC) for moment in moments]


def around_each_change(zone: str) -> list[datetime]:
    """Give each minute 90 before to 90 after a change in 2026 and 2027, leaving out wall times that come twice."""
    info, hour = ZoneInfo(zone), timedelta(hours=1)
    moment, found = datetime(2026, 1, 1, tzinfo=UTC), []
    while moment.year < 2028:
        if (moment + hour).astimezone(info).utcoffset() != moment.astimezone(info).utcoffset():
            found += [moment + timedelta(minutes=n) for n in range(-90, 151)]
        moment += hour
    local = [minute.astimezone(info) for minute in found]
    return [minute for minute in local if minute.replace(fold=0).utcoffset() == minute.replace(fold=1).utcoffset()]


@pytest.mark.parametrize("zone", [*ELEVEN_ZONES, *ODD_ZONES])
@pytest.mark.parametrize("read_zone", [zone_by_icalendar, zone_by_dateutil])
def test_72_visits_a_zone_are_at_the_right_moment(zone, read_zone):
    written = [invitation_bytes(visit(starts_at=start, zone=zone)) for start in wall_times(zone)]
    read = [written_start(ics).replace(tzinfo=read_zone(ics)) for ics in written]

    assert len(read) == 72
    assert as_utc(read) == as_utc(wall_times(zone))


def test_72_visits_in_11_zones_are_at_the_right_moment_in_a_third_reader(js_reader):
    moments = [start for zone in ELEVEN_ZONES for start in wall_times(zone)]
    written = [
        invitation_bytes(visit(starts_at=start, zone=zone)) for zone in ELEVEN_ZONES for start in wall_times(zone)
    ]
    read = [answer["startsAt"] for answer in js_reader(written)]

    assert len(read) == 11 * 72
    assert read == [int(moment.timestamp()) for moment in moments]


def test_zones_without_a_yearly_rule_are_at_the_right_moment_in_a_third_reader(js_reader):
    moments = [(start, zone) for zone in ODD_ZONES for start in wall_times(zone)]
    written = [invitation_bytes(visit(starts_at=start, zone=zone)) for start, zone in moments]

    assert [answer["startsAt"] for answer in js_reader(written)] == [int(start.timestamp()) for start, _zone in moments]


@pytest.mark.parametrize("reader_zone", ["UTC", "Asia/Tokyo", "America/Los_Angeles"])
def test_a_london_visit_is_at_the_same_moment_wherever_its_reader_is(js_reader, reader_zone):
    (answer,) = js_reader([invitation_bytes(visit())], reader_zone)

    assert datetime.fromtimestamp(answer["startsAt"], UTC) == datetime(2026, 4, 14, 9, 20, tzinfo=UTC)
    assert datetime.fromtimestamp(answer["endsAt"], UTC) == datetime(2026, 4, 14, 9, 40, tzinfo=UTC)


def test_a_visit_at_any_half_hour_of_a_clock_changes_night_is_right_in_a_third_reader(js_reader):
    nights = [datetime(2027, 3, 27, 22, 0, tzinfo=UTC), datetime(2027, 10, 30, 22, 0, tzinfo=UTC)]
    starts = [night + timedelta(minutes=30 * n) for night in nights for n in range(12)]
    read = js_reader([invitation_bytes(visit(starts_at=start)) for start in starts])

    assert [answer["startsAt"] for answer in read] == [int(start.timestamp()) for start in starts]
    assert [answer["endsAt"] - answer["startsAt"] for answer in read] == [20 * 60] * 24


@pytest.mark.parametrize("zone", [*ELEVEN_ZONES, *ODD_ZONES])
def test_minutes_around_a_clock_change_are_right(zone):
    ics = invitation_bytes(visit(starts_at=datetime(2026, 1, 1, 9, tzinfo=ZoneInfo(zone)), zone=zone))
    # One file for both years, as a visit at the turn of the year gets it.
    whole = ics.replace(zone_bytes(zone, 2026, 2026), zone_bytes(zone, 2026, 2027))
    info = zone_by_dateutil(whole)

    wrong = [m for m in around_each_change(zone) if m.replace(tzinfo=info).utcoffset() != m.utcoffset()]
    assert wrong == []


@pytest.mark.parametrize("zone", ALL_RULES)
def test_every_rule_in_tzdata_is_written_without_rdate_and_read_back_right(zone):
    ics = invitation_bytes(visit(starts_at=datetime(2026, 7, 1, 9, tzinfo=ZoneInfo(zone)), zone=zone))
    info = zone_by_dateutil(ics)
    months = [datetime(2026, month, 1, 9, tzinfo=ZoneInfo(zone)) for month in range(1, 13)]

    assert b"RDATE" not in ics
    assert all("BYMONTH=" in rule and "BYDAY=" in rule for rule in re.findall(r"RRULE:(.*)", unfolded(ics)))
    assert [month.replace(tzinfo=info).utcoffset() for month in months] == [month.utcoffset() for month in months]


def test_london_is_written_as_two_yearly_rules():
    assert zone_bytes("Europe/London", 2026, 2026).decode().split("\r\n") == [
        "BEGIN:VTIMEZONE",
        "TZID:Europe/London",
        "BEGIN:STANDARD",
        "DTSTART:19701025T020000",
        "RRULE:FREQ=YEARLY;BYMONTH=10;BYDAY=-1SU",
        "TZNAME:GMT",
        "TZOFFSETFROM:+0100",
        "TZOFFSETTO:+0000",
        "END:STANDARD",
        "BEGIN:DAYLIGHT",
        "DTSTART:19700329T010000",
        "RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=-1SU",
        "TZNAME:BST",
        "TZOFFSETFROM:+0000",
        "TZOFFSETTO:+0100",
        "END:DAYLIGHT",
        "END:VTIMEZONE",
        "",
    ]


def test_dublin_has_its_daylight_time_in_summer_though_tzdata_says_otherwise():
    summer = zone_bytes("Europe/Dublin", 2026, 2026).decode().split("BEGIN:DAYLIGHT")[1]

    assert "TZNAME:IST" in summer
    assert "TZOFFSETFROM:+0000\r\nTZOFFSETTO:+0100" in summer


def test_an_hour_of_24_gives_one_part_for_each_change():
    cairo = zone_bytes("Africa/Cairo", 2026, 2026).decode()

    assert "RRULE" not in cairo
    # tzdata 2026: Egypt goes forward on the last Friday of April, and back after the last Thursday of October.
    assert "DTSTART:20260424T000000" in cairo
    assert "DTSTART:20261030T000000" in cairo


def test_tzdata_wins_where_its_rule_says_something_else():
    # Morocco's rule says +01 all year; tzdata has +00 during Ramadan 2026.
    assert "RRULE" not in zone_bytes("Africa/Casablanca", 2026, 2026).decode()
    assert "TZOFFSETTO:+0000" in zone_bytes("Africa/Casablanca", 2026, 2026).decode()


def test_a_year_before_the_present_rule_uses_what_really_happened():
    # The United States changed on the first Sunday of April and the last of October until 2006 (tzdata).
    assert "DTSTART:20060402T020000" in zone_bytes("America/New_York", 2006, 2006).decode()
    assert "RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=2SU" in zone_bytes("America/New_York", 2007, 2007).decode()


def test_an_offset_that_was_given_up_later_is_used_in_its_own_year():
    # Almaty went from +06 to +05 for good on 1 March 2024 (tzdata).
    assert "TZOFFSETTO:+0600" in zone_bytes("Asia/Almaty", 2023, 2023).decode()
    assert "DTSTART:20240301T000000" in zone_bytes("Asia/Almaty", 2024, 2024).decode()
    assert "TZOFFSETTO:+0500" in zone_bytes("Asia/Almaty", 2025, 2025).decode()


@pytest.mark.parametrize("text", ["", "nonsense", "GMT0BST,J60,J300", "<+01", "EST5EDT"])
def test_a_rule_that_cannot_be_read_is_no_rule(text):
    assert parse_clock_rule(text) is None
