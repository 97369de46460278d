"""What must hold between the numbers of the shared rules and the figures, and that each has a source."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from rehab.engine.pathway_checks import check_window
from rehab.engine.pathway_faults import (
    LOAD_FALLS,
    NO_SOURCE,
    NO_VALUE,
    NOT_ABOVE,
    OUT_OF_ORDER,
    OUT_OF_RANGE,
    PERCENT_OF_COUNT,
    STAGES_MISSING,
    TWICE,
    UNUSED_SOURCE,
    Fault,
    unknown_name,
)
from rehab.engine.pathway_kinds import (
    Table,
    holds_number,
    inner,
    is_number,
    row_place,
    rows,
    texts,
    whole_numbers,
    within,
)
from rehab.engine.pathway_shapes import STAGES

# Pairs of shared numbers of which the first may not be above the second.
NOT_ABOVE_PAIRS = (
    ("alignment.change_of_angle", "amber_from_degrees", "red_from_degrees"),
    ("alignment.growth_of_shortening", "amber_above_mm", "red_above_mm"),
    ("body_weight", "accepted_from_kg", "confirm_below_kg"),
    ("body_weight", "confirm_below_kg", "confirm_above_kg"),
    ("body_weight", "confirm_above_kg", "accepted_to_kg"),
    ("union.possible_non_union", "months_without_progress", "months_since_injury"),
    ("scale_practice.touch", "median_percent", "single_percent"),
)


# ---------------------------------------------------------------- shared rules


def check_shared(file: str, document: Table) -> Iterator[Fault]:
    """Bands, windows, stages and circumstances of the shared rules."""
    for place, low, high in NOT_ABOVE_PAIRS:
        yield from _check_not_above(file, place, inner(document, place), low, high)
    for place in ("gate_review", "extra_film"):
        yield from check_window(file, place, inner(document, place))
    yield from _check_low_scores(file, rows(inner(document, "union"), "low_score"))
    yield from _check_once(file, document, "circumstance", "code")
    yield from _check_stage_words(file, rows(document, "stage"))


def _check_not_above(file: str, place: str, table: Table, low: str, high: str) -> Iterator[Fault]:
    lowest, highest = table.get(low), table.get(high)
    if is_number(lowest) and is_number(highest) and lowest > highest:
        values = {"low_key": low, "low": lowest, "high_key": high, "high": highest}
        yield Fault(file, place, NOT_ABOVE, values)


def _check_low_scores(file: str, bands: list[Table]) -> Iterator[Fault]:
    places = [row_place("union", "low_score", number, row, "code") for number, row in enumerate(bands, 1)]
    for place, band in zip(places, bands, strict=True):
        yield from _check_not_above(file, place, band, "from_day", "to_day")
    timed = [
        (place, band) for place, band in zip(places, bands, strict=True) if whole_numbers(band, "from_day", "to_day")
    ]
    for (before, earlier), (place, later) in pairwise(timed):
        if later["from_day"] <= earlier["to_day"]:
            yield Fault(file, place, OUT_OF_ORDER, {"before": before})


def _check_once(file: str, document: Table, key: str, named_by: str) -> Iterator[Fault]:
    first: dict[str, str] = {}
    for number, row in enumerate(rows(document, key), 1):
        name, place = row.get(named_by), row_place("", key, number, row, named_by)
        if isinstance(name, str) and first.setdefault(name, place) != place:
            yield Fault(file, place, TWICE, {"name": name, "first": first[name]})


def _check_stage_words(file: str, stages: list[Table]) -> Iterator[Fault]:
    found = [stage.get("stage") for stage in stages]
    if stages and found != list(STAGES):
        yield Fault(file, "stage", STAGES_MISSING, {"found": ", ".join(map(str, found)), "right": ", ".join(STAGES)})
    most = 0
    for number, stage in enumerate(stages, 1):
        percent, place = stage.get("percent"), row_place("", "stage", number, stage, "stage")
        if type(percent) is int:
            if percent > 100:
                yield Fault(file, place, OUT_OF_RANGE, {"key": "percent", "found": percent, "low": 0, "high": 100})
            elif percent < most:
                yield Fault(file, place, LOAD_FALLS, {"percent": percent})
            most = max(most, percent)


# ---------------------------------------------------------------- figures


def check_figures(file: str, document: Table) -> Iterator[Fault]:
    """Each figure has a number, its range is in order, and a percentage fits its counts."""
    yield from _check_once(file, document, "figure", "name")
    yield from _check_once(file, document, "fracture_type", "code")
    for number, figure in enumerate(rows(document, "figure"), 1):
        place = row_place("", "figure", number, figure, "name")
        if "value" not in figure and not {"from", "to"} <= set(figure):
            yield Fault(file, place, NO_VALUE)
        yield from _check_not_above(file, place, figure, "from", "to")
        yield from _check_not_above(file, place, figure, "count", "of")
        yield from _check_percentage(file, place, figure)


def _check_percentage(file: str, place: str, figure: Table) -> Iterator[Fault]:
    counts, value = whole_numbers(figure, "count", "of"), figure.get("value")
    if figure.get("unit") != "per cent" or not counts or not counts[1] or not is_number(value):
        return
    count, of = counts
    right = round(Fraction(100 * count, of), _decimals(value))
    if count <= of and right != value:
        words = {"value": value, "count": count, "of": of, "right": f"{float(right):g}"}
        yield Fault(file, place, PERCENT_OF_COUNT, words)


def _decimals(value: Decimal | int) -> int:
    exponent = Decimal(value).as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


# ---------------------------------------------------------------- sources


def check_sources(documents: Mapping[str, Table], known: Table) -> Iterator[Fault]:
    """Every number stands beside sources, and every named source exists."""
    for file, document in documents.items():
        for place, table in tables_of(document):
            named = table.get("sources")
            for key in texts(table, "sources"):
                if key not in known:
                    yield unknown_name(file, place, "source", key, known)
            if named is not None:
                continue
            yield from (
                Fault(file, place, NO_SOURCE, {"key": key}) for key, value in table.items() if holds_number(value)
            )


def unused_sources(documents: Mapping[str, Table], known: Table, file: str) -> list[Fault]:
    """A warning for each source that nothing names."""
    tables = [table for document in documents.values() for _, table in tables_of(document)]
    used = {key for table in tables for key in texts(table, "sources")}
    return [Fault(file, key, UNUSED_SOURCE) for key in known if key not in used]


def tables_of(table: Table, place: str = "") -> Iterator[tuple[str, Table]]:
    """This table and every table inside it, each with its place."""
    yield place, table
    for key, value in table.items():
        if isinstance(value, dict):
            yield from tables_of(value, within(place, key))
        for number, row in enumerate(rows(table, key), 1):
            yield from tables_of(row, row_place(place, key, number, row, _naming_key(row)))


def _naming_key(row: Table) -> str:
    return next((key for key in ("code", "stage", "finding", "name") if key in row), "")


def count_numbers(document: Table) -> int:
    """How many numbers and times a file holds, counted one by one in lists too."""
    return sum(_count(value) for _, table in tables_of(document) for value in table.values())


def _count(value: object) -> int:
    if isinstance(value, list):
        return sum(holds_number(item) for item in value)
    return int(holds_number(value))
