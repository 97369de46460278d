"""The script of a story: every act with its day, worked out from the plan before anything is told."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from clinic.demo.story import Step, Story
from rehab.engine import facts
from rehab.engine.pathway import Pathways
from rehab.engine.plan import Plan, PlannedVisit, VisitState, make_plan
from rehab.translate import ClinicDays

DAY = timedelta(days=1)
BOOKED_AHEAD = timedelta(weeks=6)  # what opens within so long is given its place at once
AFTER_TREATMENT = timedelta(hours=2)  # when a clerk registers, and the ward records


@dataclass(frozen=True, slots=True)
class Moved:
    """A visit's place is moved to another day."""

    on: date
    visit: str
    place_on: date


@dataclass(frozen=True, slots=True)
class ScriptedAct:
    """One act: what is recorded on which day, and why, where a reason is given."""

    on: date
    what: Any  # a fact, a treatment, or a place moved; whoever tells it goes by its type
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Script:
    """A story with its days: what happens when, and the plan at its end."""

    story: Story
    course: facts.Course  # as it stands on the day the person is registered
    acts: tuple[ScriptedAct, ...]
    days: tuple[date, ...]  # of the ward, then of each step
    plan: Plan

    def day_of(self, what: str) -> date | None:
        """Give the day of a visit that was told, or that the plan holds; of "conversion", its day."""
        steps = zip(self.story.then, self.days[1:], strict=True)
        told = [day for step, day in steps if what in (step.visit, "conversion" if step.conversion else None)]
        if told:
            return told[-1]
        rows = [row.placed_on for row in self.plan.visits if row.code == what and row.state is VisitState.PLANNED]
        return rows[-1] if rows else None


class Untellable(ValueError):
    """The plan and the story do not fit together."""


def write_script(story: Story, treated_on: date, today: date, days: ClinicDays, pathways: Pathways) -> Script:
    """Work out every act of a story whose operation or cast was on a day. Raises Untellable."""
    return _Writer(story, treated_on, today, days, pathways).write()


class _Writer:
    """Goes through a story day by day with the plan at hand."""

    def __init__(self, story: Story, treated_on: date, today: date, days: ClinicDays, pathways: Pathways) -> None:
        self.story, self.pathways = story, pathways
        self.zone = days.clinic.time_zone
        self.registered = course_at_registration(story, treated_on, today, self.zone)
        self.course = self.registered
        self.calendar = days.calendar_for(self.course)
        self.acts: list[ScriptedAct] = []
        self.to_come = list(story.then)

    def write(self) -> Script:
        """Tell the ward's day, then step after step."""
        first = (self.course.treatments[0].at + AFTER_TREATMENT).astimezone(self.zone).date()
        days = [first]
        self._record_step(self.story.ward, first)
        self._book_ahead(first)
        while self.to_come:
            step = self.to_come.pop(0)
            day = self._day_of(step, days[-1])
            self._tell(step, day)
            days.append(day)
        acts = tuple(self.acts)
        return Script(self.story, self.registered, acts, tuple(days), self._plan(days[-1]))

    def _plan(self, on: date) -> Plan:
        return make_plan(self.course, self.pathways, self.calendar, on)

    def _day_of(self, step: Step, before: date) -> date:
        if step.visit is None:
            return before + DAY * step.days_later
        if self._came_along(step.visit, before):
            return before
        day = self._row(step.visit, before).placed_on
        if day is None or day < before:
            raise Untellable(f"{step.visit} would be on {day}, before what was told already ({before})")
        return day

    def _came_along(self, code: str, day: date) -> bool:
        """Say whether a visit fell on the day of the one before it: one attendance, counted already."""
        rows = [row for row in self._plan(day).visits if row.code == code and row.placed_on == day]
        return any(row.state is VisitState.ATTENDED for row in rows)

    def _row(self, code: str, on: date) -> PlannedVisit:
        """Give the row of a visit that is still to come."""
        rows = [row for row in self._open_rows(on) if row.code == code]
        if not rows:
            known = ", ".join(dict.fromkeys(row.code for row in self._open_rows(on))) or "none"
            raise Untellable(f"{code} is not to come on {on}; still to come: {known}")
        return rows[-1]

    def _open_rows(self, on: date) -> list[PlannedVisit]:
        current = len(self.course.treatments)
        rows = self._plan(on).visits
        return [row for row in rows if row.state is VisitState.PLANNED and row.is_real and row.treatment == current]

    def _tell(self, step: Step, day: date) -> None:
        if step.conversion:
            self._convert(step, day)
        if step.moved:
            self._move(step.moved, day)
        if step.visit and not self._came_along(step.visit, day):
            outcome = facts.Missed if step.is_missed else facts.Attended
            self._add(day, outcome(day, step.visit))
        self._record_step(step, day)
        if not step.is_discharged:
            self._book_ahead(day)

    def _convert(self, step: Step, day: date) -> None:
        held = step.conversion
        assert held is not None
        at = datetime.combine(day, held.at, tzinfo=self.zone)
        treatment = facts.Treatment(held.kind, at, day, held.fixation_principle)
        self.acts.append(ScriptedAct(day, treatment))
        self.course = replace(self.course, treatments=(*self.course.treatments, treatment))

    def _record_step(self, step: Step, day: date) -> None:
        ward = self.pathways[self.course.treatments[-1].kind].ward_visit
        for fact in facts_of(step, day, step.visit or ward):
            self._add(day, fact, step.reason if isinstance(fact, facts.StageOrdered) else "")

    def _add(self, day: date, fact: facts.HistoryEntry | facts.Weight, reason: str = "") -> None:
        self.acts.append(ScriptedAct(day, fact, reason))
        if isinstance(fact, facts.Weight):
            self.course = replace(self.course, weights=(*self.course.weights, fact))
        else:
            self.course = replace(self.course, history=(*self.course.history, fact))

    def _book_ahead(self, day: date) -> None:
        """Book the next visit and all that open soon, but for those the story leaves on the list."""
        rows = [row for row in self._open_rows(day) if row.placed_on and row.placed_on > day]
        left = self.story.not_booked - {step.visit for step in self.to_come}
        has_place = any(row.is_booked for row in rows)
        done: set[str] = set()
        for row in sorted(rows, key=lambda each: (each.placed_on, each.target_on)):
            if row.is_booked or row.code in done:
                continue
            is_next = not has_place
            has_place = True
            if row.code in left or not (is_next or row.earliest_on <= day + BOOKED_AHEAD):
                continue
            done |= self._book(row, rows, day)

    def _book(self, row: PlannedVisit, rows: list[PlannedVisit], day: date) -> set[str]:
        """Book a visit together with those that fall on its day, as the front desk does."""
        place_on = self._first_day(row, day) if row.code in self.story.booked_early else row.placed_on
        assert place_on is not None
        together = [each for each in rows if each.placed_on == row.placed_on and not each.is_booked]
        for each in sorted(together, key=lambda one: (one.code != row.code, one.target_on)):
            self._add(day, facts.Booked(day, each.code, place_on))
        return {each.code for each in together}

    def _first_day(self, row: PlannedVisit, day: date) -> date:
        found = self.calendar.open_on_or_after(max(row.earliest_on, day + DAY))
        assert found is not None
        return found

    def _move(self, code: str, day: date) -> None:
        """Move a booked visit to the next clinic day."""
        row = self._row(code, day)
        if not row.is_booked or row.placed_on is None:
            raise Untellable(f"{code} has no place on {day} that could be moved")
        place_on = self.calendar.open_on_or_after(row.placed_on + DAY)
        assert place_on is not None
        self.acts.append(ScriptedAct(day, Moved(day, code, place_on)))
        kept = [
            each
            for each in self.course.history
            if not (isinstance(each, facts.Booked) and (each.visit, each.place_on) == (code, row.placed_on))
        ]
        self.course = replace(self.course, history=(*kept, facts.Booked(day, code, place_on)))


