"""The lists of an episode: visits with their reasons, films, alerts, tasks, log."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clinic.diary.models import Booking, BookingStatus
from clinic.people.models import Episode
from clinic.web.drawings.marks import Mark
from clinic.web.drawings.window_bar import WindowBar, draw_window_bar
from rehab.engine.facts import Course, Film, Stage
from rehab.engine.pathway import Pathway, Pathways
from rehab.engine.plan import Alert, FilmState, Level, Plan, PlannedVisit, Reason, Task, TaskState, VisitState
from rehab.models import HistoryEntry
from rehab.models import PlannedVisit as VisitRecord
from rehab.queries import RowKey
from rehab.words import pathway_text, printed_stage
from rehab.words.measures import reading
from rehab.words.reasons import reason_text, reasons_text
from rehab.words.terms import alert_level_name, task_name


@dataclass(frozen=True, slots=True)
class Known:
    """An episode with everything the page draws from."""

    episode: Episode
    course: Course
    plan: Plan
    pathways: Pathways
    today: date
    records: Mapping[RowKey, VisitRecord]
    bookings: list[Booking]
    entries: list[HistoryEntry]

    @property
    def pathway(self) -> Pathway:
        """The pathway that the plan follows."""
        return self.pathways[self.plan.pathway_treatment]

    def visit_titles(self) -> dict[str, str]:
        """What each visit is for, by its code: of every pathway, since a bone may change its treatment."""
        pathways = self.pathways.values()
        titles = {visit.code: visit.title for pathway in pathways for visit in pathway.visits}
        titles |= {visit.code: visit.title for visit in self.plan.visits}
        named = {code: pathway_text(title) for code, title in titles.items()}
        return named | {pathway.ward_visit: on_the_ward() for pathway in pathways}

    def booking_of(self, visit: PlannedVisit) -> Booking | None:
        """The newest place of a row that was not given back."""
        record = self.records.get((visit.treatment, visit.code, visit.attempt))
        held = [booking for booking in self.bookings if record and booking.visit_id == record.pk]
        return next((booking for booking in reversed(held) if booking.status != BookingStatus.CANCELLED), None)

    def times(self) -> dict[RowKey, str]:
        """The booked times, by row of the plan."""
        pairs = [(visit, self.booking_of(visit)) for visit in self.plan.visits]
        return {
            (visit.treatment, visit.code, visit.attempt): f"{booking.session.starts:%H:%M}"
            for visit, booking in pairs
            if booking
        }

    def film(self, state: FilmState) -> Film:
        """The reading that a film's state is about."""
        entry = self.course.history[state.index]
        assert isinstance(entry, Film)
        return entry

    @staticmethod
    def name_of(user) -> str:
        """A member of staff by the name they are known by."""
        member = getattr(user, "staff_member", None)
        return member.display_name if member else user.get_username()


def on_the_ward() -> str:
    """The name of what happens before the first visit."""
    return _("On the ward, before going home")


@dataclass(frozen=True, slots=True)
class VisitRow:
    """One visit as the list shows it."""

    visit: PlannedVisit
    record: VisitRecord | None
    booking: Booking | None
    mark: Mark
    words: str
    window: SafeString
    reasons: list[tuple[str, str]]  # the rule, and the sentence

    @property
    def is_to_book(self) -> bool:
        """True for a visit that is to happen and has no place."""
        is_open = self.visit.state is VisitState.PLANNED and self.visit.is_real
        return is_open and self.booking is None and self.record is not None


def visit_rows(known: Known) -> list[VisitRow]:
    """All visits in the order they come."""
    visits = sorted(known.plan.visits, key=lambda visit: (visit.placed_on or visit.target_on, visit.treatment))
    return [_visit_row(known, visit) for visit in visits]


def _visit_row(known: Known, visit: PlannedVisit) -> VisitRow:
    booking = known.booking_of(visit)
    mark, words = _state(visit, booking, known.today)
    bar = WindowBar(visit.earliest_on, visit.target_on, visit.latest_on, place_on=visit.placed_on, today=known.today)
    return VisitRow(
        visit=visit,
        record=known.records.get((visit.treatment, visit.code, visit.attempt)),
        booking=booking,
        mark=mark,
        words=words,
        window=draw_window_bar(bar),
        reasons=[(reason.rule, reason_text(reason)) for reason in visit.why],
    )


def _state(visit: PlannedVisit, booking: Booking | None, today: date) -> tuple[Mark, str]:
    settled = {
        VisitState.ATTENDED: (Mark.DONE, _("Came")),
        VisitState.MISSED: (Mark.DID_NOT_COME, _("Did not come")),
        VisitState.CANCELLED: (Mark.CALLED_OFF, _("Called off")),
    }
    if visit.state in settled:
        return settled[visit.state]
    if not visit.is_real:
        return Mark.WAITING, _("Only if not healed")
    if booking is not None:
        return Mark.ACCEPTED, _("Booked, %(time)s") % {"time": f"{booking.session.starts:%H:%M}"}
    last = visit.deadline_on or visit.latest_on
    return (Mark.OVERDUE, _("Overdue")) if last < today else (Mark.WAITING, _("To book"))


