"""The dated timetable of a treatment: every visit's window and place on the day the plan is made.

It follows from the pathway, the open grade, the anchor and the calendar alone, so people
who share these share it; each calendar remembers the timetables made with it.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.facts import OpenGrade
from rehab.engine.pathway import Pathway, VisitRule
from rehab.engine.placement import DatedWindow, Place, place
from rehab.engine.planned import Reason

DAY = timedelta(days=1)
REMEMBERED = 4096  # timetables a calendar keeps before it starts again


@dataclass(frozen=True, slots=True)
class TimetableVisit:
    """One visit of the timetable with its place, and what the place adds to it."""

    rule: VisitRule
    window: DatedWindow
    placed_on: date | None
    why: tuple[Reason, ...]
    contents: tuple[str, ...]


def timetable(
    pathway: Pathway, grade: OpenGrade, anchor: date, planning_on: date, calendar: ClinicCalendar
) -> tuple[TimetableVisit, ...]:
    """Give the timetable of a treatment: its own visits, then those an open fracture adds."""
    key = (id(pathway), grade, anchor, planning_on)
    kept = calendar.timetables.get(key)
    if kept is not None and kept[0] is pathway:
        found: tuple[TimetableVisit, ...] = kept[1]
        return found
    not_before = max(anchor + DAY, planning_on)
    made = tuple(
        settled(rule, DatedWindow.after(anchor, rule), not_before, calendar, pathway, grade)
        for rule in (*pathway.visits, *_open_fracture_visits(pathway, grade))
    )
    if len(calendar.timetables) >= REMEMBERED:
        calendar.timetables.clear()
    calendar.timetables[key] = (pathway, made)
    return made


def settled(
    rule: VisitRule,
    window: DatedWindow,
    not_before: date,
    calendar: ClinicCalendar,
    pathway: Pathway,
    grade: OpenGrade,
) -> TimetableVisit:
    """Place one visit; before its window it gains the pathway's line for that case (R30)."""
    found: Place = place(window, calendar, not_before=not_before, search_days=pathway.shared.no_place_within_days)
    why: tuple[Reason, ...] = (found.why,)
    contents = rule.contents
    if rule.if_before_window and found.on is not None and found.on < window.earliest:
        why, contents = (*why, Reason("R30", "before_window")), (*contents, rule.if_before_window)
    return TimetableVisit(rule, window, found.on, why, (*contents, *_also_asked(contents, pathway, grade)))


def _also_asked(contents: tuple[str, ...], pathway: Pathway, grade: OpenGrade) -> tuple[str, ...]:
    """Give what is asked at every visit of a person with an open fracture, each line once."""
    lines = pathway.open_every_visit if grade is not OpenGrade.CLOSED else ()
    return tuple(line for line in lines if line not in contents)


def _open_fracture_visits(pathway: Pathway, grade: OpenGrade) -> list[VisitRule]:
    return [
        extra.visit for extra in pathway.open_visits if grade in extra.grades and pathway.treatment in extra.treatments
    ]
