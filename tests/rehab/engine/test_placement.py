"""Where one visit goes."""

from datetime import date

from rehab.engine.placement import DatedWindow, place
from tests.rehab.engine.conftest import a_calendar


def window(target, earliest, latest):
    return DatedWindow(*(date.fromisoformat(day) for day in (target, earliest, latest)))


def test_a_visit_goes_to_its_target_when_the_clinic_is_open(calendar):
    found = place(
        window("2027-07-12", "2027-07-05", "2027-07-19"), calendar, not_before=date(2027, 4, 20), search_days=9
    )

    assert (found.on, found.why.rule, found.why.code) == (date(2027, 7, 12), "S5", "on_target")


def test_a_tie_goes_to_the_earlier_day_and_says_so(calendar):
    found = place(
        window("2027-02-16", "2027-02-12", "2027-02-18"), calendar, not_before=date(2027, 2, 3), search_days=9
    )

    assert (found.on, found.why.code) == (date(2027, 2, 15), "tie_earlier")
    assert found.why.values["other"] == date(2027, 2, 17)


def test_with_no_open_day_inside_the_nearest_outside_is_proposed_and_flagged(calendar):
    easter = window("2027-03-28", "2027-03-26", "2027-03-28")

    found = place(easter, calendar, not_before=date(2027, 3, 26), search_days=120)

    assert (found.on, found.why.rule) == (date(2027, 3, 31), "S6")


def test_outside_the_window_the_earlier_day_wins_a_tie_too():
    calendar = a_calendar(closed_on=frozenset(date(2027, 2, day) for day in (15, 17, 19)))
    tight = window("2027-02-17", "2027-02-16", "2027-02-18")

    # Friday 12 and Monday 22 February are both 5 days away
    assert place(tight, calendar, not_before=date(2027, 2, 3), search_days=120).on == date(2027, 2, 12)


def test_outside_the_window_distance_is_to_the_target_and_not_to_the_edge():
    calendar = a_calendar(closed_on=frozenset(date(2027, 2, day) for day in (15, 17)))
    late_target = window("2027-02-17", "2027-02-13", "2027-02-17")

    assert place(late_target, calendar, not_before=date(2027, 2, 3), search_days=120).on == date(2027, 2, 19)


def test_a_visit_never_goes_before_the_day_it_may_be_planned(calendar):
    late = window("2027-02-16", "2027-02-12", "2027-02-18")

    assert place(late, calendar, not_before=date(2027, 2, 16), search_days=120).on == date(2027, 2, 17)
    assert place(late, calendar, not_before=date(2027, 2, 19), search_days=120).on == date(2027, 2, 19)


def test_no_open_day_in_the_days_searched_gives_no_place():
    calendar = a_calendar(clinic_days=frozenset())

    found = place(
        window("2027-02-16", "2027-02-12", "2027-02-18"), calendar, not_before=date(2027, 2, 3), search_days=120
    )

    assert (found.on, found.why.rule, found.why.code) == (None, "R14", "no_place")
