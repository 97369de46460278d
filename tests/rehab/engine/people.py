"""People for the engine's tests: courses as facts, on the test clinic's calendar."""

from datetime import date, datetime, time

from rehab.engine.facts import (
    Course,
    Fibula,
    HistoryEntry,
    Injury,
    OpenGrade,
    Side,
    Treatment,
    TreatmentKind,
    Weight,
)
from rehab.engine.pathway import Pathways
from rehab.engine.pathway_files import load_pathways
from rehab.engine.plan import Plan, make_plan
from tests.rehab.engine.conftest import LONDON, a_calendar

CALENDAR = a_calendar()
CAST, NAIL, PLATE = TreatmentKind.LONG_LEG_CAST, TreatmentKind.INTRAMEDULLARY_NAIL, TreatmentKind.PLATE_AND_SCREWS


def pathways() -> Pathways:
    """The pathway files of the program."""
    return load_pathways()


def at(day: str, hour: int = 15) -> datetime:
    """An instant in London."""
    return datetime.combine(date.fromisoformat(day), time(hour), tzinfo=LONDON)


def an_injury(day: str, **changes) -> Injury:
    """A closed, simple, right-sided fracture, with something changed."""
    usual = {
        "at": at(day, 11),
        "on": date.fromisoformat(day),
        "presented_at": at(day, 12),
        "side": Side.RIGHT,
        "bone_segment": "42",
        "fracture_class": "A2",
        "edition": 2018,
        "fibula": Fibula.OTHER_LEVEL,
        "open_grade": OpenGrade.CLOSED,
    }
    return Injury(**{**usual, **changes})


def a_treatment(kind: TreatmentKind, day: str, **changes) -> Treatment:
    """A treatment that began in the afternoon."""
    return Treatment(**{"kind": kind, "at": at(day), "on": date.fromisoformat(day), **changes})


def a_course(kind: TreatmentKind, day: str, *history: HistoryEntry, later=(), weight=720, **injury) -> Course:
    """An adult injured and treated on one day, with a history."""
    return Course(
        injury=an_injury(day, **injury),
        treatments=(a_treatment(kind, day), *later),
        history=history,
        born_on=date(1993, 1, 15),
        weights=() if weight is None else (Weight(weight, date.fromisoformat(day)),),
    )


def planned(course: Course, on: str | None = None) -> Plan:
    """The plan of a course."""
    return make_plan(course, pathways(), CALENDAR, None if on is None else date.fromisoformat(on))


def rows(plan: Plan, code: str) -> list[tuple[date | None, str]]:
    """Place and state of every row of a visit."""
    return [(visit.placed_on, visit.state.value) for visit in plan.visits if visit.code == code]


def row(plan: Plan, code: str):
    """The only row of a visit."""
    (found,) = [visit for visit in plan.visits if visit.code == code]
    return found
