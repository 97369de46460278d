"""Tasks and reminders: due days, instants, and what closes them."""

from datetime import UTC, date, datetime

from rehab.engine.facts import AntibioticReviewClosed, Attended, ClotReviewClosed, Missed, OpenGrade
from tests.rehab.engine.people import CAST, NAIL, PLATE, a_course, a_treatment, at, planned


def clot(plan) -> list[tuple[date, str, int]]:
    """The clot-prevention reviews: day, state, treatment."""
    return [(task.due_on, task.state.value, task.treatment) for task in plan.tasks if task.kind.startswith("clot")]


def test_the_clot_review_comes_back_every_two_weeks_from_its_own_day():
    plan = planned(a_course(PLATE, "2027-04-19"), on="2027-06-01")

    assert clot(plan) == [(date(2027, 5, 28), "overdue", 1), (date(2027, 6, 14), "open", 1)]


def test_closing_the_clot_review_stops_it():
    plan = planned(a_course(PLATE, "2027-04-19", ClotReviewClosed(date(2027, 5, 20))), on="2027-09-01")

    assert clot(plan) == [(date(2027, 5, 28), "closed", 1)]


def test_a_conversion_opens_a_clot_review_of_its_own():
    nail = a_treatment(NAIL, "2027-07-15")
    plan = planned(a_course(CAST, "2027-07-05", ClotReviewClosed(date(2027, 7, 10)), later=(nail,)))

    assert clot(plan) == [(date(2027, 8, 16), "closed", 1), (date(2027, 8, 26), "open", 2)]


def test_a_late_first_cast_visit_asks_for_a_consultant_review_within_72_elapsed_hours():
    plan = planned(a_course(CAST, "2027-03-25", presented_at=at("2027-03-25", 15)))
    (task,) = [task for task in plan.tasks if task.kind == "consultant review"]

    assert (task.due_at, task.due_on) == (datetime(2027, 3, 28, 15, tzinfo=UTC), date(2027, 3, 28))


def consultant(plan) -> list[tuple[datetime | None, str, int]]:
    """The consultant reviews: instant, state, treatment."""
    return [(task.due_at, task.state.value, task.treatment) for task in plan.tasks if task.kind == "consultant review"]


def test_a_missed_first_cast_visit_asks_for_a_consultant_review():
    missed = Missed(date(2027, 3, 3), "C1")
    course = a_course(CAST, "2027-03-01", missed, presented_at=at("2027-03-01", 8))

    assert consultant(planned(course)) == [(datetime(2027, 3, 4, 8, tzinfo=UTC), "open", 1)]


def test_a_new_cast_the_next_day_asks_for_the_review_that_its_first_visit_comes_too_late_for():
    course = a_course(CAST, "2027-03-01", presented_at=at("2027-03-01", 8), later=(a_treatment(CAST, "2027-03-02"),))

    assert consultant(planned(course)) == [(datetime(2027, 3, 4, 8, tzinfo=UTC), "open", 2)]


def test_a_new_cast_weeks_later_asks_for_no_consultant_review():
    course = a_course(CAST, "2027-03-01", Attended(date(2027, 3, 3), "C1"), later=(a_treatment(CAST, "2027-03-22"),))

    assert consultant(planned(course)) == []


def test_a_nail_asks_for_no_consultant_review():
    assert {task.kind for task in planned(a_course(NAIL, "2027-03-25")).tasks} == {"clot prevention review"}


def test_each_antibiotic_review_closes_the_earliest_still_open():
    course = a_course(
        NAIL,
        "2027-06-05",
        AntibioticReviewClosed(date(2027, 6, 7)),
        open_grade=OpenGrade.IIIA,
        wound_closed_at=at("2027-06-06", 1),
    )
    found = [(task.due_at, task.state.value) for task in planned(course).tasks if task.kind == "antibiotic review"]

    assert found == [
        (datetime(2027, 6, 7, 0, tzinfo=UTC), "closed"),
        (datetime(2027, 6, 8, 10, tzinfo=UTC), "open"),
    ]


def sent(plan, visit: str) -> list[tuple[int, datetime]]:
    """Number and instant of each reminder of a visit."""
    return [(reminder.number, reminder.send_at) for reminder in plan.reminders if reminder.visit == visit]


def test_reminders_go_a_week_and_a_working_day_before_at_ten_local():
    plan = planned(a_course(PLATE, "2027-09-24"))  # P2 on Friday 5 November, after the clocks change

    assert sent(plan, "P2") == [
        (1, datetime(2027, 10, 29, 9, tzinfo=UTC)),
        (2, datetime(2027, 11, 4, 10, tzinfo=UTC)),
    ]


def test_a_reminder_for_the_day_the_visit_was_planned_is_left_out():
    plan = planned(a_course(NAIL, "2027-02-02", open_grade=OpenGrade.I))  # O1 on Monday 8 February

    assert sent(plan, "O1") == [(2, datetime(2027, 2, 5, 10, tzinfo=UTC))]


def test_merged_visits_have_one_pair_of_reminders_under_the_earliest_target():
    plan = planned(a_course(CAST, "2027-03-25"))

    assert sent(plan, "C1") == [(2, datetime(2027, 3, 30, 9, tzinfo=UTC))]
    assert sent(plan, "C2") == []


def test_reminders_already_past_are_not_listed_again():
    plan = planned(a_course(NAIL, "2027-02-02"), on="2027-03-01")

    assert plan.reminders[0].send_at == datetime(2027, 3, 8, 10, tzinfo=UTC)
