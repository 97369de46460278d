"""What clinicians record and order: films, findings, stages, union, conversion, discharge."""

from collections.abc import Mapping
from datetime import date, datetime

from django.db import transaction

from clinic.followup.act import Act, Outcome, begin
from clinic.followup.refusals import ReasonNeeded, StageShut
from clinic.people.duties import authoriser_of
from clinic.people.models import Episode, StaffMember
from rehab import services
from rehab.engine import facts
from rehab.models import HistoryEntry


def _one_fact(
    name: str,
    episode: Episode,
    fact: services.Fact,
    by: StaffMember,
    seen_version: int | None,
    at: datetime | None,
    supersedes: HistoryEntry | None = None,
) -> Outcome:
    with transaction.atomic():
        act = begin(name, episode, by, seen_version=seen_version, at=at)
        act.record(fact, supersedes=supersedes)
        return act.finish()


def record_film_reading(
    episode: Episode,
    film: facts.Film,
    *,
    by: StaffMember,
    supersedes: HistoryEntry | None = None,
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Record a surgeon's reading of a pair of films, or a correction of an earlier reading.

    The outcome's `difference.new_alerts` are what the films raise. Raises CourseFaults.
    """
    return _one_fact("record_film_reading", episode, film, by, seen_version, at, supersedes)


def record_gate_findings(
    episode: Episode,
    visit: str,
    findings: Mapping[str, int | bool],
    *,
    on: date,
    by: StaffMember,
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Record what was found at a visit, by its code. Raises CourseFaults."""
    fact = facts.GateFindings(on, visit, findings)
    return _one_fact("record_gate_findings", episode, fact, by, seen_version, at)


def record_weight(
    episode: Episode,
    tenths_kg: int,
    *,
    on: date,
    by: StaffMember,
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Record a body weight in whole tenths of a kilogram. Raises CourseFaults."""
    return _one_fact("record_weight", episode, facts.Weight(tenths_kg, on), by, seen_version, at)


def record_wedging(
    episode: Episode, *, on: date, by: StaffMember, seen_version: int | None = None, at: datetime | None = None
) -> Outcome:
    """Record that the cast was wedged. Raises CourseFaults."""
    return _one_fact("record_wedging", episode, facts.Wedged(on), by, seen_version, at)


def record_clinical_union(
    episode: Episode,
    yes: bool,
    *,
    on: date,
    by: StaffMember,
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Record the clinical union test. Raises CourseFaults."""
    return _one_fact("record_clinical_union", episode, facts.ClinicalUnion(on, yes), by, seen_version, at)


def confirm_union(
    episode: Episode, *, on: date, by: StaffMember, seen_version: int | None = None, at: datetime | None = None
) -> Outcome:
    """Record that a surgeon confirms the bone has united. Raises CourseFaults."""
    return _one_fact("confirm_union", episode, facts.UnionConfirmed(on), by, seen_version, at)


def close_clot_review(
    episode: Episode, *, on: date, by: StaffMember, seen_version: int | None = None, at: datetime | None = None
) -> Outcome:
    """Record that a surgeon closed the clot-prevention review. Raises CourseFaults."""
    return _one_fact("close_clot_review", episode, facts.ClotReviewClosed(on), by, seen_version, at)


def close_antibiotic_review(
    episode: Episode, *, on: date, by: StaffMember, seen_version: int | None = None, at: datetime | None = None
) -> Outcome:
    """Record that a surgeon closed an antibiotic review. Raises CourseFaults."""
    return _one_fact("close_antibiotic_review", episode, facts.AntibioticReviewClosed(on), by, seen_version, at)


def discharge(
    episode: Episode,
    *,
    on: date,
    by: StaffMember,
    reason: str | None = None,
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Record a surgeon's discharge; it ends the plan only when the usual set is met, or with a reason (R24).

    `outcome.plan.ended_on` says whether it did; `difference.new_alerts` say what is missing.
    """
    return _one_fact("discharge", episode, facts.Discharged(on, reason), by, seen_version, at)


@transaction.atomic
def order_stage(
    episode: Episode,
    stage: facts.Stage,
    *,
    by: StaffMember,
    reason: str = "",
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Order a weight-bearing stage, from today, under the name of whoever orders it (R37).

    A surgeon may order any stage; one that is early or not on the ladder needs her reason.
    Raises StageShut with what the stage waits for when a physiotherapist may not order it yet,
    and ReasonNeeded.
    """
    act = begin("order_stage", episode, by, seen_version=seen_version, at=at)
    order = facts.StageOrdered(act.today, stage, authoriser_of(by))
    if order.by is facts.Authoriser.SURGEON and not reason.strip() and _is_early(act, order):
        raise ReasonNeeded
    act.record(order, why=reason.strip())
    outcome = act.finish()
    if outcome.plan.stage_now.stage is not stage:
        raise StageShut([why for alert in outcome.difference.new_alerts for why in alert.reasons])
    return outcome


def _is_early(act: Act, order: facts.StageOrdered) -> bool:
    """Say whether an order raises the load before the ladder allows it, or beside the ladder."""
    assert act.before is not None  # an episode that can be ordered for has a plan
    if order.stage.rank <= act.before.stage_now.stage.rank:
        return False
    row = next((row for row in act.before.stages if row.stage is order.stage), None)
    return row is None or row.not_before is None or order.on < row.not_before


@transaction.atomic
def convert_treatment(
    episode: Episode,
    kind: facts.TreatmentKind,
    *,
    treated_at: datetime,
    by: StaffMember,
    fixation_principle: facts.FixationPrinciple | None = None,
    seen_version: int | None = None,
    at: datetime | None = None,
) -> Outcome:
    """Record a conversion: a new plan from the operation, the healing clock unbroken (S11).

    Places of the old plan are given back and the patient is told; the stage is non-weightbearing
    until a surgeon orders one. `treated_at` is aware. Raises CourseFaults.
    """
    act = begin("convert_treatment", episode, by, seen_version=seen_version, at=at)
    on = treated_at.astimezone(episode.site.zone).date()
    treatment = facts.Treatment(kind, treated_at, on, fixation_principle)
    act.refuse_the_future(on, "$.treatments[-1].at")
    services.add_treatment(act.injury, treatment, days=act.days, pathways=act.pathways, by=by.user, at=act.at)
    return act.finish()
