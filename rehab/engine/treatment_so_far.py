"""What starts anew with each treatment, and an alert while the course is told."""

from dataclasses import dataclass, field
from datetime import date

from rehab.engine.alignment import AlignmentWatch
from rehab.engine.facts import Stage, Treatment
from rehab.engine.pathway import Pathway, StageRule
from rehab.engine.planned import Level, Reason
from rehab.engine.visit_book import VisitBook
from rehab.engine.weight_bearing import GateVisit, OrderBook


@dataclass(slots=True)
class RaisedAlert:
    """An alert while the course is told."""

    level: Level
    kind: str
    on: date
    reasons: list[Reason]
    treatment: int
    visit: str | None = None


@dataclass(slots=True)
class TreatmentSoFar:
    """Everything that starts anew with each treatment."""

    number: int
    treatment: Treatment
    pathway: Pathway
    book: VisitBook
    watch: AlignmentWatch
    orders: OrderBook = field(default_factory=OrderBook)
    gate_codes: dict[Stage, list[str]] = field(default_factory=dict)
    clot_closed_on: date | None = None
    is_alarm_unanswered: bool = False  # an urgent alert since the surgeon's last order
    reviewed: tuple[StageRule, ...] = ()  # the steps whose gate is looked at again when not met

    @property
    def stage(self) -> Stage:
        """The stage in force: non-weightbearing until an order takes effect."""
        order = self.orders.now
        return order.stage if order is not None else Stage.NWB

    def missing_for_discharge(self, *, union_confirmed_on: date | None) -> tuple[str, ...]:
        """Name what a discharge still needs (R24): union, an unrestricted stage, the clot review closed."""
        asked = {
            "union confirmed": union_confirmed_on is not None,
            "unrestricted weightbearing": self.stage in {Stage.WBAT, Stage.FWB},
            "clot review closed": self.clot_closed_on is not None,
        }
        return tuple(name for name, is_there in asked.items() if not is_there)

    def gate_visit(self, rule: StageRule) -> GateVisit:
        """Give the visit where a stage's gate is looked at: the newest row of its newest code."""
        anchor = self.treatment.on
        codes = self.gate_codes.setdefault(rule.stage, [rule.gate_visit])
        row, first = self.book.latest(codes[-1]), self.book.first(codes[0])
        if row is None or first is None:
            return GateVisit(rule.gate_visit, anchor, anchor, frozenset(codes), anchor, anchor)
        since = min(first.window.earliest, first.placed or first.window.earliest)
        return GateVisit(row.code, row.placed, row.window.earliest, frozenset(codes), since, anchor)
