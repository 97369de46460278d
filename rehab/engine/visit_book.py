"""The visits of one treatment while its history is told: placed, attended, missed, added, called off."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from rehab.engine.clinic_calendar import ClinicCalendar
from rehab.engine.facts import Injury, Treatment
from rehab.engine.pathway import Pathway, VisitRule
from rehab.engine.placement import DatedWindow
from rehab.engine.planned import PlannedVisit, Reason, VisitState
from rehab.engine.timetable import TimetableVisit, settled, timetable

DAY = timedelta(days=1)


@dataclass(slots=True, eq=False)
class Row:
    """One planned visit while the history is told. Compared by identity."""

    rule: VisitRule
    window: DatedWindow
    planning_on: date
    order: int
    placed: date | None = None
    state: VisitState = VisitState.PLANNED
    why: list[Reason] = field(default_factory=list)
    contents: list[str] = field(default_factory=list)
    deadline: date | None = None
    first_missed_on: date | None = None
    attempt: int = 1
    is_booked: bool = False
    stops_at_union: bool = False  # an S16 film
    lapsed: bool = False

    @property
    def code(self) -> str:
        """The visit's code, e.g. "N1"."""
        return self.rule.code

    @property
    def is_open(self) -> bool:
        """True while the visit is still to come (or nobody recorded what became of it)."""
        return self.state is VisitState.PLANNED and not self.lapsed

    @property
    def is_only_until_union(self) -> bool:
        """True for a visit that confirmed union makes needless (R21, R23)."""
        return self.rule.only_if_not_united or self.stops_at_union

    def gain(self, reason: Reason, contents: Iterable[str] = ()) -> None:
        """Take on a further purpose, each line once."""
        self.why.append(reason)
        self.contents.extend(line for line in contents if line not in self.contents)


