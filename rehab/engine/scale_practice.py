"""Practice on a scale: can the person reproduce the load? Failing changes nothing by itself; a surgeon is asked."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median_low

from rehab.engine.facts import Stage
from rehab.engine.pathway import SharedRules
from rehab.engine.planned import Reason

TENTHS = 10  # of a kilogram


@dataclass(frozen=True, slots=True)
class PracticeBand:
    """What the tries are held against, in whole kilograms; None: no such limit."""

    median_from_kg: int | None
    median_to_kg: int
    single_to_kg: int


def practice_band(stage: Stage, tenths_kg: int, shared: SharedRules) -> PracticeBand | None:
    """Give the band for a limited stage and a body weight in tenths of a kilogram, or None where nothing is practised.

    Touch weight bearing has no lower limit, and no single try may pass the smaller of two
    limits; otherwise the middle try lies near the limit, and no single try passes the limit
    of the next stage (W16, R43). Local: no published tolerance was found.
    """
    rules, percent = shared.scale_practice, shared.stages[stage].percent
    if rules is None or not percent:
        return None
    if stage is Stage.TTWB:
        single = min(rules.touch_single_kg, tenths_kg * rules.touch_single_percent // 1000)
        return PracticeBand(None, tenths_kg * rules.touch_median_percent // 1000, single)
    cap = tenths_kg * percent // 1000
    above = [words.percent for words in shared.stages.values() if words.percent and words.stage.rank > stage.rank]
    singles = [cap + rules.part_single_over_kg, *(tenths_kg * each // 1000 for each in above)]
    return PracticeBand(max(0, cap - rules.part_median_under_kg), cap + rules.part_median_over_kg, min(singles))


def why_practice_fails(band: PracticeBand, tries_tenths_kg: Sequence[int], shared: SharedRules) -> tuple[Reason, ...]:
    """Say why the tries (tenths of a kilogram each) do not reproduce the load; empty when they do.

    Raises ValueError when there are not as many tries as the rule asks for.
    """
    rules = shared.scale_practice
    if rules is None or len(tries_tenths_kg) != rules.tries:
        raise ValueError(f"practice takes {rules.tries if rules else 0} tries, not {len(tries_tenths_kg)}")
    middle, largest = median_low(tries_tenths_kg), max(tries_tenths_kg)
    reasons = []
    if middle > band.median_to_kg * TENTHS:
        reasons.append(Reason("W16", "practice_middle_over", {"tenths_kg": middle, "limit": band.median_to_kg}))
    if band.median_from_kg is not None and middle < band.median_from_kg * TENTHS:
        reasons.append(Reason("W16", "practice_middle_under", {"tenths_kg": middle, "limit": band.median_from_kg}))
    if largest > band.single_to_kg * TENTHS:
        reasons.append(Reason("W16", "practice_single_over", {"tenths_kg": largest, "limit": band.single_to_kg}))
    return tuple(reasons)
