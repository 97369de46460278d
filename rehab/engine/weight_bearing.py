"""Weight bearing: the ladder of stages that may be ordered, the gates between them, the stage in force.

The ladder never moves anybody. It says which stage may be ordered, from when, behind
which gate and by whom; only a recorded order changes the stage in force, and without
an order since the anchor the leg is non-weightbearing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from rehab.engine.alignment import FilmColour, FilmJudgement
from rehab.engine.facts import Authoriser, Injury, Stage, StageOrdered, Weight
from rehab.engine.findings import Finding, FindingsBook
from rehab.engine.pathway import GateRule, Pathway, SharedRules, StageRule
from rehab.engine.planned import GateState, LadderRow, Reason, StageNow
from rehab.engine.union import UnionWatch


@dataclass(frozen=True, slots=True)
class GateVisit:
    """The visit at which a gate is looked at, as it stands today."""

    code: str
    placed_on: date | None
    earliest_on: date
    codes: frozenset[str]  # this visit and the ones it follows (after a gate not met)
    since: date  # findings and films from this day on belong to the gate
    anchor: date  # nothing found before it opens a gate of this treatment

    def newest(self, findings: FindingsBook, name: str) -> Finding | None:
        """Give the newest value of a finding that belongs to this gate."""
        return findings.newest(name, visits=self.codes, since=self.since, anchor=self.anchor)


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a gate looks at."""

    findings: FindingsBook
    films: Sequence[FilmJudgement]  # of the current baseline, oldest first
    union: UnionWatch
    shared: SharedRules


@dataclass(slots=True)
class OrderBook:
    """The effective orders of one treatment, oldest first, and who tried what else."""

    orders: list[StageOrdered] = field(default_factory=list)
    surgeons_highest: int = -1  # rank of the highest stage a surgeon has ordered

    def take(self, order: StageOrdered) -> None:
        """Add an order that takes effect."""
        self.orders.append(order)
        if order.by is Authoriser.SURGEON:
            self.surgeons_highest = max(self.surgeons_highest, order.stage.rank)

    @property
    def now(self) -> StageOrdered | None:
        """The order in force."""
        return self.orders[-1] if self.orders else None

    def latest_for(self, stage: Stage) -> StageOrdered | None:
        """Give the newest effective order of a stage."""
        return next((order for order in reversed(self.orders) if order.stage is stage), None)

    def surgeons_first_for(self, stage: Stage) -> date | None:
        """Give the day a surgeon first ordered a stage."""
        days = [order.on for order in self.orders if order.stage is stage and order.by is Authoriser.SURGEON]
        return min(days, default=None)

    def surgeon_reached(self, stage: Stage) -> bool:
        """Say whether a surgeon has ordered this stage or a higher one."""
        return self.surgeons_highest >= stage.rank


def has_default(pathway: Pathway, injury: Injury) -> bool:
    """Say whether the pathway has a default ladder for this injury, or the surgeon must choose (R32)."""
    letter = injury.fracture_class[:1]
    return not (
        letter in pathway.no_default_classes
        or injury.open_grade in pathway.no_default_grades
        or injury.circumstances & pathway.shared.no_default_circumstances
    )


def ladder_rules(pathway: Pathway, injury: Injury, orders: OrderBook) -> tuple[StageRule, ...]:
    """Give the steps in force: the pathway's, or those left when there is no default (R32)."""
    if has_default(pathway, injury):
        return pathway.stages
    may_go_on = orders.surgeons_first_for(Stage.WBAT) is not None
    return tuple(rule for rule in pathway.stages_without_default if may_go_on or rule.stage is Stage.NWB)


def cap_kg(stage: Stage, weights: Sequence[Weight], on: date, shared: SharedRules) -> int | None:
    """Give the load a stage allows, in whole kilograms rounded down; None without a limit or a fresh weight.

    Whole tenths of a kilogram times the stage's percentage; a weight of `fresh_days` or
    more before `on` is too old, a later one counts as fresh (W15, R39, R40).
    """
    percent = shared.stages[stage].percent
    if percent is None:
        return None
    if percent == 0:
        return 0
    newest = max(weights, key=lambda weight: weight.weighed_on, default=None)
    if newest is None or (on - newest.weighed_on).days >= shared.weights.fresh_days:
        return None
    return newest.tenths_kg * percent // 1000


