"""History entries as facts and back. A payload has the keys of the course file (docs/schemas)."""

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from rehab.engine import facts
from rehab.models.history_entry import EntryKind

Payload = dict[str, Any]


def _number(value: Decimal | None) -> int | float | None:
    """Write a measurement as a plain JSON number; the few decimals of a measurement come back exactly."""
    if value is None:
        return None
    return int(value) if value == value.to_integral_value() else float(value)


def _exact(value: object) -> Decimal | None:
    return None if value is None else Decimal(str(value))


def _angle_payload(signed: Decimal | None, below: str, above: str) -> Payload | None:
    if signed is None:
        return None
    toward = None if signed == 0 else below if signed < 0 else above
    return {"degrees": _number(abs(signed)), "toward": toward}


def _signed(angle: Payload | None, below: str) -> Decimal | None:
    if angle is None or angle.get("degrees") is None:
        return None
    degrees = Decimal(str(angle["degrees"]))
    return -degrees if angle.get("toward") == below else degrees


def _film_payload(film: facts.Film) -> Payload:
    score = film.score and {"scale": film.score.scale.value, "cortices": list(film.score.cortices)}
    return {
        "coronal": _angle_payload(film.coronal, "varus", "valgus"),
        "sagittal": _angle_payload(film.sagittal, "apex posterior", "apex anterior"),
        "rotation_degrees": _number(film.rotation),
        "shortening_mm": _number(film.shortening),
        "contact_percent": _number(film.contact),
        "baseline": film.is_baseline,
        "score": score,
    }


def _film(on: date, payload: Payload) -> facts.Film:
    score = payload.get("score")
    return facts.Film(
        on=on,
        coronal=_signed(payload.get("coronal"), "varus"),
        sagittal=_signed(payload.get("sagittal"), "apex posterior"),
        rotation=_exact(payload.get("rotation_degrees")),
        shortening=_exact(payload.get("shortening_mm")),
        contact=_exact(payload.get("contact_percent")),
        is_baseline=payload.get("baseline", False),
        score=score and facts.Score(facts.ScoreScale(score["scale"]), tuple(score["cortices"])),
    )


def _by_surgeon(_fact: object) -> Payload:
    return {"by": facts.Authoriser.SURGEON.value}


KINDS: Mapping[type, EntryKind] = {
    facts.Attended: EntryKind.ATTENDED,
    facts.Missed: EntryKind.MISSED,
    facts.Booked: EntryKind.BOOKED,
    facts.Film: EntryKind.FILM,
    facts.GateFindings: EntryKind.GATE_FINDINGS,
    facts.StageOrdered: EntryKind.STAGE_ORDERED,
    facts.Wedged: EntryKind.WEDGED,
    facts.ClinicalUnion: EntryKind.CLINICAL_UNION,
    facts.UnionConfirmed: EntryKind.UNION_CONFIRMED,
    facts.ClotReviewClosed: EntryKind.CLOT_REVIEW_CLOSED,
    facts.AntibioticReviewClosed: EntryKind.ANTIBIOTIC_REVIEW_CLOSED,
    facts.Discharged: EntryKind.DISCHARGED,
    facts.Weight: EntryKind.WEIGHED,
}

_PAYLOADS: Mapping[EntryKind, Callable[[Any], Payload]] = {
    EntryKind.ATTENDED: lambda fact: {"visit": fact.visit},
    EntryKind.MISSED: lambda fact: {"visit": fact.visit},
    EntryKind.BOOKED: lambda fact: {"visit": fact.visit, "place_on": fact.place_on.isoformat()},
    EntryKind.FILM: _film_payload,
    EntryKind.GATE_FINDINGS: lambda fact: {"visit": fact.visit, "findings": dict(fact.findings)},
    EntryKind.STAGE_ORDERED: lambda fact: {"stage": fact.stage.value, "by": fact.by.value},
    EntryKind.WEDGED: lambda _: {},
    EntryKind.CLINICAL_UNION: lambda fact: {"yes": fact.yes},
    EntryKind.UNION_CONFIRMED: _by_surgeon,
    EntryKind.CLOT_REVIEW_CLOSED: _by_surgeon,
    EntryKind.ANTIBIOTIC_REVIEW_CLOSED: _by_surgeon,
    EntryKind.DISCHARGED: lambda fact: _by_surgeon(fact) | ({"reason": fact.reason} if fact.reason else {}),
    EntryKind.WEIGHED: lambda fact: {"tenths_kg": fact.tenths_kg},
}

_FACTS: Mapping[str, Callable[[date, Payload], Any]] = {
    EntryKind.ATTENDED: lambda on, was: facts.Attended(on, was["visit"]),
    EntryKind.MISSED: lambda on, was: facts.Missed(on, was["visit"]),
    EntryKind.BOOKED: lambda on, was: facts.Booked(on, was["visit"], date.fromisoformat(was["place_on"])),
    EntryKind.FILM: _film,
    EntryKind.GATE_FINDINGS: lambda on, was: facts.GateFindings(on, was["visit"], was["findings"]),
    EntryKind.STAGE_ORDERED: lambda on, was: facts.StageOrdered(
        on, facts.Stage(was["stage"]), facts.Authoriser(was["by"])
    ),
    EntryKind.WEDGED: lambda on, _: facts.Wedged(on),
    EntryKind.CLINICAL_UNION: lambda on, was: facts.ClinicalUnion(on, was["yes"]),
    EntryKind.UNION_CONFIRMED: lambda on, _: facts.UnionConfirmed(on),
    EntryKind.CLOT_REVIEW_CLOSED: lambda on, _: facts.ClotReviewClosed(on),
    EntryKind.ANTIBIOTIC_REVIEW_CLOSED: lambda on, _: facts.AntibioticReviewClosed(on),
    EntryKind.DISCHARGED: lambda on, was: facts.Discharged(on, was.get("reason")),
    EntryKind.WEIGHED: lambda on, was: facts.Weight(was["tenths_kg"], on),
}


def day_of(fact: facts.HistoryEntry | facts.Weight) -> date:
    """Give the civil day a fact belongs to."""
    return fact.weighed_on if isinstance(fact, facts.Weight) else fact.on


def payload_of(fact: facts.HistoryEntry | facts.Weight) -> tuple[EntryKind, Payload]:
    """Turn a fact into the kind and payload of its record."""
    kind = KINDS[type(fact)]
    return kind, _PAYLOADS[kind](fact)


def fact_of(kind: str, on: date, payload: Payload) -> facts.HistoryEntry | facts.Weight:
    """Turn a record's kind, day and payload back into the fact."""
    return _FACTS[kind](on, payload)
