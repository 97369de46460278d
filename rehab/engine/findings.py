"""Findings as they are recorded: the newest of each name, and pain that rose."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from rehab.engine.facts import GateFindings
from rehab.engine.pathway import PAIN_FINDINGS
from rehab.engine.planned import Reason


@dataclass(frozen=True, slots=True)
class Finding:
    """One recorded value of one finding."""

    on: date
    visit: str
    value: int | bool
    before: int | bool | None  # the value recorded before this one, at any visit

    def has_risen(self, by: int) -> bool:
        """Say whether the value is at least `by` above the one before it (M8)."""
        return self.before is not None and int(self.value) - int(self.before) >= by


@dataclass(slots=True)
class FindingsBook:
    """All findings of a course, by name, oldest first."""

    by_name: dict[str, list[Finding]] = field(default_factory=dict)

    def record(self, entry: GateFindings) -> dict[str, Finding]:
        """Add the findings of one entry; returns each with the value before it."""
        added = {}
        for name, value in entry.findings.items():
            series = self.by_name.setdefault(name, [])
            finding = Finding(entry.on, entry.visit, value, series[-1].value if series else None)
            series.append(finding)
            added[name] = finding
        return added

    def newest(self, name: str, *, visits: frozenset[str], since: date, anchor: date) -> Finding | None:
        """Give the newest value of the present treatment: recorded for one of the visits, or on or after a day.

        What was found before the anchor belongs to an earlier treatment, whose visits may have the same codes.
        """
        for finding in reversed(self.by_name.get(name, [])):
            if finding.on < anchor:
                return None
            if finding.visit in visits or finding.on >= since:
                return finding
        return None


def alarming(recorded: Mapping[str, Finding], *, pain_rise: int | None) -> list[Reason]:
    """Give what is urgent in one entry: changed implants, and new pain (R59).

    `pain_rise` is the rise that matters, or None while the score has risen too, which explains the pain.
    """
    reasons = [
        Reason("R59", "new_pain", {"finding": name, "value": found.value, "before": found.before})
        for name, found in recorded.items()
        if pain_rise is not None and name in PAIN_FINDINGS and found.has_risen(pain_rise)
    ]
    implants = recorded.get("implants_unchanged")
    if implants is not None and implants.value is False:
        reasons.append(Reason("R59", "implants_changed", {}))
    return reasons