def ladder(
    rules: Sequence[StageRule],
    gate_visits: Mapping[Stage, GateVisit],
    orders: OrderBook,
    evidence: Evidence,
    weights: Sequence[Weight],
    pathway: Pathway,
) -> tuple[LadderRow, ...]:
    """Write the ladder: each stage with its day, gate, cap and authorisers."""
    rows: list[LadderRow] = []
    for rule in rules:
        visit = gate_visits[rule.stage]
        not_before = _not_before(rule, visit, rows[-1] if rows else None, orders, pathway.shared)
        cap = None if not_before is None else cap_kg(rule.stage, weights, not_before, pathway.shared)
        gates = tuple(gate_state(gate, visit, evidence) for gate in rule.gates)
        rows.append(LadderRow(rule.stage, not_before, cap, visit.code, gates, authorisers(rule, pathway)))
    return tuple(rows)


def authorisers(rule: StageRule, pathway: Pathway) -> tuple[Authoriser, ...]:
    """Give who may order a stage; some only once this pathway version is signed (R37)."""
    signed = rule.authorised_when_signed if pathway.approved_by is not None else ()
    return (*rule.authorised_by, *(by for by in signed if by not in rule.authorised_by))


def _not_before(
    rule: StageRule, visit: GateVisit, below: LadderRow | None, orders: OrderBook, shared: SharedRules
) -> date | None:
    """Date a step: never before its gate visit, that visit's window, or the least days in the stage below (R33)."""
    if visit.placed_on is None:
        computed = None
    else:
        computed = max(visit.placed_on, visit.earliest_on)
        if below is not None:
            order_below = orders.latest_for(_stage_below(rule, below, orders))
            since = order_below.on if order_below else below.not_before
            if since is not None:
                computed = max(computed, since + timedelta(days=shared.min_days_in_stage))
    ordered_on = orders.surgeons_first_for(rule.stage)
    if ordered_on is not None and (computed is None or ordered_on < computed):
        return ordered_on
    return computed


def _stage_below(rule: StageRule, below: LadderRow, orders: OrderBook) -> Stage:
    """Give the stage a step follows: the ladder's, or the one a surgeon chose where there is no default."""
    chosen = [order.stage for order in orders.orders if below.stage.rank < order.stage.rank < rule.stage.rank]
    return chosen[-1] if chosen else below.stage


def gate_state(gate: GateRule, visit: GateVisit, evidence: Evidence) -> GateState:
    """Look at one bar of a gate: met, not met, or None while nothing is recorded (which counts as not met)."""
    met, value, on = _READERS.get(gate.finding, _recorded)(gate, visit, evidence)
    return GateState(gate.finding, gate.at_most, gate.at_least, gate.equals, met, value, on)


Reading = tuple[bool | None, int | bool | None, date | None]


def _recorded(gate: GateRule, visit: GateVisit, evidence: Evidence) -> Reading:
    found = visit.newest(evidence.findings, gate.finding)
    if found is None:
        return None, None, None
    if gate.equals is not None:
        return found.value is gate.equals, found.value, found.on
    number = int(found.value)
    met = number <= gate.at_most if gate.at_most is not None else number >= (gate.at_least or 0)
    if gate.at_most is not None and found.has_risen(evidence.shared.union.pain_rise):
        met = False  # M8: pain that rose keeps the gate shut, however low
    return met, number, found.on


def _films_in_limits(gate: GateRule, visit: GateVisit, evidence: Evidence) -> Reading:
    wanted = gate.at_least or 1
    newest = list(evidence.films[-wanted:])
    if not newest:
        return None, None, None
    good = sum(1 for film in newest if film.colour is FilmColour.GREEN)
    on = newest[-1].film.on
    if good < len(newest):
        return False, good, on
    is_enough = len(newest) == wanted and on >= visit.since
    return (True if is_enough else None), good, on


def _callus_count(visit: GateVisit, evidence: Evidence) -> tuple[int | None, date | None]:
    for judgement in reversed(evidence.films):
        score = judgement.film.score
        if score is not None and judgement.film.on >= visit.since:
            from_score = evidence.shared.union.callus_from
            seen = sum(1 for cortex in score.cortices if cortex is not None and cortex >= from_score)
            return seen, judgement.film.on
    return None, None


