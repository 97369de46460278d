"""The visits of one treatment: attended, missed, merged, called off."""

from datetime import date

from rehab.engine.facts import Attended, Booked, Missed, OpenGrade, UnionConfirmed
from tests.rehab.engine.people import CAST, NAIL, a_course, a_treatment, planned, row, rows

NAILED_ON = "2027-02-02"


def test_an_attended_visit_moves_to_the_day_the_person_came():
    visit = row(planned(a_course(NAIL, NAILED_ON, Attended(date(2027, 2, 17), "N1"))), "N1")

    assert (visit.placed_on, visit.day, visit.healing_day, visit.in_window) == (date(2027, 2, 17), 15, 15, True)


def test_a_missed_visit_stays_and_a_new_row_follows_on_the_next_open_day():
    plan = planned(a_course(CAST, "2027-08-09", Missed(date(2027, 8, 23), "C3")))

    assert rows(plan, "C3") == [(date(2027, 8, 23), "missed"), (date(2027, 8, 25), "planned")]
    assert [visit.deadline_on for visit in plan.visits if visit.code == "C3"] == [None, date(2027, 8, 26)]


def test_the_deadline_counts_from_the_first_miss():
    plan = planned(a_course(CAST, "2027-08-09", Missed(date(2027, 8, 23), "C3"), Missed(date(2027, 8, 25), "C3")))

    third = [visit for visit in plan.visits if visit.code == "C3"][-1]
    assert (third.placed_on, third.deadline_on, third.in_window) == (date(2027, 8, 27), date(2027, 8, 26), False)


def test_one_entry_settles_every_visit_of_its_day():
    plan = planned(a_course(CAST, "2027-03-25", Attended(date(2027, 3, 31), "C1")))

    assert [rows(plan, code) for code in ("C1", "C2")] == [[(date(2027, 3, 31), "attended")]] * 2


def test_an_entry_of_its_own_speaks_for_a_merged_visit():
    plan = planned(a_course(CAST, "2027-03-25", Attended(date(2027, 3, 31), "C1"), Missed(date(2027, 3, 31), "C2")))

    assert rows(plan, "C1") == [(date(2027, 3, 31), "attended")]
    assert rows(plan, "C2") == [(date(2027, 3, 31), "missed"), (date(2027, 4, 2), "planned")]


def test_merged_visits_name_each_other_and_hold_everything_of_both():
    plan = planned(a_course(CAST, "2027-03-25"))
    first, second = row(plan, "C1"), row(plan, "C2")

    assert (first.together_with, second.together_with) == (("C2",), ("C1",))
    assert set(first.contents) == set(second.contents)
    assert any("consultant review" in line for line in second.contents)


def test_a_booked_place_is_the_visits_place():
    visit = row(planned(a_course(NAIL, NAILED_ON, Booked(date(2027, 2, 3), "N1", date(2027, 2, 17)))), "N1")

    assert (visit.placed_on, visit.is_booked, visit.planning_on) == (date(2027, 2, 17), True, date(2027, 2, 3))


def test_the_week_36_visit_is_real_only_once_week_24_has_passed_without_union():
    before, after = (planned(a_course(NAIL, NAILED_ON), on=day) for day in ("2027-07-18", "2027-07-19"))

    assert (row(before, "N5").is_real, row(after, "N5").is_real) == (False, True)


def test_union_by_week_24_leaves_no_week_36_visit():
    assert rows(planned(a_course(NAIL, NAILED_ON, UnionConfirmed(date(2027, 7, 19)))), "N5") == []


def test_union_after_week_24_calls_the_week_36_visit_off():
    plan = planned(a_course(NAIL, NAILED_ON, UnionConfirmed(date(2027, 8, 20))))

    assert rows(plan, "N5") == [(date(2027, 10, 11), "cancelled")]
    assert rows(plan, "N6") == [(date(2028, 1, 31), "planned")]


