"""One entry of the history as a fact."""

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from rehab.engine.facts import (
    AntibioticReviewClosed,
    Attended,
    Authoriser,
    Booked,
    ClinicalUnion,
    ClotReviewClosed,
    Discharged,
    Film,
    GateFindings,
    HistoryEntry,
    Missed,
    Score,
    ScoreScale,
    Stage,
    StageOrdered,
    UnionConfirmed,
    Wedged,
)
from rehab.files.structure import exact

Row = Mapping[str, Any]
MINUS = ("varus", "apex posterior")  # signed angles: these count below zero


def history_entry(row: Row) -> HistoryEntry:
    """Turn a checked entry into its fact."""
    return _FACTS[row["what"]](date.fromisoformat(row["on"]), row)


def _film(on: date, row: Row) -> Film:
    return Film(
        on=on,
        coronal=_angle(row.get("coronal")),
        sagittal=_angle(row.get("sagittal")),
        rotation=_measure(row.get("rotation_degrees")),
        shortening=_measure(row.get("shortening_mm")),
        contact=_measure(row.get("contact_percent")),
        is_baseline=row.get("baseline", False),
        score=_score(row.get("score")),
    )


def _measure(value: object) -> Decimal | None:
    return None if value is None else exact(value)


def _angle(row: Row | None) -> Decimal | None:
    if row is None or row["degrees"] is None:
        return None
    degrees = exact(row["degrees"])
    return -degrees if degrees and row.get("toward") in MINUS else degrees


def _score(row: Row | None) -> Score | None:
    if row is None:
        return None
    medial, lateral, anterior, posterior = (None if value is None else int(value) for value in row["cortices"])
    return Score(ScoreScale(row["scale"]), (medial, lateral, anterior, posterior))


def _findings(row: Row) -> dict[str, int | bool]:
    return {name: value if isinstance(value, bool) else int(value) for name, value in row["findings"].items()}


_FACTS: dict[str, Callable[[date, Row], HistoryEntry]] = {
    "attended": lambda on, row: Attended(on, row["visit"]),
    "missed": lambda on, row: Missed(on, row["visit"]),
    "booked": lambda on, row: Booked(on, row["visit"], date.fromisoformat(row["place_on"])),
    "film": _film,
    "gate findings": lambda on, row: GateFindings(on, row["visit"], _findings(row)),
    "stage ordered": lambda on, row: StageOrdered(on, Stage(row["stage"]), Authoriser(row["by"])),
    "wedged": lambda on, _row: Wedged(on),
    "clinical union": lambda on, row: ClinicalUnion(on, row["yes"]),
    "union confirmed": lambda on, _row: UnionConfirmed(on),
    "clot review closed": lambda on, _row: ClotReviewClosed(on),
    "antibiotic review closed": lambda on, _row: AntibioticReviewClosed(on),
    "discharged": lambda on, row: Discharged(on, row.get("reason")),
}
