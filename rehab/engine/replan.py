"""What changes when something is recorded: two plans compared, visit by visit."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from rehab.engine.planned import Alert, Plan, PlannedVisit, Reason, VisitState

Key = tuple[int, str, int]


class ChangeKind(StrEnum):
    """What became of one visit between two plans."""

    KEPT = "kept"
    MOVED = "moved"
    ADDED = "added"
    DROPPED = "dropped"


@dataclass(frozen=True, slots=True)
class VisitChange:
    """One visit before and after, and why. `before` is None when added, `after` when it has no row any more."""

    kind: ChangeKind
    before: PlannedVisit | None
    after: PlannedVisit | None
    reason: Reason

    @property
    def visit(self) -> PlannedVisit:
        """The visit as it stands, or as it last stood."""
        found = self.after or self.before
        assert found is not None
        return found


@dataclass(frozen=True, slots=True)
class PlanDifference:
    """All that differs between two plans of one course."""

    visits: tuple[VisitChange, ...]
    new_alerts: tuple[Alert, ...]
    stage_changed: bool

    def of_kind(self, kind: ChangeKind) -> tuple[VisitChange, ...]:
        """Give the visits that were kept, moved, added or dropped."""
        return tuple(change for change in self.visits if change.kind is kind)


def compare(before: Plan | None, after: Plan) -> PlanDifference:
    """Compare two plans of one course: kept, moved, added, dropped, each with its reason.

    A visit is told apart by treatment, code and attempt (the row that follows a miss is a
    new attempt). Only visits that are to be booked count; without an older plan every one
    is added.
    """
    old, new = _live(before.visits if before else ()), _live(after.visits)
    changes = [_change(old.get(key), visit) for key, visit in new.items()]
    rows = {_key(visit): visit for visit in after.visits}
    changes += [_dropped(visit, rows.get(key), after) for key, visit in old.items() if key not in new]
    known = set(_alert_keys(before.alerts)) if before else set()
    return PlanDifference(
        visits=tuple(sorted(changes, key=_by_day)),
        new_alerts=tuple(alert for alert in after.alerts if _alert_key(alert) not in known),
        stage_changed=before is not None and before.stage_now.stage is not after.stage_now.stage,
    )


def _key(visit: PlannedVisit) -> Key:
    return visit.treatment, visit.code, visit.attempt


def _live(visits: Iterable[PlannedVisit]) -> dict[Key, PlannedVisit]:
    return {_key(visit): visit for visit in visits if visit.is_real and visit.state is not VisitState.CANCELLED}


def _change(old: PlannedVisit | None, new: PlannedVisit) -> VisitChange:
    if old is None:
        return VisitChange(ChangeKind.ADDED, None, new, new.why[0])
    if old.placed_on == new.placed_on:
        return VisitChange(ChangeKind.KEPT, old, new, new.why[0])
    moved = next((reason for reason in new.why if reason not in old.why), None)
    if moved is None:
        moved = Reason("R17", new.state.value, {"on": new.placed_on})
    return VisitChange(ChangeKind.MOVED, old, new, moved)


def _dropped(old: PlannedVisit, row: PlannedVisit | None, after: Plan) -> VisitChange:
    """Say why a visit is no longer to come: converted, ended, united, or no longer needed."""
    if after.ended_on is not None:
        reason = Reason("R24", "plan_ended", {"on": after.ended_on})
    elif row is not None and old.treatment < max((visit.treatment for visit in after.visits), default=1):
        reason = Reason("S11", "converted", {"on": after.anchor_on})
    elif after.union_confirmed_on is not None:
        reason = Reason("R23", "united", {"on": after.union_confirmed_on})
    else:
        reason = Reason("R35", "no_longer_needed", {})
    return VisitChange(ChangeKind.DROPPED, old, row, reason)


def _by_day(change: VisitChange) -> tuple[date, str]:
    return change.visit.placed_on or change.visit.target_on, change.visit.code


def _alert_key(alert: Alert) -> tuple[object, ...]:
    return alert.kind, alert.on, alert.level, alert.visit, tuple(reason.code for reason in alert.reasons)


def _alert_keys(alerts: Iterable[Alert]) -> list[tuple[object, ...]]:
    return [_alert_key(alert) for alert in alerts]