def _callus_cortices(gate: GateRule, visit: GateVisit, evidence: Evidence) -> Reading:
    seen, on = _callus_count(visit, evidence)
    return (None if seen is None else seen >= (gate.at_least or 0)), seen, on


def _callus_or_fading(gate: GateRule, visit: GateVisit, evidence: Evidence) -> Reading:
    seen, seen_on = _callus_count(visit, evidence)
    fading = visit.newest(evidence.findings, "fading_line_cortices")
    counts = [(seen, seen_on)] if seen is not None else []
    if fading is not None:
        counts.append((int(fading.value), fading.on))
    if not counts:
        return None, None, None
    best, on = max(counts, key=lambda pair: pair[0])
    return best >= (gate.at_least or 0), best, on


def _union_confirmed(gate: GateRule, visit: GateVisit, evidence: Evidence) -> Reading:
    confirmed_on = evidence.union.confirmed_on
    return (True if confirmed_on else None), (True if confirmed_on else None), confirmed_on


_READERS = {
    "films_in_limits": _films_in_limits,
    "callus_cortices": _callus_cortices,
    "callus_or_fading_cortices": _callus_or_fading,
    "union_confirmed": _union_confirmed,
}


def why_order_has_no_effect(
    order: StageOrdered, rows: Sequence[LadderRow], now: Stage, *, is_alarm_unanswered: bool
) -> Reason | None:
    """Say why an order changes nothing, or None when it takes effect at once (R36, R37, R49).

    A surgeon may order any stage on any day. A physiotherapist may always go down; up only
    one step, to a step that names the physiotherapist, from its day on, with every bar of
    its gate met, and not while a surgeon has still to answer an urgent alert.
    """
    if order.by is Authoriser.SURGEON or order.stage.rank <= now.rank:
        return None
    values = {"stage": order.stage.value, "now": now.value, "by": order.by.value}
    row = next((row for row in rows if row.stage is order.stage), None)
    if row is None or order.by not in row.authorised_by:
        return Reason("R37", "order_needs_surgeon", values)
    below = rows[rows.index(row) - 1].stage if row is not rows[0] else row.stage
    if now.rank < below.rank:
        return Reason("R36", "order_skips_a_step", {**values, "below": below.value})
    if is_alarm_unanswered:
        return Reason("R49", "order_alarm_unanswered", values)
    if row.not_before is None or order.on < row.not_before:
        return Reason("R37", "order_too_early", {**values, "not_before": row.not_before})
    shut = tuple(gate.finding for gate in row.gates if gate.met is not True)
    if shut:
        return Reason("R37", "order_gate_shut", {**values, "findings": shut})
    return None


def stage_now(orders: OrderBook, anchor_on: date, weights: Sequence[Weight], shared: SharedRules) -> StageNow:
    """Give the stage in force; without an order since the anchor it is non-weightbearing (R31)."""
    order = orders.now
    if order is None:
        return StageNow(Stage.NWB, cap_kg(Stage.NWB, weights, anchor_on, shared), anchor_on, None)
    return StageNow(order.stage, cap_kg(order.stage, weights, order.on, shared), order.on, order.by)


@dataclass(frozen=True, slots=True)
class StageDecision:
    """The next step up from the stage in force, and what it still waits for."""

    row: LadderRow | None
    days_to_wait: int | None  # None: its gate visit has no place yet
    bars_shut: tuple[GateState, ...]

    @property
    def is_open(self) -> bool:
        """True when the step may be ordered now; it still needs a named person's order."""
        return self.row is not None and self.days_to_wait == 0 and not self.bars_shut


def next_stage(rows: Sequence[LadderRow], now: StageNow, *, on: date) -> StageDecision:
    """Say which weight-bearing stage comes next, and what it waits for on a day.

    A nailed patient goes to full weight bearing by this rule like everybody else: the day
    must have come and every bar of the gate must be met. A finding nobody has recorded keeps
    its bar shut. The numbers and their sources are in the pathway files.
    """
    row = next((row for row in rows if row.stage.rank > now.stage.rank), None)
    if row is None:
        return StageDecision(None, 0, ())
    shut = tuple(gate for gate in row.gates if gate.met is not True)
    days = None if row.not_before is None else max(0, (row.not_before - on).days)
    return StageDecision(row, days, shut)
