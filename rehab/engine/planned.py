"""The plan as frozen values: visits, ladder, tasks, reminders, alerts, each with its reasons."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from rehab.engine.facts import Authoriser, Stage, TreatmentKind


@dataclass(frozen=True, slots=True)
class Reason:
    """Why: the rule, a code for its words (rehab/words), and the values that go into them."""

    rule: str  # "S5", "R33" ...
    code: str  # "nearest_open_day" ...
    values: Mapping[str, object] = field(default_factory=dict)


class VisitState(StrEnum):
    """What became of a planned visit."""

    PLANNED = "planned"
    ATTENDED = "attended"
    MISSED = "missed"
    CANCELLED = "cancelled"


@dataclass(frozen=True, slots=True)
class PlannedVisit:
    """One row of the plan."""

    code: str
    treatment: int  # 1 for the first treatment, 2 after a conversion ...
    title: str
    target_on: date
    earliest_on: date
    latest_on: date
    placed_on: date | None
    day: int | None  # days from the treatment's anchor
    healing_day: int | None  # days from the injury
    in_window: bool
    contents: tuple[str, ...]
    stations: tuple[str, ...]
    only_if_not_united: bool
    state: VisitState
    is_real: bool  # False: a starred visit that is not (yet) to be booked
    planning_on: date
    why: tuple[Reason, ...]
    deadline_on: date | None = None
    together_with: tuple[str, ...] = ()
    with_film: bool = False
    is_booked: bool = False
    attempt: int = 1  # 2 for the row that follows a first miss, and so on


@dataclass(frozen=True, slots=True)
class GateState:
    """One bar of a gate: met is None while nothing is recorded, which counts as not met."""

    finding: str
    at_most: int | None
    at_least: int | None
    equals: bool | None
    met: bool | None
    value: int | bool | None = None
    recorded_on: date | None = None


@dataclass(frozen=True, slots=True)
class LadderRow:
    """One step of the ladder: from when the stage may be ordered, behind which gate, by whom."""

    stage: Stage
    not_before: date | None
    cap_kg: int | None
    gate_visit: str
    gates: tuple[GateState, ...]
    authorised_by: tuple[Authoriser, ...]


@dataclass(frozen=True, slots=True)
class StageNow:
    """The stage in force. Without an order since the anchor: non-weightbearing."""

    stage: Stage
    cap_kg: int | None
    since: date
    ordered_by: Authoriser | None


class TaskState(StrEnum):
    """What became of a task."""

    OPEN = "open"
    OVERDUE = "overdue"
    CLOSED = "closed"
    CANCELLED = "cancelled"


@dataclass(frozen=True, slots=True)
class Task:
    """Something a clinician must do by a day (`due_on`) or an instant (`due_at`, UTC)."""

    kind: str  # "clot prevention review", "consultant review", "antibiotic review", ...
    due_on: date
    state: TaskState
    treatment: int
    due_at: datetime | None = None
    why: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class Reminder:
    """A reminder still to be sent. `send_at` is UTC."""

    visit: str
    number: int
    send_at: datetime
    treatment: int
    visit_on: date


class Level(StrEnum):
    """How urgent an alert is."""

    RED = "RED"
    AMBER = "AMBER"
    INFO = "INFO"

    @property
    def urgency(self) -> int:
        """2 for RED, 1 for AMBER, 0 for INFO."""
        return {"RED": 2, "AMBER": 1, "INFO": 0}[self.value]


@dataclass(frozen=True, slots=True)
class Alert:
    """Something a person must look at; all reasons in one alert a film and kind."""

    level: Level
    kind: str  # alignment | high risk | delayed union | possible non-union | union suggested | missed | scope
    on: date
    reasons: tuple[Reason, ...]
    is_open: bool = True
    visit: str | None = None


@dataclass(frozen=True, slots=True)
class Scope:
    """Whether this tool may plan the course at all, and what a surgeon must sign off first."""

    refused_because: tuple[Reason, ...] = ()
    needs_sign_off: tuple[Reason, ...] = ()

    @property
    def is_accepted(self) -> bool:
        """True unless refused."""
        return not self.refused_because


@dataclass(frozen=True, slots=True)
class Unmatched:
    """A history entry that fits no visit of the plan: position in the sorted history, and the code."""

    index: int
    visit: str


@dataclass(frozen=True, slots=True)
class FilmState:
    """How one film compares: GREEN is `in_limits`; None when a needed measurement is missing."""

    on: date
    index: int  # position in the sorted history
    state: str | None  # "green", "amber", "red", or None
    reasons: tuple[Reason, ...]
    is_new_baseline: bool


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that follows from a course on one day."""

    pathway_treatment: TreatmentKind
    pathway_version: str
    approved_by: str | None
    scope: Scope
    anchor_on: date
    healing_clock_from: date
    visits: tuple[PlannedVisit, ...]
    stages: tuple[LadderRow, ...]
    stage_now: StageNow
    tasks: tuple[Task, ...]
    reminders: tuple[Reminder, ...]
    alerts: tuple[Alert, ...]
    films: tuple[FilmState, ...] = ()
    union_confirmed_on: date | None = None
    ended_on: date | None = None
    unmatched: tuple[Unmatched, ...] = ()