def next_place(known: Known) -> Booking | None:
    """The next place that is held, today's included."""
    live = [booking for booking in known.bookings if booking.status == BookingStatus.BOOKED]
    coming = [booking for booking in live if booking.session.on >= known.today and booking.shares_with_id is None]
    return min(coming, key=lambda booking: (booking.session.on, booking.session.starts), default=None)


# Alerts and tasks


@dataclass(frozen=True, slots=True)
class AlertRow:
    """One alert as the list shows it."""

    mark: Mark
    words: str
    sentences: list[str]
    on: date
    is_red: bool


def alert_rows(plan: Plan) -> list[AlertRow]:
    """Open alerts, the most urgent first."""
    alerts = sorted(
        (alert for alert in plan.alerts if alert.is_open), key=lambda alert: (-alert.level.urgency, alert.on)
    )
    return [alert_row(alert) for alert in alerts]


def alert_row(alert: Alert) -> AlertRow:
    """One alert with its mark and its sentences."""
    marks = {Level.RED: Mark.OVER_LIMIT, Level.AMBER: Mark.CHANGED, Level.INFO: Mark.WAITING}
    sentences = sentences_of(alert.reasons)
    words = alert_level_name(alert.level, alert.kind)
    return AlertRow(marks[alert.level], words, sentences, alert.on, alert.level is Level.RED)


def sentences_of(reasons: Iterable[Reason]) -> list[str]:
    """One sentence a measure: "7° varus. Over the limit of 5°. Changed by 5° since the first film, ..."."""
    lines: dict[object, list[str]] = {}
    for reason in reasons:
        measure = reason.values.get("measure")
        said = reason_text(reason)
        so_far = lines.setdefault(measure or said, [])
        if measure and so_far:
            said = said.removeprefix(f"{reading(str(measure), reason.values['value'])}. ")
        if said not in so_far:
            so_far.append(said)
    return [" ".join(said) for said in lines.values()]


@dataclass(frozen=True, slots=True)
class TaskRow:
    """One task as the list shows it."""

    mark: Mark
    name: str
    why: str
    due_on: date


def task_rows(plan: Plan, today: date) -> list[TaskRow]:
    """Tasks a clinician still has to do, the oldest first."""
    waiting = [task for task in plan.tasks if task.state in (TaskState.OPEN, TaskState.OVERDUE)]
    oldest: dict[tuple[str, int], Task] = {}
    for task in sorted(waiting, key=lambda task: task.due_on):
        oldest.setdefault((task.kind, task.treatment), task)  # a review that comes back is one thing to do
    return [
        TaskRow(_due_mark(task.due_on, today), _capital(task_name(task.kind)), reasons_text(task.why), task.due_on)
        for task in oldest.values()
    ]


def _due_mark(due_on: date, today: date) -> Mark:
    if due_on < today:
        return Mark.OVERDUE
    return Mark.DUE_TODAY if due_on == today else Mark.WAITING


# Films

MEASURES = ("coronal", "sagittal", "rotation", "shortening", "contact")
FILM_MARKS = {"green": Mark.IN_LIMITS, "amber": Mark.CHANGED, "red": Mark.OVER_LIMIT}


@dataclass(frozen=True, slots=True)
class FilmRow:
    """One film reading as the list shows it."""

    film: Film
    mark: Mark
    words: str | None
    values: list[str]
    score: str
    sentences: list[str]
    is_first: bool


def film_rows(known: Known) -> list[FilmRow]:
    """The films read so far, the newest first."""
    rows = [_film_row(state, known.film(state)) for state in known.plan.films]
    return rows[::-1]


def _film_row(state: FilmState, film: Film) -> FilmRow:
    measured = [(name, getattr(film, name)) for name in MEASURES]
    mark = FILM_MARKS.get(state.state or "", Mark.WAITING)
    return FilmRow(
        film=film,
        mark=mark,
        words=None if state.state else _("Not measured in full"),
        values=[reading(name, value) if value is not None else _("not measured") for name, value in measured],
        score=score_words(film),
        sentences=sentences_of(state.reasons),
        is_first=state.is_new_baseline,
    )


def score_words(film: Film) -> str:
    """A callus score with its scale; a hidden cortex gives no total."""
    score = film.score
    if score is None:
        return _("no score")
    each = ", ".join(_("hidden") if cortex is None else str(cortex) for cortex in score.cortices)
    if score.total is None:
        return _("%(scale)s, no total: %(each)s") % {"scale": score.scale.value, "each": each}
    return _("%(scale)s %(total)d: %(each)s") % {"scale": score.scale.value, "total": score.total, "each": each}


# What was recorded


def log_rows(known: Known) -> list[tuple[HistoryEntry, str, str]]:
    """What was recorded, the newest first, with who recorded it."""
    titles = known.visit_titles()
    return [(entry, _entry_words(entry, titles), known.name_of(entry.recorded_by)) for entry in known.entries]


def _entry_words(entry: HistoryEntry, titles: Mapping[str, str]) -> str:
    words = _capital(str(entry.get_kind_display()))
    if "stage" in entry.payload:
        return f"{words}: {printed_stage(Stage(entry.payload['stage']))}"
    title = titles.get(entry.payload.get("visit", ""))
    return f"{words}: {title}" if title else words


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
