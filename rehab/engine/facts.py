"""What is known of one injury: the course, as frozen values.

Dates are civil dates in the clinic's time zone; instants are aware datetimes.
Angles are signed decimal degrees (varus and apex posterior negative, valgus and apex
anterior positive), lengths decimal millimetres, weights whole tenths of a kilogram,
so that no rule ever compares floating-point numbers.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from decimal import Decimal
from enum import StrEnum
from zoneinfo import ZoneInfo


class Side(StrEnum):
    """Which leg. One course is one limb: there is no "both"."""

    LEFT = "left"
    RIGHT = "right"


class TreatmentKind(StrEnum):
    """How the bone is held."""

    LONG_LEG_CAST = "long_leg_cast"
    INTRAMEDULLARY_NAIL = "intramedullary_nail"
    PLATE_AND_SCREWS = "plate_and_screws"


class OpenGrade(StrEnum):
    """Gustilo-Anderson grade of the wound, or closed."""

    CLOSED = "closed"
    I = "I"  # noqa: E741 - the grade's name
    II = "II"
    IIIA = "IIIA"
    IIIB = "IIIB"
    IIIC = "IIIC"


class Fibula(StrEnum):
    """The state of the thinner bone beside the tibia."""

    INTACT = "intact"
    SAME_LEVEL = "same level"
    OTHER_LEVEL = "other level"


class FixationPrinciple(StrEnum):
    """How a plate holds: relative stability heals with callus, absolute stability with little."""

    RELATIVE = "relative"
    ABSOLUTE = "absolute"


class Stage(StrEnum):
    """A weight-bearing stage. Members are listed from the least load to the most."""

    NWB = "NWB"
    TTWB = "TTWB"
    PWB25 = "PWB25"
    PWB50 = "PWB50"
    PWB75 = "PWB75"
    WBAT = "WBAT"
    FWB = "FWB"

    @property
    def rank(self) -> int:
        """Position from 0 (no load) upwards, for comparing two stages."""
        return STAGE_ORDER[self]


STAGE_ORDER: dict[Stage, int] = {stage: rank for rank, stage in enumerate(Stage)}


class Authoriser(StrEnum):
    """Who may sign an order."""

    SURGEON = "surgeon"
    PHYSIOTHERAPIST = "physiotherapist"


class ScoreScale(StrEnum):
    """Scale of a callus score; two scales are never compared or converted."""

    RUST = "RUST"
    MRUST = "mRUST"


@dataclass(frozen=True, slots=True)
class Clinic:
    """Where and when the clinic sees people."""

    time_zone: ZoneInfo
    clinic_days: frozenset[int]  # Monday is 0
    appointment_time: time
    country: str
    subdivision: str | None = None
    closed_on: frozenset[date] = frozenset()
    full_on: frozenset[date] = frozenset()


@dataclass(frozen=True, slots=True)
class Weight:
    """A body weight in whole tenths of a kilogram and the day it was measured."""

    tenths_kg: int
    weighed_on: date


@dataclass(frozen=True, slots=True)
class Injury:
    """The broken tibia. `at` and `presented_at` are aware; `on` is the clinic-local date of `at`."""

    at: datetime
    on: date
    presented_at: datetime
    side: Side
    bone_segment: str
    fracture_class: str  # "A", "B" or "C", with an optional group digit: "A2"
    edition: int
    fibula: Fibula
    open_grade: OpenGrade
    wound_closed_at: datetime | None = None
    antibiotic_at: datetime | None = None
    circumstances: frozenset[str] = frozenset()  # codes from shared_rules.toml, e.g. "unlocked nail"


@dataclass(frozen=True, slots=True)
class Treatment:
    """One definitive treatment. `on` (clinic-local date of `at`) is day 0 of its plan."""

    kind: TreatmentKind
    at: datetime
    on: date
    fixation_principle: FixationPrinciple | None = None
    planned_on: date | None = None  # planning date of a person entered late


@dataclass(frozen=True, slots=True)
class Score:
    """A callus score: medial, lateral, anterior, posterior; None is a hidden cortex."""

    scale: ScoreScale
    cortices: tuple[int | None, int | None, int | None, int | None]

    @property
    def total(self) -> int | None:
        """Sum of the four cortices, or None when one is hidden: never pro rata."""
        known = [cortex for cortex in self.cortices if cortex is not None]
        return sum(known) if len(known) == len(self.cortices) else None


@dataclass(frozen=True, slots=True)
class Attended:
    """The person came to a visit."""

    on: date
    visit: str


@dataclass(frozen=True, slots=True)
class Missed:
    """The person did not come to a visit."""

    on: date
    visit: str


@dataclass(frozen=True, slots=True)
class Booked:
    """A visit was given a place in a session: recorded `on`, for the day `place_on`."""

    on: date
    visit: str
    place_on: date


@dataclass(frozen=True, slots=True)
class Film:
    """One reading of one pair of films. Every measurement may be None: not measured."""

    on: date
    coronal: Decimal | None = None  # degrees, varus negative
    sagittal: Decimal | None = None  # degrees, apex posterior negative
    rotation: Decimal | None = None  # degrees, never negative
    shortening: Decimal | None = None  # millimetres
    contact: Decimal | None = None  # per cent of cortical contact
    is_baseline: bool = False
    score: Score | None = None


@dataclass(frozen=True, slots=True)
class GateFindings:
    """Findings recorded for a visit: name to number or yes/no."""

    on: date
    visit: str
    findings: Mapping[str, int | bool]


@dataclass(frozen=True, slots=True)
class StageOrdered:
    """A named authoriser ordered a weight-bearing stage."""

    on: date
    stage: Stage
    by: Authoriser


@dataclass(frozen=True, slots=True)
class Wedged:
    """The cast was wedged to correct the alignment."""

    on: date


@dataclass(frozen=True, slots=True)
class ClinicalUnion:
    """The clinical union test: no pain or movement on stress, walks unaided without pain."""

    on: date
    yes: bool


@dataclass(frozen=True, slots=True)
class UnionConfirmed:
    """A surgeon confirmed that the bone has united."""

    on: date


@dataclass(frozen=True, slots=True)
class ClotReviewClosed:
    """A surgeon closed the clot-prevention review."""

    on: date


@dataclass(frozen=True, slots=True)
class AntibioticReviewClosed:
    """A surgeon closed an antibiotic review."""

    on: date


@dataclass(frozen=True, slots=True)
class Discharged:
    """A surgeon discharged the person; `reason` only when the usual set is not met."""

    on: date
    reason: str | None = None


HistoryEntry = (
    Attended
    | Missed
    | Booked
    | Film
    | GateFindings
    | StageOrdered
    | Wedged
    | ClinicalUnion
    | UnionConfirmed
    | ClotReviewClosed
    | AntibioticReviewClosed
    | Discharged
)


@dataclass(frozen=True, slots=True)
class Course:
    """All that is known of one injury. `history` is sorted by `on`; same-day order is kept."""

    injury: Injury
    treatments: tuple[Treatment, ...]
    history: tuple[HistoryEntry, ...] = ()
    born_on: date | None = None
    weights: tuple[Weight, ...] = field(default=())
