"""What must hold between the values of the pathway files: order, windows, gates, sources.

Every check takes tables whose shape may be faulty, says nothing about a value the shape check
has already refused, and yields one fault for each thing that does not hold.
"""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from itertools import pairwise

from rehab.engine.facts import STAGE_ORDER, Stage, TreatmentKind
from rehab.engine.pathway import FILM_FINDINGS, PAIN_FINDINGS, YES_NO_FINDINGS
from rehab.engine.pathway_faults import (
    BAR_KIND,
    FILE_NAME,
    LOAD_FALLS,
    NO_SOURCE,
    NO_VALUE,
    NOT_ABOVE,
    NOT_APPROVABLE,
    ONE_BAR,
    ONE_DECIDES,
    OUT_OF_ORDER,
    OUT_OF_RANGE,
    PERCENT_OF_COUNT,
    STAGES_MISSING,
    STARRED_EARLY,
    TWICE,
    UNUSED_SOURCE,
    WINDOW,
    Fault,
    gettext_noop,
    unknown_name,
)
from rehab.engine.pathway_shapes import STAGES, Table, holds_number, row_place, within

BARS = ("at_most", "at_least", "equals")
HIGHEST_PAIN = 10  # the scale itself, not a limit: pain is asked from 0 to 10
CORTICES = 4  # a bone seen from the front and the side shows four
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


def _whole(table: Table, *keys: str) -> list[int] | None:
    values = [table.get(key) for key in keys]
    return values if all(type(value) is int for value in values) else None


# ---------------------------------------------------------------- a treatment and the modifier


def check_treatment(file: str, document: Table, modifier: Table) -> Iterator[Fault]:
    """Order, windows, codes, gates and authorisers of one treatment file."""
    right = file.removesuffix(".toml")
    if document.get("treatment", right) != right:
        yield Fault(file, "", FILE_NAME, {"found": document["treatment"], "right": right})
    ward = inner(document, "ward_visit")
    yield from _check_window(file, "ward_visit", ward)
    yield from check_visits(file, document)
    yield from _check_deciding_visit(file, document)
    days = _days_by_code(document, modifier, right)
    consultant = document.get("consultant_visit")
    if isinstance(consultant, str) and consultant not in days:
        yield unknown_name(file, "", "consultant_visit", consultant, days)
    yield from _check_codes_once(file, document, modifier)
    for key in ("stage", "stage_without_default"):
        yield from _check_ladder(file, document, key, days)


def check_visits(file: str, document: Table) -> Iterator[Fault]:
    """Windows and order of the visits of one file."""
    visits = rows(document, "visit")
    places = [row_place("", "visit", number, row, "code") for number, row in enumerate(visits, 1)]
    for place, visit in zip(places, visits, strict=True):
        yield from _check_window(file, place, visit)
    timed = [(place, row) for place, row in zip(places, visits, strict=True) if type(row.get("target_day")) is int]
    for (before, earlier), (place, later) in pairwise(timed):
        if earlier["target_day"] > later["target_day"] and not _adds_for_fewer(earlier, later):
            yield Fault(file, place, OUT_OF_ORDER, {"before": before})


def _adds_for_fewer(earlier: Table, later: Table) -> bool:
    """True for two rows of the modifier that never stand in one plan's order together."""
    return not set(_texts(earlier, "treatments", ("*",))) & set(_texts(later, "treatments", ("*",)))


def _texts(table: Table, key: str, otherwise: tuple[str, ...] = ()) -> tuple[str, ...]:
    found = table.get(key)
    return tuple(item for item in found if isinstance(item, str)) if isinstance(found, list) else otherwise


def _check_window(file: str, place: str, table: Table) -> Iterator[Fault]:
    days = _whole(table, "earliest_day", "target_day", "latest_day")
    if days and not days[0] <= days[1] <= days[2]:
        yield Fault(file, place, WINDOW, {"earliest": days[0], "target": days[1], "latest": days[2]})


