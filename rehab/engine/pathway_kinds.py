"""What a table of a pathway file may hold: kinds of values, keys, shapes, and the check of a table against one."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, time
from decimal import Decimal
from typing import Any, TypeGuard

from rehab.engine.pathway_faults import (
    EMPTY,
    MISSING_KEY,
    NO_SOURCE,
    WRONG_KIND,
    Fault,
    gettext_noop,
    unknown_key,
    unknown_name,
)

Table = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Kind:
    """What a value must be, in words and as a test."""

    words: str
    fits: Callable[[Any], bool]


def is_number(value: object) -> TypeGuard[Decimal | int]:
    """True for a whole number or a finite decimal; true and false are none, nor is "nan"."""
    if isinstance(value, Decimal):
        return value.is_finite()
    return isinstance(value, int) and not isinstance(value, bool)


def _is_text_list(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(item, str) and item.strip() for item in value)


# No day, hour, month or kilogram of a pathway comes near the upper bound: it catches a slip of the finger.
WHOLE = Kind(gettext_noop("a whole number from 0 to 9999"), lambda value: type(value) is int and 0 <= value <= 9999)
COUNT = Kind(gettext_noop("a whole number, 0 or more"), lambda value: type(value) is int and value >= 0)
NUMBER = Kind(gettext_noop("a number"), is_number)
POSITIVE = Kind(gettext_noop("a number, 0 or more"), lambda value: is_number(value) and value >= 0)
TEXT = Kind(gettext_noop("a text in quotation marks"), lambda value: isinstance(value, str))
YES_NO = Kind(gettext_noop("true or false"), lambda value: isinstance(value, bool))
TEXTS = Kind(gettext_noop("a list of texts"), _is_text_list)
CLOCK = Kind(gettext_noop("a time of day such as 10:00:00"), lambda value: isinstance(value, time))


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a table. With `names` the value, or each item of a list, must be one of them."""

    kind: Kind
    is_required: bool = True
    names: tuple[str, ...] = ()
    may_be_empty: bool = False


@dataclass(frozen=True, slots=True)
class Shape:
    """One table: its keys, the tables inside it, and the lists of tables ([[...]]) inside it."""

    keys: Mapping[str, Key]
    tables: Mapping[str, "Shape"] = field(default_factory=dict)
    lists: Mapping[str, "Shape"] = field(default_factory=dict)
    optional: frozenset[str] = frozenset()  # tables and lists that may be absent
    named_by: str = ""  # the key that tells one table of a list from another


def check_shape(file: str, place: str, table: Table, shape: Shape) -> Iterator[Fault]:
    """Every fault of one table and of the tables inside it."""
    known = {**shape.keys, **shape.tables, **shape.lists}
    yield from (unknown_key(file, place, key, known) for key in table if key not in known)
    for key, wanted in shape.keys.items():
        yield from _check_key(file, place, table, key, wanted)
    for key, inner in shape.tables.items():
        yield from _check_inner(file, place, table, key, inner, shape)
    for key, inner in shape.lists.items():
        yield from _check_list(file, place, table, key, inner, shape)


def _check_key(file: str, place: str, table: Table, key: str, wanted: Key) -> Iterator[Fault]:
    if key not in table:
        if wanted.is_required:
            yield from _missing(file, place, table, key, wanted.kind.words)
        return
    value = table[key]
    if not wanted.kind.fits(value):
        yield Fault(file, place, WRONG_KIND, {"key": key, "found": in_toml(value), "kind": wanted.kind.words})
    elif value in ("", []) and not wanted.may_be_empty:
        yield Fault(file, place, EMPTY, {"key": key, "kind": wanted.kind.words})
    elif wanted.names:
        items = value if isinstance(value, list) else [value]
        yield from (unknown_name(file, place, key, item, wanted.names) for item in items if item not in wanted.names)


def _missing(file: str, place: str, table: Table, key: str, kind: str) -> Iterator[Fault]:
    numbers = [name for name, value in table.items() if holds_number(value)]
    if key == "sources" and numbers:
        yield from (Fault(file, place, NO_SOURCE, {"key": name}) for name in numbers)
    else:
        yield Fault(file, place, MISSING_KEY, {"key": key, "kind": kind})


def _check_inner(file: str, place: str, table: Table, key: str, inner: Shape, shape: Shape) -> Iterator[Fault]:
    words = gettext_noop("a table in square brackets")
    if key not in table:
        if key not in shape.optional:
            yield Fault(file, place, MISSING_KEY, {"key": key, "kind": words})
    elif not isinstance(table[key], dict):
        yield Fault(file, place, WRONG_KIND, {"key": key, "found": in_toml(table[key]), "kind": words})
    else:
        yield from check_shape(file, within(place, key), table[key], inner)


def _check_list(file: str, place: str, table: Table, key: str, inner: Shape, shape: Shape) -> Iterator[Fault]:
    words = gettext_noop("a table in double square brackets")
    rows = table.get(key, [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        yield Fault(file, place, WRONG_KIND, {"key": key, "found": in_toml(rows), "kind": words})
        return
    if not rows and key not in shape.optional:
        yield Fault(file, place, MISSING_KEY, {"key": key, "kind": words})
    for number, row in enumerate(rows, start=1):
        yield from check_shape(file, row_place(place, key, number, row, inner.named_by), row, inner)


def within(place: str, key: str) -> str:
    """The place of a table inside another."""
    return f"{place}, {key}" if place else key


def row_place(place: str, key: str, number: int, row: Table, named_by: str) -> str:
    """The place of one table of a list: its number and, where it has one, its name."""
    name = row.get(named_by) if named_by else None
    return within(place, f"{key} {number} “{name}”" if isinstance(name, str) else f"{key} {number}")


def in_toml(value: object) -> str:
    """A value as it would be written in the file, cut short."""
    if isinstance(value, bool):
        return "true" if value else "false"
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 40 else f"{text[:39]}…"


def holds_number(value: object) -> bool:
    """True for a number, a time, a date, or a list with one of these in it."""
    if isinstance(value, list):
        return any(holds_number(item) for item in value)
    return is_number(value) or isinstance(value, time | date)


def rows(table: Table, key: str) -> list[Table]:
    """The tables of a list, or none when the key holds something else."""
    found = table.get(key, [])
    return [row for row in found if isinstance(row, dict)] if isinstance(found, list) else []


def inner(document: Table, dotted: str) -> Table:
    """The table at a dotted place, or an empty one."""
    found: object = document
    for key in dotted.split("."):
        found = found.get(key, {}) if isinstance(found, dict) else {}
    return found if isinstance(found, dict) else {}


def texts(table: Table, key: str, otherwise: tuple[str, ...] = ()) -> tuple[str, ...]:
    """The texts of a list, or `otherwise` when the key holds something else."""
    found = table.get(key)
    return tuple(item for item in found if isinstance(item, str)) if isinstance(found, list) else otherwise


def whole_numbers(table: Table, *keys: str) -> list[int] | None:
    """The whole numbers under these keys, or None when one of them is absent or something else."""
    values = [table.get(key) for key in keys]
    return [value for value in values if type(value) is int] if all(type(v) is int for v in values) else None
