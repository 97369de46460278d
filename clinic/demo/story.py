"""A story of one invented person, as read from its file: days are counted, not dated, until it is told."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time
from decimal import Decimal
from enum import StrEnum

from rehab.engine.facts import Film, FixationPrinciple, Stage, TreatmentKind


class Moment(StrEnum):
    """Which moment of the story the day of loading is."""

    DAY = "day"  # so many days after the operation or the cast
    CAME = "came to"  # a visit that took place today, or on the last clinic day
    EXPECTED = "expected at"  # a visit that is today, or on the next clinic day
    AFTER = "after"  # so many days after a visit or the conversion
    BEFORE = "before"  # so many days before a visit


@dataclass(frozen=True, slots=True)
class Today:
    """The moment of the story that falls on the day of loading."""

    moment: Moment
    what: str = ""  # a visit's code, or "conversion"
    n_days: int = 0


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody invented. `age` is in whole years on the day of loading."""

    given_name: str
    family_name: str
    age: int
    birthday: str  # month and day: "02-27"
    hospital_number: str
    weight_kg: Decimal | None = None
    email: str = ""
    mobile: str = ""
    print_size: int = 14
    is_mobile_dead: bool = False  # texts do not arrive: the number is not in use

    @property
    def full_name(self) -> str:
        """Given name, then family name."""
        return f"{self.given_name} {self.family_name}"

    def born_on(self, today: date) -> date:
        """Give the date of birth that makes the person `age` years old today."""
        month, day = (int(part) for part in self.birthday.split("-"))
        is_still_to_come = (month, day) > (today.month, today.day)
        return date(today.year - self.age - is_still_to_come, month, day)


@dataclass(frozen=True, slots=True)
class HowBroken:
    """The injury. Hours are counted from the injury; None is not recorded."""

    side: str
    fracture_class: str
    fibula: str
    open_grade: str = "closed"
    bone_segment: str = "42"
    at: time = time(11)
    days_before_treatment: int = 0
    antibiotic_after_minutes: int | None = None
    wound_closed_after_hours: int | None = None
    circumstances: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HowHeld:
    """A definitive treatment and the clinic time it began."""

    kind: TreatmentKind
    at: time = time(15)
    fixation_principle: FixationPrinciple | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One day of the story. A visit names its day by itself; other days are counted from the step before.

    Films carry no day yet; whoever tells the story puts it in.
    """

    visit: str | None = None
    is_missed: bool = False
    days_later: int = 0
    conversion: HowHeld | None = None
    moved: str | None = None  # the visit that is moved to the next clinic day
    film: Film | None = None
    findings: Mapping[str, int | bool] = field(default_factory=dict)
    clinical_union: bool | None = None
    is_wedged: bool = False
    film_after_wedging: Film | None = None
    is_union_confirmed: bool = False
    is_clot_review_closed: bool = False
    is_antibiotic_review_closed: bool = False
    weight_kg: Decimal | None = None
    order: Stage | None = None
    reason: str = ""
    is_discharged: bool = False


@dataclass(frozen=True, slots=True)
class Story:
    """One person, one injury, and what happened day by day."""

    name: str  # of its file
    title: str
    tells: str
    person: Person
    today: Today
    injury: HowBroken
    treatment: HowHeld
    ward: Step
    then: tuple[Step, ...] = ()
    not_booked: frozenset[str] = frozenset()  # visits left on the list of those who need a place
    booked_early: frozenset[str] = frozenset()  # visits booked on the first day of their window
    fills_session_of: str | None = None  # the session this visit would have had has no room


class StoryFaults(ValueError):
    """The files of the demo cannot be told as they are. `faults` lists every fault, each with its place."""

    def __init__(self, faults: list[str]) -> None:
        self.faults = faults
        super().__init__("\n".join(faults))
