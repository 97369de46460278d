"""What is on one printed sheet, as frozen values: no words, no drawing, no database."""

from dataclasses import dataclass, field
from datetime import date, datetime, time
from enum import StrEnum
from hashlib import sha256

from rehab.engine.facts import Authoriser, OpenGrade, Side, Stage, TreatmentKind

TEXT_SIZES = (12.5, 14.0, 18.0, 24.0)  # points; 18 and above is large print and is laid out again
LARGE_PRINT = 18.0


class Paper(StrEnum):
    """The paper a site prints on."""

    A4 = "A4"
    LETTER = "Letter"


class Load(StrEnum):
    """What the sheet tells the person about the leg: the key of its words and drawings."""

    NO_ORDER = "no_order"  # nothing on file: printed as non-weightbearing
    NONE = "none"
    TOUCH = "touch"
    TOUCH_UNTIL_WEIGHED = "touch_until_weighed"  # a limited stage whose weight is missing or too old
    LIMITED = "limited"
    COMFORT = "comfort"
    FREE = "free"

    @property
    def bears_nothing(self) -> bool:
        """True while the hurt foot must not touch the floor."""
        return self in (Load.NO_ORDER, Load.NONE)


@dataclass(frozen=True, slots=True)
class Person:
    """Who the sheet is for: a name and two identifiers."""

    name: str
    born_on: date
    number: str


@dataclass(frozen=True, slots=True)
class Site:
    """What the sheet says of the clinic. A missing value leaves a line to write on."""

    lines: tuple[str, ...] = ()  # name, building, desk
    note: str | None = None  # one more sentence: "Allow 2 hours."
    phone: str | None = None
    hours: str | None = None
    emergency_number: str | None = None
    page_address: str | None = None  # the patient's page, without anything about the patient
    paper: Paper = Paper.A4


@dataclass(frozen=True, slots=True)
class Issue:
    """Which sheet this is: its number, what it replaces, and the names of who ordered and gave it."""

    version: int
    replaces: int | None = None
    printed_at: datetime | None = None  # clinic time
    ordered_by: str | None = None  # a name, when known: "Miss R. Calloway, surgeon"
    given_by: str | None = None


@dataclass(frozen=True, slots=True)
class SheetVisit:
    """One attendance: its day, its time when known, the titles of the visits it holds."""

    on: date
    at: time | None
    what_for: tuple[str, ...]
    is_booked: bool


@dataclass(frozen=True, slots=True)
class Sheet:
    """All that one sheet says. Equal sheets print to equal bytes."""

    side: Side
    treatment: TreatmentKind
    treated_on: date
    open_grade: OpenGrade
    stage: Stage
    load: Load
    cap_kg: int | None
    share: float  # of the injured sole to fill, 0 to 1
    valid_from: date
    ordered_by: Authoriser | None
    printed_on: date
    pathway_version: str
    approved_by: str | None
    next_visit: SheetVisit | None
    later_visits: tuple[SheetVisit, ...] = ()
    has_ended: bool = False
    both_legs: bool = False  # the other leg is hurt too: no drawing fits
    person: Person | None = None
    site: Site = field(default=Site())
    advice_number: str | None = None  # urgent advice by telephone, where the country has one
    issue: Issue | None = None
    size: float = 14.0

    def __post_init__(self) -> None:
        """Refuse a text size the sheet was never laid out for."""
        if self.size not in TEXT_SIZES:
            known = ", ".join(f"{size:g}" for size in TEXT_SIZES)
            raise ValueError(f"Text size {self.size:g} is not offered; choose one of {known} points.")

    @property
    def is_large(self) -> bool:
        """True for large print, which has its own layout."""
        return self.size >= LARGE_PRINT

    @property
    def has_drawings(self) -> bool:
        """True unless both legs are hurt."""
        return not self.both_legs

    @property
    def check(self) -> str:
        """Four letters that change with anything the sheet says, so that two papers can be told apart."""
        return sha256(repr(self).encode()).hexdigest()[:4].upper()
