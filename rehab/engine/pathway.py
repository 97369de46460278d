"""A pathway as frozen values: visits, stages, gates, and the shared rules with their numbers.

Every number here comes from a file in rehab/pathways/ and carries the keys of its sources;
the rest of the engine holds rules and asks these values for the numbers.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import time
from decimal import Decimal
from functools import cached_property

from rehab.engine.facts import Authoriser, OpenGrade, Stage, TreatmentKind

Sources = tuple[str, ...]

STATIONS = ("consultation", "x_ray", "plaster", "physiotherapy")
PAIN_FINDINGS = ("rest_pain", "touch_pain", "stress_pain", "walking_pain")  # 0 to 10
CORTEX_FINDINGS = ("callus_cortices", "callus_or_fading_cortices", "fading_line_cortices")  # 0 to 4
FILM_FINDINGS = ("films_in_limits",)  # a number of films
YES_NO_FINDINGS = (
    "cast_problem",
    "implants_unchanged",
    "gait_without_limp",
    "wound_dry",
    "fixation_stable",
    "union_confirmed",
)


@dataclass(frozen=True, slots=True)
class VisitRule:
    """One planned visit. Days are civil days from the anchor (day 0 of the treatment)."""

    code: str
    title: str
    target_day: int
    earliest_day: int
    latest_day: int
    contents: tuple[str, ...]
    stations: tuple[str, ...]  # of: consultation, x_ray, plaster, physiotherapy
    missed_deadline_days: int  # rule S8: the rebooked visit must be within so many days of the miss
    with_film: bool = False  # AP and lateral film is part of the visit
    only_if_not_united: bool = False  # rule S15, marked * in print
    decides_delayed_union: bool = False  # the week-24 visit
    is_extra: bool = False  # added for a cause, not by the timetable
    if_before_window: str | None = None  # rule R30: a line added when placed before its window
    led_by: str = ""  # who sees the person, in words
    findings: tuple[str, ...] = ()  # asked and written down, beside those of the gates
    sources: Sources = ()


@dataclass(frozen=True, slots=True)
class OpenVisitRule:
    """A visit added for an open fracture (the modifier), for some grades and treatments."""

    visit: VisitRule
    grades: frozenset[OpenGrade]
    treatments: frozenset[TreatmentKind]


@dataclass(frozen=True, slots=True)
class GateRule:
    """One condition before a stage may begin.

    `finding` names what is looked at: a recorded finding (rest_pain, touch_pain, stress_pain,
    walking_pain, cast_problem, implants_unchanged, gait_without_limp, wound_dry,
    fixation_stable, fading_line_cortices) or one read from films and the record:
    `films_in_limits` (the newest `at_least` films of the baseline are all in limits),
    `callus_cortices` (cortices scored with callus on the newest film),
    `callus_or_fading_cortices` (either of the two), `union_confirmed`.
    Exactly one of at_most, at_least, equals is set.
    """

    finding: str
    at_most: int | None = None
    at_least: int | None = None
    equals: bool | None = None
    sources: Sources = ()


@dataclass(frozen=True, slots=True)
class StageRule:
    """One step of the ladder: a permission to order, never an order."""

    stage: Stage
    gate_visit: str
    gates: tuple[GateRule, ...]
    authorised_by: tuple[Authoriser, ...]
    authorised_when_signed: tuple[Authoriser, ...] = ()  # added once the pathway version is signed
    reviewed_if_not_met: bool = False  # rule S10/R35: an extra review follows a gate not met
    sources: Sources = ()


@dataclass(frozen=True, slots=True)
class Window:
    """Days from a cause: target, earliest, latest."""

    target_day: int
    earliest_day: int
    latest_day: int


@dataclass(frozen=True, slots=True)
class AlignmentLimits:
    """Limits (equal is acceptable, above is not) and the bands of change (reached = in the band)."""

    coronal_degrees: Decimal
    sagittal_degrees: Decimal
    rotation_degrees: Decimal
    shortening_mm: Decimal
    contact_percent: Decimal  # at least
    changed_degrees: Decimal  # change from this: AMBER
    over_change_degrees: Decimal  # change from this: RED
    changed_shortening_mm: Decimal  # growth above this: AMBER
    over_shortening_mm: Decimal  # growth above this: RED
    new_baseline_within_days: int  # after wedging


@dataclass(frozen=True, slots=True)
class LowScore:
    """A band of days from the anchor in which a low RUST total is flagged (AMBER, high risk)."""

    code: str  # "slow_start" or "low_score": which words
    from_day: int
    to_day: int
    at_most: int


@dataclass(frozen=True, slots=True)
class UnionRules:
    """Union suggested, delayed union, possible non-union."""

    rust_at_least: int
    mrust_at_least: int
    bridged_cortices: int
    rust_bridged_from: int
    mrust_bridged_from: int
    callus_from: int  # a cortex scored this or more has callus
    film_and_test_within_days: int
    delayed_from_healing_day: int
    nonunion_months: int  # calendar months since injury
    no_progress_months: int  # calendar months without progress
    nonunion_film_latest_days: int
    low_scores: tuple[LowScore, ...]
    pain_rise: int


@dataclass(frozen=True, slots=True)
class StageWords:
    """Load and print of one stage. `percent` of body weight is internal and never printed."""

    stage: Stage
    printed: str
    percent: int | None  # None: no limit
    name: str = ""  # the word the trade uses, e.g. "full weight bearing"


@dataclass(frozen=True, slots=True)
class WeightRules:
    """Accepted body weights, in whole tenths of a kilogram, and how long one stays fresh."""

    min_tenths_kg: int
    max_tenths_kg: int
    confirm_below_tenths_kg: int
    confirm_above_tenths_kg: int
    fresh_days: int  # an age of this many days is too old


@dataclass(frozen=True, slots=True)
class ReminderRules:
    """Reminder 1: days before at a local time; reminder 2: last working day before at a local time."""

    first_days_before: int
    first_at: time
    second_at: time


@dataclass(frozen=True, slots=True)
class ScalePractice:
    """Tolerances of practice on a scale (W16, R43). Shares are of body weight, internal, never printed."""

    tries: int
    part_median_over_kg: int
    part_median_under_kg: int
    part_single_over_kg: int  # and no try above the next stage's limit
    touch_median_percent: int
    touch_single_percent: int
    touch_single_kg: int  # the smaller of the two counts


@dataclass(frozen=True, slots=True)
class FilmReadingRules:
    """How soon a film is read, in working days; past these a person higher up is told (R48, R51, H12)."""

    unread_after: int
    amber_read_within: int
    red_second_surgeon_after: int


@dataclass(frozen=True, slots=True)
class ExtraVisit:
    """What happens at a visit that a rule adds (S10, S12, S16)."""

    contents: tuple[str, ...]
    stations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SharedRules:
    """The rules and numbers that every treatment shares (shared_rules.toml)."""

    version: str
    bone_segment: str
    adult_age: int
    alignment: AlignmentLimits
    union: UnionRules
    stages: Mapping[Stage, StageWords]
    weights: WeightRules
    reminders: ReminderRules
    min_days_in_stage: int
    no_place_within_days: int  # R14
    gate_review: Window  # S10
    gate_review_deadline_days: int  # S8/R19 for an S10 review that is missed
    extra_film: Window  # S12
    extra_film_deadline_days: int
    nonunion_film_deadline_days: int
    clot_review_first_day: int
    clot_review_every_days: int
    consultant_review_hours: int
    antibiotic_hours_after_closure: int
    antibiotic_hours_after_injury: int
    sign_off_circumstances: frozenset[str] = frozenset()
    no_default_circumstances: frozenset[str] = frozenset()
    refused_circumstances: frozenset[str] = frozenset()
    scale_practice: ScalePractice | None = None
    film_reading: FilmReadingRules | None = None
    gate_review_visit: ExtraVisit | None = None
    extra_film_visit: ExtraVisit | None = None
    nonunion_film_visit: ExtraVisit | None = None
    sources: Mapping[str, Sources] = field(default_factory=dict)  # dotted place in the file -> source keys


@dataclass(frozen=True)
class Pathway:
    """Follow-up by one treatment, with the open-fracture modifier and the shared rules joined in."""

    treatment: TreatmentKind
    title: str
    version: str
    visits: tuple[VisitRule, ...]  # booked visits only
    ward_visit: str  # the unbooked day-0 visit, e.g. "N0"
    stages: tuple[StageRule, ...]
    stages_without_default: tuple[StageRule, ...]  # R32: the ladder when the surgeon must choose
    no_default_classes: frozenset[str]  # AO letters without a default order
    no_default_grades: frozenset[OpenGrade]
    open_visits: tuple[OpenVisitRule, ...]
    shared: SharedRules
    consultant_visit: str | None = None  # C1: rule R61
    default_stage: Stage | None = None  # pre-fills the surgeon's form, never an order
    flag_open_fracture: bool = False  # "closed-fracture pathway" warning
    flag_intact_fibula: bool = False
    is_wedgeable: bool = False
    approved_by: str | None = None  # the clinician who signed exactly this version
    digest: str = ""  # SHA-256 of what a signature covers: this treatment, the modifier, the shared rules
    day_zero: str = ""  # which day is day 0, in words
    ward: VisitRule | None = None  # the unbooked day-0 visit
    open_every_visit: tuple[str, ...] = ()  # lines added to every visit of a person with an open fracture
    sources: Sources = ()

    @cached_property
    def codes(self) -> frozenset[str]:
        """Codes of all visits of this treatment: the ward visit, table visits and open-fracture visits."""
        opens = {rule.visit.code for rule in self.open_visits if self.treatment in rule.treatments}
        return frozenset({self.ward_visit} | {visit.code for visit in self.visits} | opens)

    def visit_rule(self, code: str) -> VisitRule | None:
        """The rule of one of this treatment's codes, or None when the code is not its own."""
        own = [self.ward, *self.visits, *(rule.visit for rule in self.open_visits)]
        return next((visit for visit in own if visit and visit.code == code), None)


Pathways = Mapping[TreatmentKind, Pathway]