def test_a_conversion_calls_off_what_is_still_to_come_and_keeps_what_was():
    nail = a_treatment(NAIL, "2027-07-15")
    history = (Attended(date(2027, 7, 7), "C1"), Missed(date(2027, 7, 12), "C2"))
    plan = planned(a_course(CAST, "2027-07-05", *history, later=(nail,)))
    old = [visit for visit in plan.visits if visit.treatment == 1]

    assert [visit.code for visit in old if visit.state == "attended"] == ["C1"]
    assert [visit.code for visit in old if visit.state == "missed"] == ["C2"]
    assert "C11" not in {visit.code for visit in old}
    assert {visit.state for visit in old if visit.code in {"C3", "C12"}} == {"cancelled"}
    assert {visit.treatment for visit in plan.visits if visit.code.startswith("N")} == {2}


def test_wound_visits_of_an_open_fracture_follow_the_grade():
    grade_one = planned(a_course(NAIL, "2027-06-05", open_grade=OpenGrade.I))
    grade_three = planned(a_course(NAIL, "2027-06-05", open_grade=OpenGrade.IIIA))
    in_a_cast = planned(a_course(CAST, "2027-06-05", open_grade=OpenGrade.IIIA))

    extra = [{v.code for v in plan.visits} & {"O1", "O2", "O3", "N3b"} for plan in (grade_one, grade_three, in_a_cast)]
    assert extra == [{"O1", "O3"}, {"O1", "O2", "O3", "N3b"}, {"O1", "O2", "O3"}]


def test_an_entry_that_fits_no_visit_is_handed_back():
    plan = planned(a_course(NAIL, NAILED_ON, Attended(date(2027, 2, 15), "N1"), Attended(date(2027, 2, 17), "N1")))

    assert [(entry.index, entry.visit) for entry in plan.unmatched] == [(1, "N1")]


def test_the_ward_visit_needs_no_row():
    assert planned(a_course(NAIL, NAILED_ON, Attended(date(2027, 2, 2), "N0"))).unmatched == ()


def test_infection_is_asked_about_at_every_visit_of_an_open_fracture_and_of_no_closed_one():
    question = "signs of infection asked about"
    plans = [planned(a_course(NAIL, NAILED_ON, open_grade=grade)) for grade in (OpenGrade.I, OpenGrade.CLOSED)]

    asked = [{visit.contents.count(question) for visit in plan.visits} for plan in plans]
    assert asked == [{1}, {0}]


def test_a_visit_on_another_day_says_first_that_the_person_came_then():
    visit = row(planned(a_course(NAIL, NAILED_ON, Attended(date(2027, 2, 24), "N1"))), "N1")

    assert (visit.in_window, visit.why[0].rule, visit.why[0].values["on"]) == (False, "R17", date(2027, 2, 24))


def test_a_visit_missed_before_its_window_is_not_told_as_late():
    plan = planned(a_course(NAIL, NAILED_ON, Missed(date(2027, 3, 1), "N2")))

    assert rows(plan, "N2")[-1] == (date(2027, 3, 3), "planned")
    assert [visit for visit in plan.visits if visit.code == "N2"][-1].why[-1].code == "rebooked_before_window"


def test_an_entry_of_a_later_treatment_leaves_the_attendances_of_the_earlier_one():
    exchange = a_treatment(NAIL, "2027-09-06")
    history = (Attended(date(2027, 2, 15), "N1"), Attended(date(2027, 9, 13), "O1"))
    course = a_course(NAIL, "2027-02-08", *history, later=(exchange,), open_grade=OpenGrade.I)

    before = [visit for visit in planned(course).visits if visit.treatment == 1 and visit.code == "O1"]
    assert [(visit.placed_on, visit.state) for visit in before] == [(date(2027, 2, 15), "attended")]


def test_who_came_on_the_morning_of_a_conversion_did_come():
    nail = a_treatment(NAIL, "2027-07-12")
    plan = planned(a_course(CAST, "2027-07-05", Attended(date(2027, 7, 12), "C2"), later=(nail,)))

    assert rows(plan, "C2") == [(date(2027, 7, 12), "attended")]
    assert plan.unmatched == ()


def test_a_miss_on_a_day_the_person_came_speaks_for_its_own_visit_alone():
    day = date(2027, 2, 22)  # N1 and O3 lie on other days and are told of this one; O2 is placed on it
    entries = (Attended(day, "N1"), Missed(day, "O3"))
    plans = [
        planned(a_course(NAIL, "2027-02-02", *history, open_grade=OpenGrade.IIIA))
        for history in (entries, entries[::-1])
    ]

    assert [rows(plan, "O2") for plan in plans] == [[(day, "attended")]] * 2
