"""What must hold between the values of a treatment file and the modifier: windows, order, gates, codes.

Every check takes tables whose shape may be faulty, says nothing about a value the shape check
has already refused, and yields one fault for each thing that does not hold.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from rehab.engine.facts import STAGE_ORDER, Stage
from rehab.engine.pathway import FILM_FINDINGS, PAIN_FINDINGS, YES_NO_FINDINGS
from rehab.engine.pathway_faults import (
    BAR_KIND,
    FILE_NAME,
    NO_BAR,
    NO_GATE,
    NOT_APPROVABLE,
    ONE_BAR,
    ONE_DECIDES,
    OUT_OF_ORDER,
    OUT_OF_RANGE,
    STARRED_EARLY,
    TWICE,
    WINDOW,
    Fault,
    unknown_name,
)
from rehab.engine.pathway_kinds import Table, inner, row_place, rows, texts, whole_numbers
from rehab.engine.pathway_shapes import GATE_FINDINGS, STAGES

BARS = ("at_most", "at_least", "equals")
HIGHEST_PAIN = 10  # the scale itself, not a limit: pain is asked from 0 to 10
CORTICES = 4  # a bone seen from the front and the side shows four


# ---------------------------------------------------------------- a treatment and the modifier


def check_treatment(file: str, document: Table, modifier: Table) -> Iterator[Fault]:
    """Order, windows, codes, gates and authorisers of one treatment file."""
    right = file.removesuffix(".toml")
    if document.get("treatment", right) != right:
        yield Fault(file, "", FILE_NAME, {"found": document["treatment"], "right": right})
    ward = inner(document, "ward_visit")
    yield from check_window(file, "ward_visit", ward)
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
        yield from check_window(file, place, visit)
    timed = [(place, row) for place, row in zip(places, visits, strict=True) if type(row.get("target_day")) is int]
    for (before, earlier), (place, later) in pairwise(timed):
        if earlier["target_day"] > later["target_day"] and not _adds_for_fewer(earlier, later):
            yield Fault(file, place, OUT_OF_ORDER, {"before": before})


def _adds_for_fewer(earlier: Table, later: Table) -> bool:
    """True for two rows of the modifier that never stand in one plan's order together."""
    return not set(texts(earlier, "treatments", ("*",))) & set(texts(later, "treatments", ("*",)))


def check_window(file: str, place: str, table: Table) -> Iterator[Fault]:
    """A window runs from earliest over target to latest."""
    days = whole_numbers(table, "earliest_day", "target_day", "latest_day")
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
    added = [row for row in rows(modifier, "visit") if treatment in texts(row, "treatments")]
    visits = [inner(document, "ward_visit"), *rows(document, "visit"), *added]
    return {row["code"]: row.get("target_day") for row in visits if isinstance(row.get("code"), str)}


def _check_codes_once(file: str, document: Table, modifier: Table) -> Iterator[Fault]:
    first: dict[str, str] = {}
    for place, row in [
        ("ward_visit", inner(document, "ward_visit")),
        *((f"open_fracture.toml, {row_place('', 'visit', n, row, '')}", row) for n, row in _numbered(modifier)),
        *((row_place("", "visit", n, row, "code"), row) for n, row in _numbered(document)),
    ]:
        code = row.get("code")
        if isinstance(code, str) and first.setdefault(code, place) != place:
            yield Fault(file, place, TWICE, {"name": code, "first": first[code]})


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
        already = set(texts(step, "authorised_by"))
        for name in texts(step, "authorised_when_signed"):
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
    if not rows(step, "gate") and step.get("stage") in STAGES and step["stage"] != Stage.NWB:
        yield Fault(file, place, NO_GATE, {"stage": step["stage"]})
    for number, gate in enumerate(rows(step, "gate"), 1):
        here = row_place(place, "gate", number, gate, "finding")
        bars = [bar for bar in BARS if bar in gate]
        if not bars:
            yield Fault(file, here, NO_BAR)
        elif len(bars) > 1:
            yield Fault(file, here, ONE_BAR, {"found": ", ".join(bars)})
        else:
            yield from _check_bar(file, here, gate, bars[0])


def _check_bar(file: str, place: str, gate: Table, bar: str) -> Iterator[Fault]:
    finding, value = gate.get("finding"), gate[bar]
    if finding not in GATE_FINDINGS:
        return
    is_yes_no = finding in YES_NO_FINDINGS
    if is_yes_no and bar != "equals":
        yield Fault(file, place, BAR_KIND, {"finding": finding, "right": "equals = true or false", "bar": bar})
    elif not is_yes_no and bar == "equals":
        yield Fault(file, place, BAR_KIND, {"finding": finding, "right": "at_most or at_least", "bar": bar})
    elif type(value) is int and finding not in FILM_FINDINGS:
        high = HIGHEST_PAIN if finding in PAIN_FINDINGS else CORTICES
        if value > high:
            yield Fault(file, place, OUT_OF_RANGE, {"key": bar, "found": value, "low": 0, "high": high})
