from dataclasses import replace
from datetime import date, timedelta

import pytest

from clinic.demo.dating import dated_script
from clinic.demo.script import Untellable
from clinic.demo.story import Moment, Step, Today
from rehab.engine import facts


def script(stories, name, today, days_on, pathways):
    story = next(story for story in stories if story.name == name)
    return dated_script(story, today, days_on(today), pathways)


def test_a_visit_that_was_came_to_is_today_on_a_clinic_day(stories, days_on, pathways):
    today = date(2027, 3, 3)  # a Wednesday

    assert script(stories, "cast_slipping", today, days_on, pathways).day_of("C3") == today


def test_on_a_day_without_clinic_the_visit_was_on_the_last_clinic_day(stories, days_on, pathways):
    assert script(stories, "cast_slipping", date(2027, 3, 4), days_on, pathways).day_of("C3") == date(2027, 3, 3)


def test_on_a_day_without_clinic_an_expected_visit_is_on_the_next_clinic_day(stories, days_on, pathways):
    found = script(stories, "cast_six_weeks", date(2027, 3, 4), days_on, pathways)

    assert found.day_of("C6") == date(2027, 3, 5)


def test_easter_monday_is_no_clinic_day(stories, days_on, pathways):
    found = script(stories, "cast_six_weeks", date(2027, 3, 29), days_on, pathways)

    assert found.day_of("C6") == date(2027, 3, 31)


def test_the_day_after_a_conversion_is_today(stories, days_on, pathways):
    found = script(stories, "case_05_cast_converted_to_nail", date(2027, 3, 4), days_on, pathways)

    (treatment,) = [act.what for act in found.acts if isinstance(act.what, facts.Treatment)]
    assert treatment.kind is facts.TreatmentKind.INTRAMEDULLARY_NAIL
    assert timedelta(1) <= date(2027, 3, 4) - treatment.on <= timedelta(4)


# Days around which a plan is at its oddest: Christmas, Easter, a clock change, a leap day, half a year after Christmas.
ODD_DAYS = ["2026-12-28", "2027-03-30", "2027-07-11", "2027-11-01", "2028-01-03", "2028-02-29", "2028-05-06"]


@pytest.mark.parametrize("today", [date.fromisoformat(day) for day in ODD_DAYS], ids=ODD_DAYS)
def test_every_story_can_be_told_on_odd_days_with_nothing_still_to_come(stories, days_on, pathways, today):
    for story in stories:
        told = dated_script(story, today, days_on(today), pathways)

        assert max(told.days) <= today, story.name
        assert [act.on for act in told.acts] == sorted(act.on for act in told.acts), story.name


def test_a_story_that_needs_more_days_than_it_has_is_refused(stories, days_on, pathways):
    story = next(story for story in stories if story.name == "nail_week_6_slow_start")
    hasty = replace(story, today=Today(Moment.DAY, n_days=3))

    with pytest.raises(Untellable, match="3 days are too few"):
        dated_script(hasty, date(2027, 3, 4), days_on(date(2027, 3, 4)), pathways)


def test_a_visit_that_the_plan_does_not_hold_is_named_with_those_it_holds(stories, days_on, pathways):
    story = next(story for story in stories if story.name == "cast_fresh")
    odd = replace(story, then=(Step(visit="N1"),), today=Today(Moment.DAY, n_days=90))

    with pytest.raises(Untellable, match=r"N1 is not to come .* still to come: C1, C2"):
        dated_script(odd, date(2027, 3, 4), days_on(date(2027, 3, 4)), pathways)