class VisitBook:
    """All rows of one treatment, in the order they came to be."""

    def __init__(
        self, number: int, treatment: Treatment, injury: Injury, pathway: Pathway, calendar: ClinicCalendar
    ) -> None:
        self.number = number
        self.treatment = treatment
        self.pathway = pathway
        self.calendar = calendar
        self.anchor = treatment.on
        self.injury_on = injury.on
        self.open_grade = injury.open_grade
        self.rows: list[Row] = []
        self.decision_row: Row | None = None  # the week-24 visit
        self._n_extra = 0
        self._latest: dict[str, Row] = {}
        planning_on = treatment.planned_on or self.anchor
        for visit in timetable(pathway, injury.open_grade, self.anchor, planning_on, calendar):
            row = self._add(visit, planning_on)
            if visit.rule.decides_delayed_union:
                self.decision_row = row

    # -- making rows ------------------------------------------------------------------------------------------

    def _add(self, visit: TimetableVisit, planning_on: date) -> Row:
        row = Row(
            visit.rule,
            visit.window,
            planning_on,
            len(self.rows),
            placed=visit.placed_on,
            why=list(visit.why),
            contents=list(visit.contents),
        )
        return self._keep(row)

    def _keep(self, row: Row) -> Row:
        self.rows.append(row)
        self._latest[row.rule.code] = row
        return row

    def add_extra(self, rule: VisitRule, window: DatedWindow, cause_on: date, *, not_before: date | None = None) -> Row:
        """Add a visit that the timetable does not have (rules S10, S12, S16; code by order of cause, R26)."""
        self._n_extra += 1
        rule = replace(rule, code=f"X{self._n_extra}")
        earliest = max(self.anchor, cause_on) + DAY  # tomorrow is allowed, the same day never (R13)
        earliest = max(earliest, not_before or earliest)
        return self._add(settled(rule, window, earliest, self.calendar, self.pathway, self.open_grade), cause_on)

    def serving(self, window: DatedWindow, *, on: date, needs_film: bool, union_on: date | None) -> Row | None:
        """Find the visit that already falls inside a window, nearest its target, a tie to the earlier (R26)."""
        candidates = [
            (abs((row.placed - window.target).days), row.placed, row.order, row)
            for row in self.rows
            if (row.is_open or row.state is VisitState.ATTENDED)
            and row.placed is not None
            and window.holds(row.placed)
            and not row.code.startswith("O")
            and (row.rule.with_film or not needs_film)
            and self.is_real(row, on=on, union_on=union_on)
        ]
        return min(candidates)[-1] if candidates else None

    # -- asking ------------------------------------------------------------------------------------------------

    def latest(self, code: str) -> Row | None:
        """Give the newest row of a code: the rebooked one after a miss."""
        return self._latest.get(code)

    def first(self, code: str) -> Row | None:
        """Give the first row of a code: the one the timetable placed."""
        return next((row for row in self.rows if row.rule.code == code), None)

    def is_waiting_for(self, rule_code: str) -> bool:
        """Say whether a visit that a rule asked for is still to come."""
        return any(row.is_open and any(why.rule == rule_code for why in row.why) for row in self.rows)

    def is_real(self, row: Row, *, on: date, union_on: date | None) -> bool:
        """Say whether a visit is to be booked: a starred one only once the week-24 visit has passed (R21)."""
        if not row.rule.only_if_not_united or row.state is not VisitState.PLANNED:
            return True
        decision_on = self.decision_on
        return on >= decision_on and (union_on is None or union_on > decision_on)

    @property
    def decision_on(self) -> date:
        """The week-24 visit's place (its target while it has none)."""
        row = self.decision_row
        if row is None:
            return date.max
        return row.placed or row.window.target

    # -- what happened -------------------------------------------------------------------------------------------

    def book(self, code: str, place_on: date, *, on: date) -> bool:
        """Give a visit its place in a session; False when no such visit is open."""
        row = self._open_row(code)
        if row is None:
            return False
        row.placed, row.planning_on, row.is_booked = place_on, on, True
        row.why.append(Reason("R1", "booked", {"on": on}))
        return True

    def attend(self, code: str, on: date, *, named: frozenset[str]) -> list[Row]:
        """Record that the person came; returns every row it settles (R17), empty when none fits."""
        return self._settle(code, on, VisitState.ATTENDED, named)

    def miss(self, code: str, on: date, *, named: frozenset[str]) -> list[Row]:
        """Record that the person did not come; returns the missed rows, each with a new row behind it (S8, R18)."""
        missed = self._settle(code, on, VisitState.MISSED, named)
        for row in missed:
            self._rebook(row)
        return missed

    def _settle(self, code: str, on: date, state: VisitState, named: frozenset[str]) -> list[Row]:
        row = self._open_row(code)
        if row is None:
            return []
        together = [
            other
            for other in self.rows
            if other.is_open
            and other.placed in (row.placed, on)
            and (other is row or (other.code not in named and not other.rule.only_if_not_united))
        ]
        for other in together:
            if other.placed != on:
                other.why.insert(0, Reason("R17", state.value, {"on": on}))
            other.placed, other.state = on, state
        return together

    def _open_row(self, code: str) -> Row | None:
        row = self.latest(code)
        return row if row is not None and row.is_open else None

    def _rebook(self, missed: Row) -> None:
        """Place the visit anew on the first open day after the miss (S8); the deadline counts from the first miss."""
        on = missed.placed
        assert on is not None
        first_missed_on = missed.first_missed_on or on
        deadline = first_missed_on + timedelta(days=missed.rule.missed_deadline_days)
        row = Row(
            missed.rule,
            missed.window,
            on,
            len(self.rows),
            contents=list(missed.contents),
            why=[reason for reason in missed.why if reason.rule in {"S10", "S12", "S16"}],
            deadline=deadline,
            first_missed_on=first_missed_on,
            attempt=missed.attempt + 1,
            stops_at_union=missed.stops_at_union,
        )
        found = self.calendar.open_on_or_after(on + DAY)
        last = max(on, missed.window.latest) + timedelta(days=self.pathway.shared.no_place_within_days)
        row.placed = found if found is not None and found <= last else None
        row.why.insert(0, Reason("S8", "rebooked_after_miss", {"missed": on, "deadline": deadline}))
        if not row.window.holds(row.placed):
            is_early = row.placed is not None and row.placed < row.window.earliest
            code = "rebooked_before_window" if is_early else "rebooked_out_of_window"
            row.why.append(Reason("S6", code, {"earliest": row.window.earliest, "latest": row.window.latest}))
        self._keep(row)

    # -- the answer ----------------------------------------------------------------------------------------------

    def written(self, *, on: date, union_on: date | None, is_over: bool) -> list[PlannedVisit]:
        """Write the rows as values, as known on a day. `is_over`: converted, or the plan has ended."""
        kept = []
        for row in self.rows:
            state = self._final_state(row, on=on, union_on=union_on, is_over=is_over)
            if state is not None:
                kept.append(self._value(row, state, is_real=self.is_real(row, on=on, union_on=union_on)))
        kept.sort(key=lambda pair: (pair[0].placed_on or pair[0].target_on, pair[0].target_on, pair[1]))
        return _merged([visit for visit, _ in kept])

    def _final_state(self, row: Row, *, on: date, union_on: date | None, is_over: bool) -> VisitState | None:
        """State in print, or None for no row at all (R21, R23, R25)."""
        if row.lapsed:
            return None
        if row.state is not VisitState.PLANNED:
            return row.state
        if row.rule.only_if_not_united:
            if union_on is not None and union_on <= self.decision_on:
                return None
            if is_over and not self.is_real(row, on=on, union_on=union_on):
                return None
            is_over = is_over or union_on is not None
        if row.stops_at_union and union_on is not None:
            is_over = True
        return VisitState.CANCELLED if is_over else VisitState.PLANNED

    def _value(self, row: Row, state: VisitState, *, is_real: bool) -> tuple[PlannedVisit, int]:
        placed = row.placed
        visit = PlannedVisit(
            code=row.code,
            treatment=self.number,
            title=row.rule.title,
            target_on=row.window.target,
            earliest_on=row.window.earliest,
            latest_on=row.window.latest,
            placed_on=placed,
            day=None if placed is None else (placed - self.anchor).days,
            healing_day=None if placed is None else (placed - self.injury_on).days,
            in_window=row.window.holds(placed),
            contents=tuple(row.contents),
            stations=row.rule.stations,
            only_if_not_united=row.rule.only_if_not_united,
            state=state,
            is_real=is_real,
            planning_on=row.planning_on,
            why=tuple(row.why),
            deadline_on=row.deadline,
            with_film=row.rule.with_film,
            is_booked=row.is_booked,
            attempt=row.attempt,
        )
        return visit, row.order


def _merged(visits: list[PlannedVisit]) -> list[PlannedVisit]:
    """Join visits of one date into one attendance: each names the others and holds all contents (S7, R16)."""
    groups: dict[tuple[date, VisitState], list[PlannedVisit]] = {}
    for visit in visits:
        if visit.placed_on is not None and visit.state is not VisitState.CANCELLED and visit.is_real:
            groups.setdefault((visit.placed_on, visit.state), []).append(visit)
    joined = {id(visit): group for group in groups.values() if len(group) > 1 for visit in group}
    return [_joined(visit, joined[id(visit)]) if id(visit) in joined else visit for visit in visits]


def _joined(visit: PlannedVisit, group: list[PlannedVisit]) -> PlannedVisit:
    others = [other for other in group if other is not visit]
    lines = dict.fromkeys((*visit.contents, *(line for other in others for line in other.contents)))
    codes = tuple(other.code for other in others)
    why = (*visit.why, Reason("S7", "merged", {"codes": codes, "titles": tuple(other.title for other in others)}))
    return replace(visit, together_with=codes, contents=tuple(lines), why=why)
