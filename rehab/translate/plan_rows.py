"""Rows of the plan as records and back."""

import re
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from typing import Any

from rehab.engine.plan import PlannedVisit as Row
from rehab.engine.plan import Reason
from rehab.models import PlannedVisit

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def row_fields(row: Row) -> dict[str, Any]:
    """Turn one row of a plan into the fields of its record; the record's name fields stay out."""
    return {
        "title": row.title,
        "target_on": row.target_on,
        "earliest_on": row.earliest_on,
        "latest_on": row.latest_on,
        "placed_on": row.placed_on,
        "deadline_on": row.deadline_on,
        "planning_on": row.planning_on,
        "day": row.day,
        "healing_day": row.healing_day,
        "in_window": row.in_window,
        "contents": list(row.contents),
        "stations": list(row.stations),
        "together_with": list(row.together_with),
        "with_film": row.with_film,
        "only_if_not_united": row.only_if_not_united,
        "is_real": row.is_real,
        "state": row.state.value,
        "why": [reason_values(reason) for reason in row.why],
    }


def reason_values(reason: Reason) -> dict[str, Any]:
    """Write a reason as plain JSON values; dates as YYYY-MM-DD."""
    values = {name: _plain(value) for name, value in reason.values.items()}
    return {"rule": reason.rule, "code": reason.code, "values": values}


def _plain(value: object) -> object:
    if isinstance(value, date | datetime):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, list | tuple | set | frozenset):
        return [_plain(item) for item in value]
    return value


def reasons_of(record: PlannedVisit) -> tuple[Reason, ...]:
    """Read a record's reasons back into the engine's values."""
    return tuple(
        Reason(was["rule"], was["code"], {name: _read_back(value) for name, value in was["values"].items()})
        for was in record.why
    )


def _read_back(value: object) -> object:
    if isinstance(value, list):
        return tuple(_read_back(item) for item in value)
    if isinstance(value, str) and _DAY.fullmatch(value):
        return date.fromisoformat(value)
    return value
