"""Visits the timetable does not have: why each is added, and what happens at it (S10, S12, S16)."""

from dataclasses import dataclass
from datetime import date

from rehab.engine.pathway import SharedRules, VisitRule
from rehab.engine.planned import Reason


@dataclass(frozen=True, slots=True)
class ExtraVisit:
    """One kind of added visit. Its window and deadline come from the shared rules."""

    rule_code: str
    reason_code: str
    title: str
    contents: tuple[str, ...]
    stations: tuple[str, ...]
    deadline: str  # the name of the number in SharedRules
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
            stations=self.stations,
            missed_deadline_days=getattr(shared, self.deadline),
            with_film=self.with_film,
            is_extra=True,
        )

    def reason(self, cause_on: date) -> Reason:
        """Say why the visit is added."""
        return Reason(self.rule_code, self.reason_code, {"cause_on": cause_on})


GATE_REVIEW = ExtraVisit(
    "S10",
    "gate_review",
    "Review of the next stage",
    ("look again at what the next stage waits for",),
    ("consultation", "physiotherapy"),
    "gate_review_deadline_days",
    with_film=False,
)
WEDGE_FILM = ExtraVisit(
    "S12",
    "film_after_wedging",
    "Extra film",
    ("AP and lateral film", "alignment compared with the film after wedging"),
    ("consultation", "x_ray"),
    "extra_film_deadline_days",
    with_film=True,
)
SLIP_FILM = ExtraVisit(
    "S12",
    "film_after_slip",
    "Extra film",
    ("AP and lateral film", "alignment compared with the first and the last film"),
    ("consultation", "x_ray"),
    "extra_film_deadline_days",
    with_film=True,
)
UNION_FILM = ExtraVisit(
    "S16",
    "nonunion_film",
    "Film to decide on healing",
    ("AP and lateral film", "callus score compared with the older film"),
    ("consultation", "x_ray"),
    "nonunion_film_deadline_days",
    with_film=True,
    never_early=True,
    stops_at_union=True,
)
