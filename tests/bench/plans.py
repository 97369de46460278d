"""Plans: whole ones a second, and dated milestones against NumPy's business days."""

from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

import numpy

from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.facts import Clinic
from tests.bench.courses import documents, first_and_last_day
from tests.bench.timing import Row, best_seconds

PATIENTS = 2_000
MILESTONE_DAYS = (7, 14, 21, 28, 42, 56, 84, 112, 140, 168, 252, 364)
WEEKDAYS = frozenset(range(5))
SPAN_DAYS = 1_600


def whole_plans() -> Row:
    """Full plans a second on one core: all rules, reasons and reminders."""
    from rehab.engine.plan import make_plan
    from rehab.files import read_course
    from rehab.files.default_pathways import default_pathways
    from rehab.holiday_tables import calendar_for

    pathways, (first, last) = default_pathways(), first_and_last_day()
    courses = [read_course(document) for document in documents()]
    jobs = [(course, calendar_for(clinic, first, last)) for course, clinic in courses]
    (best,) = best_seconds(lambda: [make_plan(course, pathways, calendar) for course, calendar in jobs])
    each = f"{1e6 * best / len(jobs):.0f} microseconds a plan, {len(jobs)} courses with seven entries each"
    return Row("full plans a second", each, len(jobs) / best, at_least=4_000)


def milestones() -> Row:
    """Twelve milestones moved on to the next clinic day, against NumPy doing all patients in one call."""
    calendar, business_days, anchors = the_same_calendar_twice()
    found, wanted = look_up(calendar, anchors), roll_forward(business_days, anchors)
    assert found == wanted, "the two calendars disagree"
    ours, theirs = best_seconds(lambda: look_up(calendar, anchors), lambda: roll_forward(business_days, anchors))
    return ratio_row("12 milestones on clinic days / numpy.busday_offset", ours, theirs, at_least=0.25)


def milestones_in_windows() -> Row:
    """The same with what a plan does: the open day nearest to the target, inside its window."""
    calendar, business_days, anchors = the_same_calendar_twice()
    ours, theirs = best_seconds(lambda: nearest(calendar, anchors), lambda: roll_forward(business_days, anchors))
    return ratio_row("the same, nearest in a window", ours, theirs)


def ratio_row(what: str, ours: float, theirs: float, at_least: float | None = None) -> Row:
    """Write both speeds in patients a second and their ratio."""
    figures = f"{PATIENTS / ours:,.0f} and {PATIENTS / theirs:,.0f} patients a second"
    return Row(what, figures, theirs / ours, at_least=at_least)


def the_same_calendar_twice() -> tuple[ClinicCalendar, numpy.busdaycalendar, list[date]]:
    """Return one calendar of Mondays to Fridays with holidays as ours and as NumPy's, and day 0 of each patient."""
    first = date(2027, 1, 1)
    holidays = [first + timedelta(days=n) for n in range(0, SPAN_DAYS, 45)]
    clinic = Clinic(ZoneInfo("Europe/London"), WEEKDAYS, time(9, 30), "GB", "ENG")
    ours = ClinicCalendar(clinic, frozenset(holidays), first - timedelta(days=30), first + timedelta(days=SPAN_DAYS))
    theirs = numpy.busdaycalendar(holidays=numpy.array(holidays, dtype="datetime64[D]"))
    return ours, theirs, [first + timedelta(days=n % 700) for n in range(PATIENTS)]


def look_up(calendar: ClinicCalendar, anchors: list[date]) -> list[list[date | None]]:
    """Move each milestone on to an open day, one look-up each."""
    steps = [timedelta(days=n) for n in MILESTONE_DAYS]
    return [[calendar.open_on_or_after(anchor + step) for step in steps] for anchor in anchors]


def nearest(calendar: ClinicCalendar, anchors: list[date]) -> list[list[date | None]]:
    """Find the open day nearest to each milestone, a few days to either side."""
    steps = [(timedelta(days=n - 3), timedelta(days=n), timedelta(days=n + 3)) for n in MILESTONE_DAYS]
    return [
        [calendar.nearest_open(anchor + target, anchor + early, anchor + late) for early, target, late in steps]
        for anchor in anchors
    ]


def roll_forward(calendar: numpy.busdaycalendar, anchors: list[date]) -> list[list[date]]:
    """Move all milestones of all patients on in one call and turn them back into dates."""
    days = numpy.array(anchors, dtype="datetime64[D]")[:, None] + numpy.array(MILESTONE_DAYS)
    return numpy.busday_offset(days, 0, roll="forward", busdaycal=calendar).tolist()
