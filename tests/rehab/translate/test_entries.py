from datetime import date
from decimal import Decimal

import pytest

from rehab.engine import facts
from rehab.engine.plan import Reason
from rehab.models import PlannedVisit
from rehab.translate import fact_of, payload_of, reason_values, reasons_of
from rehab.translate.entries import KINDS, day_of

ON = date(2027, 3, 17)
ENTRIES = [
    facts.Attended(ON, "N1"),
    facts.Missed(ON, "N2"),
    facts.Booked(ON, "N3", date(2027, 4, 26)),
    facts.Film(
        ON,
        coronal=Decimal("-2.5"),
        sagittal=Decimal(5),
        rotation=Decimal(0),
        shortening=Decimal("3.1"),
        contact=Decimal(100),
        is_baseline=True,
        score=facts.Score(facts.ScoreScale.RUST, (2, 2, 1, None)),
    ),
    facts.Film(ON, coronal=Decimal(0), sagittal=Decimal("-0.1")),
    facts.Film(ON),
    facts.GateFindings(ON, "N2", {"walking_pain": 2, "cast_problem": False}),
    facts.StageOrdered(ON, facts.Stage.PWB50, facts.Authoriser.SURGEON),
    facts.Wedged(ON),
    facts.ClinicalUnion(ON, yes=True),
    facts.UnionConfirmed(ON),
    facts.ClotReviewClosed(ON),
    facts.AntibioticReviewClosed(ON),
    facts.Discharged(ON),
    facts.Discharged(ON, "informed refusal"),
    facts.Weight(725, ON),
]


def test_every_kind_of_fact_is_in_the_table():
    assert {type(fact) for fact in ENTRIES} == set(KINDS)


@pytest.mark.parametrize("fact", ENTRIES, ids=lambda fact: type(fact).__name__)
def test_a_fact_comes_back_from_its_record_unchanged(fact):
    kind, payload = payload_of(fact)

    assert fact_of(kind, day_of(fact), payload) == fact


def test_an_angle_is_stored_with_the_way_it_points():
    _, payload = payload_of(facts.Film(ON, coronal=Decimal(-7), sagittal=Decimal(5)))

    assert payload["coronal"] == {"degrees": 7, "toward": "varus"}
    assert payload["sagittal"] == {"degrees": 5, "toward": "apex anterior"}


def test_a_reason_comes_back_from_its_row_unchanged():
    reason = Reason("S5", "nearest_open_day", {"target": ON, "codes": ("N1", "N2"), "days": 1, "word": "full"})

    row = PlannedVisit(why=[reason_values(reason)])

    assert reasons_of(row) == (reason,)
