"""A plan as a JSON document. Keys may be added here, never renamed or taken away."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from rehab.engine.plan import (
    Alert,
    FilmState,
    GateState,
    LadderRow,
    Plan,
    PlannedVisit,
    Reason,
    Reminder,
    Scope,
    StageNow,
    Task,
)
from rehab.words import finding_name, gate_needs, pathway_text, plain_stage, printed_stage, reason_text

Document = dict[str, Any]


def plan_document(plan: Plan) -> Document:
    """Write a plan as plain lists, texts and numbers, always with the same keys in the same order."""
    return {
        "pathway": {
            "treatment": plan.pathway_treatment.value,
            "version": plan.pathway_version,
            "approved_by": plan.approved_by,
        },
        "scope": _scope(plan.scope),
        "anchor_on": plan.anchor_on.isoformat(),
        "healing_clock_from": plan.healing_clock_from.isoformat(),
        "visits": [_visit(visit) for visit in plan.visits],
        "stages": [_step(row) for row in plan.stages],
        "stage_now": _stage_now(plan.stage_now),
        "tasks": [_task(task) for task in plan.tasks],
        "reminders": [_reminder(reminder) for reminder in plan.reminders],
        "alerts": [_alert(alert) for alert in plan.alerts],
        "films": [_film(film) for film in plan.films],
        "union_confirmed_on": _day(plan.union_confirmed_on),
        "ended_on": _day(plan.ended_on),
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _instant(moment: datetime | None) -> str | None:
    return moment.isoformat() if moment else None


def _why(reasons: Iterable[Reason]) -> list[Document]:
    return [{"rule": reason.rule, "text": reason_text(reason)} for reason in reasons]


def _texts(reasons: Iterable[Reason]) -> list[str]:
    return [reason_text(reason) for reason in reasons]


def _scope(scope: Scope) -> Document:
    return {
        "accepted": scope.is_accepted,
        "refused_because": _texts(scope.refused_because),
        "needs_sign_off": _texts(scope.needs_sign_off),
    }


def _visit(visit: PlannedVisit) -> Document:
    return {
        "code": visit.code,
        "title": pathway_text(visit.title),
        "target_on": visit.target_on.isoformat(),
        "earliest_on": visit.earliest_on.isoformat(),
        "latest_on": visit.latest_on.isoformat(),
        "placed_on": _day(visit.placed_on),
        "day": visit.day,
        "in_window": visit.in_window,
        "together_with": list(visit.together_with),
        "contents": [pathway_text(content) for content in visit.contents],
        "only_if_not_united": visit.only_if_not_united,
        "state": visit.state.value,
        "why": _why(visit.why),
        "treatment": visit.treatment,
        "healing_day": visit.healing_day,
        "deadline_on": _day(visit.deadline_on),
        "to_be_booked": visit.is_real,
        "booked": visit.is_booked,
        "attempt": visit.attempt,
        "stations": list(visit.stations),
    }


def _step(row: LadderRow) -> Document:
    return {
        "stage": row.stage.value,
        "printed": printed_stage(row.stage),
        "not_before": _day(row.not_before),
        "cap_kg": row.cap_kg,
        "gate_visit": row.gate_visit,
        "gates": [_gate(gate) for gate in row.gates],
        "authorised_by": [by.value for by in row.authorised_by],
        "plain": plain_stage(row.stage, row.cap_kg),
    }


def _gate(gate: GateState) -> Document:
    return {
        "finding": gate.finding,
        "needs": gate_needs(gate),
        "met": gate.met,
        "words": finding_name(gate.finding),
        "value": gate.value,
        "recorded_on": _day(gate.recorded_on),
    }


def _stage_now(now: StageNow) -> Document:
    return {
        "stage": now.stage.value,
        "printed": printed_stage(now.stage),
        "cap_kg": now.cap_kg,
        "since": now.since.isoformat(),
        "ordered_by": now.ordered_by.value if now.ordered_by else None,
        "plain": plain_stage(now.stage, now.cap_kg),
    }


def _task(task: Task) -> Document:
    return {
        "kind": task.kind,
        "due_on": task.due_on.isoformat(),
        "state": task.state.value,
        "due_at": _instant(task.due_at),
        "treatment": task.treatment,
        "why": _why(task.why),
    }


def _reminder(reminder: Reminder) -> Document:
    return {
        "visit": reminder.visit,
        "number": reminder.number,
        "send_at": reminder.send_at.isoformat(),
        "treatment": reminder.treatment,
        "visit_on": reminder.visit_on.isoformat(),
    }


def _alert(alert: Alert) -> Document:
    return {
        "level": alert.level.value,
        "kind": alert.kind,
        "on": alert.on.isoformat(),
        "text": " ".join(dict.fromkeys(_texts(alert.reasons))),
        "state": "open" if alert.is_open else "closed",
        "visit": alert.visit,
        "why": _why(alert.reasons),
    }


def _film(film: FilmState) -> Document:
    return {
        "on": film.on.isoformat(),
        "state": film.state,
        "new_baseline": film.is_new_baseline,
        "why": _why(film.reasons),
    }