def facts_of(step: Step, day: date, visit: str) -> Iterator[facts.HistoryEntry | facts.Weight]:
    """Give what is recorded on one day, in the order it is done at a visit."""
    if step.weight_kg is not None:
        yield facts.Weight(int(step.weight_kg * 10), day)
    if step.film is not None:
        yield replace(step.film, on=day)
    if step.findings:
        yield facts.GateFindings(day, visit, step.findings)
    if step.clinical_union is not None:
        yield facts.ClinicalUnion(day, step.clinical_union)
    if step.is_wedged:
        yield facts.Wedged(day)
    if step.film_after_wedging is not None:
        yield replace(step.film_after_wedging, on=day)
    if step.is_union_confirmed:
        yield facts.UnionConfirmed(day)
    if step.is_clot_review_closed:
        yield facts.ClotReviewClosed(day)
    if step.is_antibiotic_review_closed:
        yield facts.AntibioticReviewClosed(day)
    if step.order is not None:
        yield facts.StageOrdered(day, step.order, facts.Authoriser.SURGEON)
    if step.is_discharged:
        yield facts.Discharged(day, step.reason or None)


def course_at_registration(story: Story, treated_on: date, today: date, zone: ZoneInfo) -> facts.Course:
    """Give the course as it is known on the day of the operation or the cast."""
    broken, held, person = story.injury, story.treatment, story.person
    injured_on = treated_on - DAY * broken.days_before_treatment
    injured_at = datetime.combine(injured_on, broken.at, tzinfo=zone)
    antibiotic, closed = broken.antibiotic_after_minutes, broken.wound_closed_after_hours
    injury = facts.Injury(
        at=injured_at,
        on=injured_on,
        presented_at=_later(injured_at, timedelta(minutes=40)),
        side=facts.Side(broken.side),
        bone_segment=broken.bone_segment,
        fracture_class=broken.fracture_class,
        edition=2018,
        fibula=facts.Fibula(broken.fibula),
        open_grade=facts.OpenGrade(broken.open_grade),
        antibiotic_at=None if antibiotic is None else _later(injured_at, timedelta(minutes=antibiotic)),
        wound_closed_at=None if closed is None else _later(injured_at, timedelta(hours=closed)),
        circumstances=frozenset(broken.circumstances),
    )
    treated_at = datetime.combine(treated_on, held.at, tzinfo=zone)
    treatment = facts.Treatment(held.kind, treated_at, treated_on, held.fixation_principle)
    weights = () if person.weight_kg is None else (facts.Weight(_tenths(person.weight_kg), treated_on),)
    return facts.Course(injury, (treatment,), (), person.born_on(today), weights)


def _later(moment: datetime, by: timedelta) -> datetime:
    """Add elapsed time: a clock change in between makes no difference."""
    return (moment.astimezone(UTC) + by).astimezone(moment.tzinfo)


def _tenths(weight_kg: Decimal) -> int:
    return int(weight_kg * 10)
