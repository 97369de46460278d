"""A sheet from a plan: what the person is told of the leg, and when to come."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, time
from itertools import groupby

from clinic.documents.sheet import Issue, Load, Person, Sheet, SheetVisit, Site
from rehab.engine.facts import Clinic, Course, Stage
from rehab.engine.plan import Plan, PlannedVisit, StageNow, VisitState

EMERGENCY_NUMBERS = {"GB": "999"}  # the ambulance; elsewhere the site gives its own
ADVICE_NUMBERS = {"GB": "111"}  # urgent advice by telephone, NHS 111
BOTH_LEGS = "both legs injured"  # a code of the pathway files: one-legged crutch walking would be wrong
A_TOUCH = 0.1  # how much of the sole a touch fills, for the eye only
UNLIMITED = (Stage.WBAT, Stage.FWB)


class NoSheet(ValueError):
    """No sheet is printed; the message says why."""


class NotYetKnown(NoSheet):
    """The course holds entries from after the day of printing, so the sheet would tell of the future."""


class OutOfScope(NoSheet):
    """This course is outside the pathway, so no sheet is printed. A clinician must arrange follow-up."""


def sheet_from_plan(
    plan: Plan,
    course: Course,
    clinic: Clinic,
    person: Person | None = None,
    site: Site | None = None,
    *,
    on: date,
    issue: Issue | None = None,
    times: Mapping[date, time] | None = None,
    other_leg: Plan | None = None,
    size: float = 14.0,
) -> Sheet:
    """What the sheet says on the day `on`. `times` are the booked times of attendances, by day.

    With `other_leg` (both legs hurt) the sheet shows the more restrictive stage and no drawing.
    Raises OutOfScope for a course the plan refuses: this sheet would be wrong for it. Raises
    NotYetKnown when the course holds later entries: give `known_on` of the course and its plan.
    """
    if known_on(course, on) != course:
        raise NotYetKnown(NotYetKnown.__doc__)
    if not plan.scope.is_accepted:
        raise OutOfScope(
            "This course is outside the pathway, so no sheet is printed. A clinician must arrange follow-up."
        )
    stage_now = plan.stage_now if other_leg is None else more_restrictive(plan.stage_now, other_leg.stage_now)
    coming = attendances(plan.visits, on, clinic, times or {})
    return Sheet(
        side=course.injury.side,
        treatment=plan.pathway_treatment,
        treated_on=plan.anchor_on,
        open_grade=course.injury.open_grade,
        stage=stage_now.stage if stage_now.ordered_by else Stage.NWB,
        load=load_of(stage_now),
        cap_kg=stage_now.cap_kg,
        share=share_of(stage_now, course),
        valid_from=stage_now.since,
        ordered_by=stage_now.ordered_by,
        printed_on=on,
        pathway_version=plan.pathway_version,
        approved_by=plan.approved_by,
        next_visit=coming[0] if coming else None,
        later_visits=tuple(replace(visit, at=(times or {}).get(visit.on)) for visit in coming[1:]),
        has_ended=plan.ended_on is not None,
        both_legs=other_leg is not None or BOTH_LEGS in course.injury.circumstances,
        person=person,
        site=site or Site(emergency_number=EMERGENCY_NUMBERS.get(clinic.country)),
        advice_number=ADVICE_NUMBERS.get(clinic.country),
        issue=issue,
        size=size,
    )


def known_on(course: Course, on: date) -> Course:
    """The course as it was known on a day: later treatments, entries and weights are left out."""
    return replace(
        course,
        treatments=tuple(treatment for treatment in course.treatments if treatment.on <= on),
        history=tuple(entry for entry in course.history if entry.on <= on),
        weights=tuple(weight for weight in course.weights if weight.weighed_on <= on),
    )


def more_restrictive(one: StageNow, other: StageNow) -> StageNow:
    """The stage that allows less; of two equal stages the one with the lower cap, or none known."""
    return min(one, other, key=lambda now: (now.stage.rank if now.ordered_by else -1, now.cap_kg or 0))


def load_of(now: StageNow) -> Load:
    """The key of the words for a stage. No order on file means no weight, whatever else is known."""
    if now.ordered_by is None:
        return Load.NO_ORDER
    if now.stage is Stage.NWB:
        return Load.NONE
    if now.stage in UNLIMITED:
        return Load.COMFORT if now.stage is Stage.WBAT else Load.FREE
    if now.cap_kg is None:
        return Load.TOUCH_UNTIL_WEIGHED
    return Load.TOUCH if now.stage is Stage.TTWB else Load.LIMITED


def share_of(now: StageNow, course: Course) -> float:
    """How much of the injured sole to fill: the load against the newest weight."""
    load = load_of(now)
    if load.bears_nothing:
        return 0.0
    if now.stage in UNLIMITED:
        return 1.0
    if now.cap_kg is None or not course.weights:
        return A_TOUCH
    newest = max(course.weights, key=lambda weight: weight.weighed_on)
    return min(now.cap_kg * 10 / newest.tenths_kg, 1.0)


def attendances(
    visits: Iterable[PlannedVisit], on: date, clinic: Clinic, times: Mapping[date, time]
) -> list[SheetVisit]:
    """Visits still to come, one row a day, in order; those only planned for slow healing are left out."""
    coming = [visit for visit in visits if is_coming(visit, on)]
    coming.sort(key=lambda visit: (visit.placed_on, visit.target_on))
    return [
        SheetVisit(
            on=day,
            at=times.get(day, clinic.appointment_time),
            what_for=tuple(dict.fromkeys(visit.title for visit in rows)),
            is_booked=any(visit.is_booked for visit in rows),
        )
        for day, rows in ((day, list(rows)) for day, rows in groupby(coming, key=lambda visit: visit.placed_on))
    ]


def is_coming(visit: PlannedVisit, on: date) -> bool:
    """True for a real visit with a day that has not passed."""
    return visit.state is VisitState.PLANNED and visit.is_real and visit.placed_on is not None and visit.placed_on >= on
