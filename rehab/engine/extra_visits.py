"""Visits the timetable does not have: why each is added (S10, S12, S16). What happens at each is pathway data."""

from dataclasses import dataclass
from datetime import date

from rehab.engine.pathway import SharedRules, VisitRule
from rehab.engine.planned import Reason


@dataclass(frozen=True, slots=True)
class AddedVisit:
    """One kind of added visit. Its window, deadline, contents and stations come from the shared rules."""

    rule_code: str
    reason_code: str
    title: str
    data: str  # the name of its contents and stations in SharedRules
    deadline: str  # the name of its deadline after a miss in SharedRules
    with_film: bool
    never_early: bool = False
    stops_at_union: bool = False

    def rule(self, shared: SharedRules) -> VisitRule:
        """Make the visit's rule; it gets its code where it is added."""
        return VisitRule(
            code="",
            title=self.title,
            target_day=0,
            earliest_day=0,
            latest_day=0,
            contents=(),
            stations=getattr(shared, self.data).stations,
            missed_deadline_days=getattr(shared, self.deadline),
            with_film=self.with_film,
            is_extra=True,
        )

    def contents(self, shared: SharedRules) -> tuple[str, ...]:
        """Give what happens at it, for its own row or for the visit that serves instead."""
        lines: tuple[str, ...] = getattr(shared, self.data).contents
        return lines

    def reason(self, cause_on: date) -> Reason:
        """Say why the visit is added."""
        return Reason(self.rule_code, self.reason_code, {"cause_on": cause_on})


GATE_REVIEW = AddedVisit(
    "S10", "gate_review", "Review of the next stage", "gate_review_visit", "gate_review_deadline_days", with_film=False
)
WEDGE_FILM = AddedVisit(
    "S12", "film_after_wedging", "Extra film", "extra_film_visit", "extra_film_deadline_days", with_film=True
)
SLIP_FILM = AddedVisit(
    "S12", "film_after_slip", "Extra film", "extra_film_visit", "extra_film_deadline_days", with_film=True
)
UNION_FILM = AddedVisit(
    "S16",
    "nonunion_film",
    "Film to decide on healing",
    "nonunion_film_visit",
    "nonunion_film_deadline_days",
    with_film=True,
    never_early=True,
    stops_at_union=True,
)
