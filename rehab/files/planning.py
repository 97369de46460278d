"""From a course document to its plan: read, compute, and let nothing fall away unseen."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from rehab.engine.facts import Booked, Clinic, Course
from rehab.engine.pathway import Pathways
from rehab.engine.plan import Plan, make_plan
from rehab.files.course import CourseFile, read_course_file
from rehab.files.default_pathways import default_pathways
from rehab.files.faults import Faults, listed, shown
from rehab.files.plan_document import plan_document
from rehab.holiday_tables import calendar_for
from rehab.words.dates import in_words

YEARS_BEFORE, YEARS_AFTER = 1, 4  # a plan looks back past the injury, and ahead past the newest date


@dataclass(frozen=True, slots=True)
class PlannedCourse:
    """A course, the clinic it belongs to, and its plan."""

    course: Course
    clinic: Clinic
    plan: Plan


def plan_course(document: object, on: date | None = None, pathways: Pathways | None = None) -> dict[str, Any]:
    """Answer a course document with its plan as a JSON document, or raise CourseFaults with every fault."""
    return plan_document(plan_course_file(document, on, pathways).plan)


def plan_course_file(document: object, on: date | None = None, pathways: Pathways | None = None) -> PlannedCourse:
    """Answer a course document with its plan as values, or raise CourseFaults with every fault."""
    pathways = pathways or default_pathways()
    file = read_course_file(document, pathways)
    first, last = _span(file.course, on)
    plan = make_plan(file.course, pathways, calendar_for(file.clinic, first, last), on)
    _refuse_unmatched(plan, file)
    return PlannedCourse(file.course, file.clinic, plan)


def _span(course: Course, on: date | None) -> tuple[date, date]:
    """Choose whole years for the calendar, so that courses of one clinic share it."""
    days = [course.injury.on, *_days(course), *([on] if on else [])]
    return date(min(days).year - YEARS_BEFORE, 1, 1), date(max(days).year + YEARS_AFTER, 12, 31)


def _days(course: Course) -> Iterator[date]:
    for treatment in course.treatments:
        yield treatment.on
        if treatment.planned_on:
            yield treatment.planned_on
    for entry in course.history:
        yield entry.on
        if isinstance(entry, Booked):
            yield entry.place_on


def _refuse_unmatched(plan: Plan, file: CourseFile) -> None:
    """Turn history entries that no visit of the plan answers to into faults: nothing is dropped in silence."""
    faults = Faults()
    for entry in plan.unmatched:
        words = {
            "code": shown(entry.visit),
            "day": in_words(file.course.history[entry.index].on),
            "codes": listed(dict.fromkeys(visit.code for visit in plan.visits)),
        }
        message = _("No visit %(code)s of this plan is waiting on %(day)s. The plan has %(codes)s.") % words
        faults.add(("history", file.positions[entry.index], "visit"), message)
    faults.raise_if_any()
