"""Two plans compared: kept, moved, added, dropped."""

from datetime import date

from rehab.engine.facts import Attended, Authoriser, Missed, Stage, StageOrdered, UnionConfirmed
from rehab.engine.replan import ChangeKind, compare
from tests.rehab.engine.people import CAST, NAIL, a_course, a_treatment, planned

NAILED_ON = "2027-02-02"


def changes(before, after) -> dict[str, list[str]]:
    """Codes by what became of them, without those kept."""
    difference = compare(before, after)
    return {
        kind.value: [change.visit.code for change in difference.of_kind(kind)]
        for kind in ChangeKind
        if kind is not ChangeKind.KEPT and difference.of_kind(kind)
    }


def test_the_same_facts_change_nothing():
    plan = planned(a_course(NAIL, NAILED_ON))

    difference = compare(plan, planned(a_course(NAIL, NAILED_ON)))

    assert {change.kind for change in difference.visits} == {ChangeKind.KEPT}
    assert (difference.new_alerts, difference.stage_changed) == ((), False)


def test_the_first_plan_adds_every_visit_that_is_to_be_booked():
    assert changes(None, planned(a_course(NAIL, NAILED_ON))) == {"added": ["N1", "N2", "N3", "N4", "N6"]}


def test_a_miss_adds_the_new_place_and_raises_the_alert():
    before = planned(a_course(NAIL, NAILED_ON))
    after = planned(a_course(NAIL, NAILED_ON, Missed(date(2027, 3, 15), "N2")))

    difference = compare(before, after)

    (added,) = difference.of_kind(ChangeKind.ADDED)
    assert (added.visit.placed_on, added.reason.rule) == (date(2027, 3, 17), "S8")
    assert [alert.kind for alert in difference.new_alerts] == ["missed"]


def test_coming_on_another_day_moves_the_visit():
    before = planned(a_course(NAIL, NAILED_ON))
    after = planned(a_course(NAIL, NAILED_ON, Attended(date(2027, 2, 17), "N1")))

    (moved,) = compare(before, after).of_kind(ChangeKind.MOVED)

    assert (moved.before.placed_on, moved.after.placed_on) == (date(2027, 2, 15), date(2027, 2, 17))
    assert moved.reason.rule == "R17"


def test_a_conversion_drops_the_old_visits_and_says_why():
    before = planned(a_course(CAST, "2027-07-05"))
    after = planned(a_course(CAST, "2027-07-05", later=(a_treatment(NAIL, "2027-07-15"),)))

    difference = compare(before, after)

    assert {change.reason.rule for change in difference.of_kind(ChangeKind.DROPPED)} == {"S11"}
    assert len(difference.of_kind(ChangeKind.DROPPED)) == 11


def test_confirmed_union_drops_the_visit_that_was_only_for_those_not_healed():
    before = planned(a_course(NAIL, NAILED_ON), on="2027-08-01")
    after = planned(a_course(NAIL, NAILED_ON, UnionConfirmed(date(2027, 8, 1))), on="2027-08-01")

    (dropped,) = compare(before, after).of_kind(ChangeKind.DROPPED)

    assert (dropped.visit.code, dropped.reason.rule) == ("N5", "R23")


def test_an_order_is_seen_as_a_changed_stage():
    order = StageOrdered(date(2027, 2, 2), Stage.WBAT, Authoriser.SURGEON)

    assert compare(planned(a_course(NAIL, NAILED_ON)), planned(a_course(NAIL, NAILED_ON, order))).stage_changed
