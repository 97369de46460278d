"""Scope: refused, signed off, warned."""

from dataclasses import replace
from datetime import date

import pytest

from rehab.engine.facts import Fibula, OpenGrade, Stage
from rehab.engine.scope import is_of_age
from tests.rehab.engine.people import CAST, NAIL, a_course, planned


@pytest.mark.parametrize(
    ("born", "on", "is_adult"),
    [
        (date(2008, 2, 29), date(2026, 2, 28), False),
        (date(2008, 2, 29), date(2026, 3, 1), True),
        (date(2009, 2, 2), date(2027, 2, 2), True),
        (date(2009, 2, 3), date(2027, 2, 2), False),
    ],
)
def test_a_person_comes_of_age_by_the_calendar(born, on, is_adult):
    assert is_of_age(born, on, 18) is is_adult


@pytest.mark.parametrize(
    "changes",
    [{"bone_segment": "43"}, {"bone_segment": "41"}, {"circumstances": frozenset({"pathological fracture"})}],
)
def test_a_refused_person_stays_on_a_clinicians_list(changes):
    plan = planned(a_course(NAIL, "2027-02-02", **changes), on="2027-02-03")

    assert (plan.scope.is_accepted, plan.visits, plan.stages, plan.reminders) == (False, (), (), ())
    assert plan.stage_now.stage is Stage.NWB
    assert [(alert.level, alert.kind) for alert in plan.alerts] == [("RED", "scope")]
    assert [(task.kind, task.due_on) for task in plan.tasks] == [("clinician must arrange follow-up", date(2027, 2, 3))]


def test_somebody_under_age_is_refused():
    course = replace(a_course(NAIL, "2027-02-02"), born_on=date(2010, 1, 1))

    assert planned(course).scope.refused_because[0].code == "under_age"


@pytest.mark.parametrize(
    ("kind", "changes", "code"),
    [
        (NAIL, {"fracture_class": "C3"}, "multifragmentary"),
        (NAIL, {"open_grade": OpenGrade.IIIB}, "flap_or_vessel"),
        (CAST, {"open_grade": OpenGrade.I}, "open_fracture_in_cast"),
        (NAIL, {"fracture_class": "B1"}, "group_gone"),
        (NAIL, {"weight": 399}, "unusual_weight"),
        (NAIL, {"weight": 1601}, "unusual_weight"),
        (NAIL, {"circumstances": frozenset({"neuropathy"})}, "circumstance"),
    ],
)
def test_what_is_unusual_is_planned_and_needs_a_surgeons_sign_off(kind, changes, code):
    plan = planned(a_course(kind, "2027-02-02", **changes))

    assert [reason.code for reason in plan.scope.needs_sign_off] == [code]
    assert [(alert.level, alert.kind) for alert in plan.alerts] == [("AMBER", "scope")]
    assert plan.visits


@pytest.mark.parametrize("changes", [{"weight": 400}, {"weight": 1600}, {"fracture_class": "B1", "edition": 2007}])
def test_what_is_usual_needs_no_sign_off(changes):
    assert planned(a_course(NAIL, "2027-02-02", **changes)).scope.needs_sign_off == ()


def test_an_intact_fibula_in_a_cast_is_worth_knowing_and_under_a_nail_is_not():
    in_cast, nailed = (planned(a_course(kind, "2027-02-02", fibula=Fibula.INTACT)) for kind in (CAST, NAIL))

    assert [(alert.level, alert.kind) for alert in in_cast.alerts] == [("INFO", "scope")]
    assert nailed.alerts == ()
