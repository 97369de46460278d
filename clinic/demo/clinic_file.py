"""The invented clinic of clinic.toml: its site, its staff, and what a session has room for."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

from clinic.demo.story import StoryFaults
from clinic.demo.story_files import FOLDER, read_toml
from clinic.demo.tables import Key, clock_time, one_of, read_table, several, text, whole
from clinic.diary.models import Station
from clinic.people.models import WEEKDAYS, Paper, Role

CLINIC = {
    "uuid": Key(lambda value: UUID(text(value)), is_required=True),
    "name": Key(text, is_required=True),
    "neutral_name": Key(text, is_required=True),
    "time_zone": Key(text, is_required=True),
    "country": Key(text, is_required=True),
    "subdivision": Key(text),
    "clinic_days": Key(several(one_of(WEEKDAYS, "weekday")), is_required=True),
    "appointment_time": Key(clock_time, is_required=True),
    "appointment_minutes": Key(whole),
    "phone": Key(text, is_required=True),
    "phone_hours": Key(text, is_required=True),
    "emergency_number": Key(text, is_required=True),
    "paper_size": Key(one_of(Paper.values, "paper")),
    "address_lines": Key(several(text), is_required=True),
    "place_in_messages": Key(text, is_required=True),
    "organiser_email": Key(text, is_required=True),
}
SESSIONS = {
    "starts": Key(clock_time, is_required=True),
    "months_past": Key(whole, is_required=True),
    "months_ahead": Key(whole, is_required=True),
    "full_soon": Key(whole),
    "nearly_full_soon": Key(whole),
    "room_for": Key(lambda value: dict(value), is_required=True),
}
CLOSED = {
    "name": Key(text, is_required=True),
    "weeks_ahead": Key(whole, is_required=True),
    "weekday": Key(one_of(WEEKDAYS, "weekday"), is_required=True),
}
STAFF = {
    "username": Key(text, is_required=True),
    "name": Key(text, is_required=True),
    "role": Key(one_of(Role.values, "role"), is_required=True),
}
TOP = {
    "password": Key(text, is_required=True),
    "clinic": Key(lambda value: value, is_required=True),
    "sessions": Key(lambda value: value, is_required=True),
    "closed": Key(lambda value: value),
    "staff": Key(lambda value: value, is_required=True),
}


@dataclass(frozen=True, slots=True)
class Closed:
    """A day the clinic is shut, counted from the day of loading."""

    name: str
    weeks_ahead: int
    weekday: str

    def on(self, today: date) -> date:
        """Give the day: that weekday in the week so many weeks ahead."""
        monday = today - timedelta(days=today.weekday())
        return monday + timedelta(weeks=self.weeks_ahead, days=WEEKDAYS.index(self.weekday))


@dataclass(frozen=True, slots=True)
class DemoStaff:
    """Somebody who works at the invented clinic."""

    username: str
    name: str
    role: str


@dataclass(frozen=True, slots=True)
class DemoClinic:
    """Everything clinic.toml says."""

    password: str
    site: Mapping[str, Any]
    starts: time
    months_past: int
    months_ahead: int
    room_for: Mapping[str, int]
    n_full: int  # sessions soon to come that shall have no room left
    n_nearly_full: int  # … and one place left at each station
    closed: tuple[Closed, ...]
    staff: tuple[DemoStaff, ...]

    @property
    def site_key(self) -> UUID:
        """Give the fixed public identifier by which the demo's site is known."""
        return self.site["uuid"]

    def one_of_each_role(self) -> list[DemoStaff]:
        """Give the first member of staff of each role, clerk first."""
        return [next(each for each in self.staff if each.role == role) for role in Role.values]


def read_clinic(folder: Path = FOLDER) -> DemoClinic:
    """Read clinic.toml. Raises StoryFaults."""
    faults: list[str] = []
    document = read_toml(folder / "clinic.toml", faults)
    found = {} if faults else read_table(document, TOP, "clinic.toml", faults)
    site = read_table(found.get("clinic", {}), CLINIC, "clinic.toml: clinic", faults) if found else {}
    sessions = read_table(found.get("sessions", {}), SESSIONS, "clinic.toml: sessions", faults) if found else {}
    closed = _rows(found, "closed", CLOSED, faults)
    staff = _rows(found, "staff", STAFF, faults)
    faults += _wrong_rooms(sessions.get("room_for", {}))
    faults += [
        f"clinic.toml: staff: nobody is {role}."
        for role in Role.values
        if role not in {each.get("role") for each in staff}
    ]
    if faults:
        raise StoryFaults(faults)
    return DemoClinic(
        password=found["password"],
        site={name: list(value) if isinstance(value, tuple) else value for name, value in site.items()},
        starts=sessions["starts"],
        months_past=sessions["months_past"],
        months_ahead=sessions["months_ahead"],
        room_for=sessions["room_for"],
        n_full=sessions.get("full_soon", 0),
        n_nearly_full=sessions.get("nearly_full_soon", 0),
        closed=tuple(Closed(**row) for row in closed),
        staff=tuple(DemoStaff(**row) for row in staff),
    )


def _rows(found: Mapping[str, Any], name: str, keys: Mapping[str, Key], faults: list[str]) -> list[dict[str, Any]]:
    rows = enumerate(found.get(name, []), start=1)
    return [read_table(row, keys, f"clinic.toml: {name} {n}", faults) for n, row in rows]


def _wrong_rooms(room_for: Mapping[str, Any]) -> list[str]:
    wrong = {name: places for name, places in room_for.items() if name not in Station.values or not _is_count(places)}
    stations = ", ".join(Station.values)
    return [f"clinic.toml: sessions.room_for.{name}: a number of places at one of: {stations}." for name in wrong]


def _is_count(places: object) -> bool:
    return isinstance(places, int) and not isinstance(places, bool) and places >= 0
