"""What a course file means, checked against itself: order in time, known places, a person's weight."""

from datetime import UTC, datetime
from functools import cache
from zoneinfo import ZoneInfo, available_timezones

from django.utils.translation import gettext as _

from rehab.engine.pathway import Pathways, SharedRules
from rehab.files.faults import Path, did_you_mean, listed, shown
from rehab.files.history_meaning import check_history
from rehab.files.reading import Reading
from rehab.holiday_tables import countries
from rehab.words.dates import in_words, wall_time


def check_meaning(reading: Reading, pathways: Pathways) -> None:
    """Note everything that is well written but cannot be true."""
    zone = _zone(reading)
    _check_place(reading)
    _check_closures(reading)
    injured_at = reading.moment("injury", "at", zone=zone)
    _check_injury(reading, injured_at, zone)
    _check_circumstances(reading, next(iter(pathways.values())).shared)
    _check_person(reading, injured_at)
    _check_treatments(reading, injured_at, zone)
    check_history(reading, injured_at.date() if injured_at else None, zone, pathways)


@cache
def _zone_names() -> frozenset[str]:
    return frozenset(available_timezones())


def _zone(reading: Reading) -> ZoneInfo | None:
    name = reading.value("clinic", "time_zone")
    if name is None:
        return None
    if name in _zone_names():
        return ZoneInfo(name)
    problem = _("%(value)s is not a time zone.") % {"value": shown(name)}
    hint = did_you_mean(name, sorted(_zone_names()))
    right = " " + _("Give a name of the time zone database, such as “Europe/London”.")
    reading.faults.add(("clinic", "time_zone"), problem + hint + right)
    return None


def _check_place(reading: Reading) -> None:
    country = reading.value("clinic", "country")
    if country is None:
        return
    if country not in countries():
        problem = _("No public holidays are known for %(value)s.") % {"value": shown(country)}
        hint = " " + _("Did you mean “%(word)s”?") % {"word": "GB"} if country in ("UK", "GBR") else ""
        right = " " + _("Give the two capital letters of a country, such as “GB”.")
        reading.faults.add(("clinic", "country"), problem + hint + right)
        return
    part = reading.value("clinic", "subdivision")
    if part is not None and part not in countries()[country]:
        _refuse_subdivision(reading, country, part)


def _refuse_subdivision(reading: Reading, country: str, part: str) -> None:
    known = countries()[country]
    problem = _("%(value)s is not a part of %(country)s.") % {"value": shown(part), "country": country}
    right = _("Give one of %(parts)s, or null.") % {"parts": listed(known)} if known else _("Give null.")
    reading.faults.add(("clinic", "subdivision"), problem + did_you_mean(part, known) + " " + right)


def _check_closures(reading: Reading) -> None:
    for key in ("closed_on", "full_on"):
        for path in reading.positions("clinic", key):
            reading.day(*path)


def _check_injury(reading: Reading, injured_at: datetime | None, zone: ZoneInfo | None) -> None:
    for key in ("presented_at", "wound_closed_at", "antibiotic_at"):
        path = ("injury", key)
        moment = reading.moment(*path, zone=zone)
        if injured_at and _is_before(moment, injured_at):
            reading.faults.add(path, _before_injury(injured_at))


def _check_circumstances(reading: Reading, shared: SharedRules) -> None:
    known = sorted(shared.sign_off_circumstances | shared.no_default_circumstances | shared.refused_circumstances)
    for path in reading.positions("injury", "circumstances"):
        word = reading.value(*path)
        if word is not None and word not in known:
            problem = _("%(value)s is not a known circumstance.") % {"value": shown(word)}
            right = " " + _("Give one of: %(values)s.") % {"values": listed(f"“{each}”" for each in known)}
            reading.faults.add(path, problem + did_you_mean(word, known) + right)


def _check_person(reading: Reading, injured_at: datetime | None) -> None:
    born_on = reading.day("person", "born_on")
    if born_on and injured_at and born_on > injured_at.date():
        reading.faults.add(
            ("person", "born_on"), _("The person cannot be born after the injury. Give the day of birth.")
        )
    weighed_on = reading.day("person", "weighed_on")
    if weighed_on and born_on and weighed_on < born_on:
        message = _("The weight cannot be older than the person. Give the day of weighing.")
        reading.faults.add(("person", "weighed_on"), message)
    _check_weight_pair(reading)


def _check_weight_pair(reading: Reading) -> None:
    weight, day = ("person", "weight_kg"), ("person", "weighed_on")
    if reading.faults.has(weight) or reading.faults.has(day):
        return
    has_weight, has_day = reading.value(*weight) is not None, reading.value(*day) is not None
    if has_weight and not has_day:
        reading.faults.add(day, _("A weight needs the day it was measured. Give it as YYYY-MM-DD."))
    if has_day and not has_weight:
        reading.faults.add(weight, _("A day of weighing needs the weight in kilograms. Give both, or null for both."))


def _check_treatments(reading: Reading, injured_at: datetime | None, zone: ZoneInfo | None) -> None:
    newest: datetime | None = None
    for path in reading.positions("treatments"):
        at = reading.moment(*path, "at", zone=zone)
        if injured_at and _is_before(at, injured_at):
            reading.faults.add((*path, "at"), _before_injury(injured_at))
        elif newest and _is_before(at, newest):
            reading.faults.add((*path, "at"), _out_of_order(newest))
        elif at:
            newest = at
        _check_planned_on(reading, path, at)


def _check_planned_on(reading: Reading, path: Path, at: datetime | None) -> None:
    planned_on = reading.day(*path, "planned_on")
    if planned_on and at and planned_on < at.date():
        message = _("A plan cannot be older than its treatment, which was on %(day)s. Give that day or a later one.")
        reading.faults.add((*path, "planned_on"), message % {"day": in_words(at.date())})


def _is_before(moment: datetime | None, limit: datetime) -> bool:
    """Compare as instants: two wall times of one zone would be compared without their offsets."""
    return bool(moment and moment.astimezone(UTC) < limit.astimezone(UTC))


def _before_injury(injured_at: datetime) -> str:
    message = _("This is before the injury, which was on %(moment)s. Give a later moment, or mend the injury.")
    return message % {"moment": wall_time(injured_at)}


def _out_of_order(newest: datetime) -> str:
    message = _("Treatments stand in the order of time, and the one before this was on %(moment)s.")
    return message % {"moment": wall_time(newest)}