def _check_deciding_visit(file: str, document: Table) -> Iterator[Fault]:
    visits = rows(document, "visit")
    deciding = [index for index, visit in enumerate(visits) if visit.get("decides_delayed_union") is True]
    if visits and len(deciding) != 1:
        yield Fault(file, "", ONE_DECIDES, {"count": len(deciding)})
    for index, visit in enumerate(visits):
        if visit.get("only_if_not_united") is True and not any(decides < index for decides in deciding):
            yield Fault(file, row_place("", "visit", index + 1, visit, "code"), STARRED_EARLY)


def _days_by_code(document: Table, modifier: Table, treatment: str) -> dict[str, object]:
    added = [row for row in rows(modifier, "visit") if treatment in _texts(row, "treatments")]
    visits = [inner(document, "ward_visit"), *rows(document, "visit"), *added]
    return {row["code"]: row.get("target_day") for row in visits if isinstance(row.get("code"), str)}


def _check_codes_once(file: str, document: Table, modifier: Table) -> Iterator[Fault]:
    first: dict[object, str] = {}
    for place, row in [
        ("ward_visit", inner(document, "ward_visit")),
        *((f"open_fracture.toml, {row_place('', 'visit', n, row, '')}", row) for n, row in _numbered(modifier)),
        *((row_place("", "visit", n, row, "code"), row) for n, row in _numbered(document)),
    ]:
        code = row.get("code")
        if code in first:
            yield Fault(file, place, TWICE, {"name": code, "first": first[code]})
        elif isinstance(code, str):
            first[code] = place


def _numbered(document: Table) -> list[tuple[int, Table]]:
    return list(enumerate(rows(document, "visit"), 1))


def _check_ladder(file: str, document: Table, key: str, days: Mapping[str, object]) -> Iterator[Fault]:
    steps = rows(document, key)
    places = [row_place("", key, number, row, "stage") for number, row in enumerate(steps, 1)]
    for place, step in zip(places, steps, strict=True):
        visit = step.get("gate_visit")
        if isinstance(visit, str) and visit not in days:
            yield unknown_name(file, place, "gate_visit", visit, days)
        yield from _check_gates(file, place, step)
        already = set(_texts(step, "authorised_by"))
        for name in _texts(step, "authorised_when_signed"):
            if name in already:
                yield Fault(file, place, NOT_APPROVABLE, {"name": name})
    yield from _check_ladder_order(file, places, steps, days)


def _check_ladder_order(
    file: str, places: list[str], steps: list[Table], days: Mapping[str, object]
) -> Iterator[Fault]:
    known = [(place, step) for place, step in zip(places, steps, strict=True) if step.get("stage") in STAGES]
    for (before, lower), (place, higher) in pairwise(known):
        rise = STAGE_ORDER[Stage(higher["stage"])] - STAGE_ORDER[Stage(lower["stage"])]
        if rise == 0:
            yield Fault(file, place, TWICE, {"name": higher["stage"], "first": before})
        first, second = (days.get(str(step.get("gate_visit"))) for step in (lower, higher))
        is_late = isinstance(first, int) and isinstance(second, int) and first > second
        if rise < 0 or is_late:
            yield Fault(file, place, OUT_OF_ORDER, {"before": before})


def _check_gates(file: str, place: str, step: Table) -> Iterator[Fault]:
    for number, gate in enumerate(rows(step, "gate"), 1):
        here = row_place(place, "gate", number, gate, "finding")
        bars = [bar for bar in BARS if bar in gate]
        if len(bars) != 1:
            found = " and ".join(bars) or gettext_noop("none of them")
            yield Fault(file, here, ONE_BAR, {"found": found})
        else:
            yield from _check_bar(file, here, gate, bars[0])


def _check_bar(file: str, place: str, gate: Table, bar: str) -> Iterator[Fault]:
    finding, value = gate.get("finding"), gate[bar]
    is_yes_no = finding in YES_NO_FINDINGS
    if is_yes_no and bar != "equals":
        yield Fault(file, place, BAR_KIND, {"finding": finding, "right": "equals = true or false", "bar": bar})
    elif not is_yes_no and bar == "equals":
        yield Fault(file, place, BAR_KIND, {"finding": finding, "right": "at_most or at_least", "bar": bar})
    elif type(value) is int and finding not in FILM_FINDINGS:
        high = HIGHEST_PAIN if finding in PAIN_FINDINGS else CORTICES
        if value > high:
            yield Fault(file, place, OUT_OF_RANGE, {"key": bar, "found": value, "low": 0, "high": high})


