"""Reading a table of a demo file: every key known, every value of its kind, every fault with its place."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from difflib import get_close_matches
from typing import Any

Convert = Callable[[Any], Any]  # raises ValueError with what would be right


@dataclass(frozen=True, slots=True)
class Key:
    """A key a table may have: how its value is read, and whether it must be there."""

    read: Convert
    is_required: bool = False


def read_table(table: object, keys: Mapping[str, Key], place: str, faults: list[str]) -> dict[str, Any]:
    """Give the values of a table by key; note every unknown key, wrong value and missing key."""
    if not isinstance(table, dict):
        faults.append(f"{place}: a table is wanted here.")
        return {}
    found = {}
    for name, value in table.items():
        if name not in keys:
            faults.append(f"{place}: {unknown(name, keys, 'key')}")
            continue
        try:
            found[name] = keys[name].read(value)
        except ValueError as wrong:
            faults.append(f"{place}.{name}: {wrong}")
    missing = [name for name, key in keys.items() if key.is_required and name not in table]
    faults += [f"{place}: “{name}” is missing." for name in missing]
    return found


def unknown(name: object, known: Iterable[str], what: str) -> str:
    """Say that a name is not known, with the nearest one that is."""
    known = sorted(known)
    near = get_close_matches(str(name), known, n=1)
    hint = f"did you mean “{near[0]}”?" if near else f"known: {', '.join(known)}."
    return f"“{name}” is not a known {what}; {hint}"


def text(value: object) -> str:
    """Read a text that is not empty."""
    if not isinstance(value, str) or not value.strip():
        raise ValueError(f"a text is wanted, not {shown(value)}.")
    return value.strip()


def yes_no(value: object) -> bool:
    """Read true or false."""
    if not isinstance(value, bool):
        raise ValueError(f"true or false is wanted, not {shown(value)}.")
    return value


def only_yes(value: object) -> bool:
    """Read a mark that is there or not: only true can be written."""
    if value is not True:
        raise ValueError("true is wanted; when it did not happen, leave the line out.")
    return True


def whole(value: object) -> int:
    """Read a whole number from 0 up."""
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        raise ValueError(f"a whole number is wanted, not {shown(value)}.")
    return value


def kilograms(value: object) -> Decimal:
    """Read a weight in kilograms."""
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise ValueError(f"a weight in kilograms is wanted, such as 72.0, not {shown(value)}.")
    return Decimal(value)


def clock_time(value: object) -> time:
    """Read a clinic time such as 15:00:00 or "15:00"."""
    if isinstance(value, time):
        return value
    try:
        return time.fromisoformat(text(value))
    except ValueError:
        raise ValueError(f'a time such as "15:00" is wanted, not {shown(value)}.') from None


def month_and_day(value: object) -> str:
    """Read a birthday such as "02-27"; 29 February is left out, so that it exists in every year."""
    found = re.fullmatch(r"(\d\d)-(\d\d)", value) if isinstance(value, str) else None
    try:
        assert found is not None
        date(2001, int(found[1]), int(found[2]))
    except (AssertionError, ValueError):
        raise ValueError(f'a birthday such as "02-27" is wanted, not {shown(value)}.') from None
    return found[0]


def one_of(known: Iterable[str], what: str) -> Convert:
    """Make a reader of one word out of a few."""
    known = tuple(known)

    def read(value: object) -> str:
        if value not in known:
            raise ValueError(unknown(value, known, what))
        return str(value)

    return read


def member(words: type, what: str) -> Convert:
    """Make a reader of one member of an enumeration."""
    by_value = {each.value: each for each in words}  # type: ignore[attr-defined]
    read_word = one_of(by_value, what)
    return lambda value: by_value[read_word(value)]


def several(read: Convert) -> Convert:
    """Make a reader of a list."""

    def read_all(value: object) -> tuple[Any, ...]:
        if not isinstance(value, list):
            raise ValueError(f"a list in brackets is wanted, not {shown(value)}.")
        return tuple(read(each) for each in value)

    return read_all


def shown(value: object) -> str:
    """Write a value as it stands in the file."""
    return f"“{value}”"
