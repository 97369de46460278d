"""The records of one injury as a course."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from rehab.engine import facts
from rehab.models import HistoryEntry, Injury, Treatment
from rehab.translate.entries import fact_of


def course_of(
    injury: Injury,
    zone: ZoneInfo,
    *,
    treatments: list[Treatment] | None = None,
    without: HistoryEntry | None = None,
) -> facts.Course:
    """Gather everything that stands of one injury; civil dates are the clinic's own (`zone`).

    `treatments` are the effective ones, when they were just read. `without` leaves out one entry:
    the one that is about to be corrected.
    Costs two queries: treatments, and history that nobody corrected.
    """
    treatments = treatments or effective_treatments(injury, zone)
    entries = injury.history.standing().order_by("on", "id")
    if without is not None:
        entries = entries.exclude(pk=without.pk)
    known = [fact_of(entry.kind, entry.on, entry.payload) for entry in entries]
    return facts.Course(
        injury=injury_fact(injury, zone),
        treatments=tuple(treatment_fact(row, zone) for row in treatments),
        history=tuple(fact for fact in known if not isinstance(fact, facts.Weight)),
        born_on=injury.born_on,
        weights=tuple(fact for fact in known if isinstance(fact, facts.Weight)),
    )


def effective_treatments(injury: Injury, zone: ZoneInfo) -> list[Treatment]:
    """List the treatments that have a plan, in order: of several on one local day only the last counts (R4).

    The place in this list, counted from 1, is the number that the plan's rows carry.
    """
    by_day = {_local_day(row.at, zone): row for row in injury.treatments.order_by("at", "number")}
    return list(by_day.values())


def injury_fact(injury: Injury, zone: ZoneInfo) -> facts.Injury:
    """Turn the record of an injury into the fact."""
    return facts.Injury(
        at=injury.at,
        on=_local_day(injury.at, zone),
        presented_at=injury.presented_at,
        side=facts.Side(injury.side),
        bone_segment=injury.bone_segment,
        fracture_class=injury.fracture_class,
        edition=injury.edition,
        fibula=facts.Fibula(injury.fibula),
        open_grade=facts.OpenGrade(injury.open_grade),
        wound_closed_at=injury.wound_closed_at,
        antibiotic_at=injury.antibiotic_at,
        circumstances=frozenset(injury.circumstances),
    )


def treatment_fact(treatment: Treatment, zone: ZoneInfo) -> facts.Treatment:
    """Turn the record of a treatment into the fact."""
    principle = treatment.fixation_principle
    return facts.Treatment(
        kind=facts.TreatmentKind(treatment.kind),
        at=treatment.at,
        on=_local_day(treatment.at, zone),
        fixation_principle=facts.FixationPrinciple(principle) if principle else None,
        planned_on=treatment.planned_on,
    )


def _local_day(at: datetime, zone: ZoneInfo) -> date:
    return at.astimezone(zone).date()