# ---------------------------------------------------------------- shared rules


def check_shared(file: str, document: Table) -> Iterator[Fault]:
    """Bands, windows, stages and circumstances of the shared rules."""
    for place, low, high in NOT_ABOVE_PAIRS:
        yield from _check_not_above(file, place, inner(document, place), low, high)
    for place in ("gate_review", "extra_film"):
        yield from _check_window(file, place, inner(document, place))
    yield from _check_low_scores(file, rows(inner(document, "union"), "low_score"))
    yield from _check_once(file, document, "circumstance", "code")
    yield from _check_stage_words(file, rows(document, "stage"))


def _check_not_above(file: str, place: str, table: Table, low: str, high: str) -> Iterator[Fault]:
    lowest, highest = table.get(low), table.get(high)
    if all(isinstance(value, int | Decimal) for value in (lowest, highest)) and lowest > highest:
        values = {"low_key": low, "low": lowest, "high_key": high, "high": highest}
        yield Fault(file, place, NOT_ABOVE, values)


def _check_low_scores(file: str, bands: list[Table]) -> Iterator[Fault]:
    places = [row_place("union", "low_score", number, row, "code") for number, row in enumerate(bands, 1)]
    for place, band in zip(places, bands, strict=True):
        yield from _check_not_above(file, place, band, "from_day", "to_day")
    timed = [(place, band) for place, band in zip(places, bands, strict=True) if _whole(band, "from_day", "to_day")]
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
        yield from _check_percentage(file, place, figure)


def _check_percentage(file: str, place: str, figure: Table) -> Iterator[Fault]:
    counts, value = _whole(figure, "count", "of"), figure.get("value")
    if figure.get("unit") != "per cent" or not counts or not counts[1] or not isinstance(value, int | Decimal):
        return
    exact = Decimal(100 * counts[0]) / counts[1]
    right = exact.quantize(Decimal(value)) if isinstance(value, Decimal) else exact.quantize(Decimal(1))
    if right != value:
        yield Fault(
            file, place, PERCENT_OF_COUNT, {"value": value, "count": counts[0], "of": counts[1], "right": right}
        )


# ---------------------------------------------------------------- sources


def check_sources(documents: Mapping[str, Table], known: Table) -> Iterator[Fault]:
    """Every number stands beside sources, and every named source exists."""
    for file, document in documents.items():
        for place, table in tables_of(document):
            named = table.get("sources")
            for key in _texts(table, "sources"):
                if key not in known:
                    yield unknown_name(file, place, "source", key, known)
            if named is not None:
                continue
            yield from (
                Fault(file, place, NO_SOURCE, {"key": key}) for key, value in table.items() if holds_number(value)
            )


def unused_sources(documents: Mapping[str, Table], known: Table, file: str) -> list[Fault]:
    """A warning for each source that nothing names."""
    used = {
        key for document in documents.values() for _, table in tables_of(document) for key in _texts(table, "sources")
    }
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


def check_all(documents: Mapping[str, Table], sources: Table | None) -> list[Fault]:
    """Every relation between and inside the files that could be read."""
    faults: list[Fault] = []
    modifier = documents.get("open_fracture.toml", {})
    for kind in TreatmentKind:
        file = f"{kind.value}.toml"
        if file in documents:
            faults += check_treatment(file, documents[file], modifier)
    if "open_fracture.toml" in documents:
        faults += check_visits("open_fracture.toml", modifier)
    if "shared_rules.toml" in documents:
        faults += check_shared("shared_rules.toml", documents["shared_rules.toml"])
    for file in ("classification.toml", "milestones.toml", "published_figures.toml"):
        faults += check_figures(file, documents.get(file, {}))
    if sources is not None:
        faults += check_sources(documents, sources)
    return faults
