"""Rules R60 to R64: review tasks and the instants of reminders.

One sentence of R63 has no English example: no. 1 is dropped when seven days before is not before the
last working day before the visit. No week of the E&W holidays is long enough for that.
"""

import pytest

from tests.rehab.cases.course import NAIL, in_cast, nailed, plated

CLOT = "clot prevention review"
PLATE = plated("2027-04-19")  # six weeks end on the bank holiday of 31 May


# R60: clot prevention review


def test_r60_the_first_review_goes_back_to_a_working_day():
    assert PLATE.planned().tasks(CLOT) == [("2027-05-28", "open")]


def test_r60_the_next_review_counts_from_the_nominal_day():
    assert PLATE.planned(on="2027-06-01").tasks(CLOT) == [("2027-05-28", "overdue"), ("2027-06-14", "open")]


def test_r60_the_due_day_itself_is_not_overdue():
    assert PLATE.planned(on="2027-05-28").tasks(CLOT) == [("2027-05-28", "open")]
    assert PLATE.planned(on="2027-05-29").tasks(CLOT) == [("2027-05-28", "overdue"), ("2027-06-14", "open")]


def test_r60_it_comes_back_every_fourteen_days_until_closed():
    plan = PLATE.planned(on="2027-07-01")

    assert [due for due, _ in plan.tasks(CLOT)] == ["2027-05-28", "2027-06-14", "2027-06-28", "2027-07-12"]
    assert [state for _, state in plan.tasks(CLOT)] == ["overdue", "overdue", "overdue", "open"]


def test_r60_closing_ends_it():
    plan = PLATE.clot_review_closed("2027-06-02").planned(on="2027-09-01")

    assert {state for _, state in plan.tasks(CLOT)} == {"closed"}


def test_r60_an_unrestricted_order_moves_no_due_day():
    assert PLATE.ordered("WBAT", "2027-04-20").planned().tasks(CLOT) == [("2027-05-28", "open")]


def test_r60_a_conversion_opens_a_new_review_whatever_was_closed():
    plan = PLATE.clot_review_closed("2027-05-20").then(NAIL, "2027-06-02").planned()

    assert plan.tasks(CLOT, treatment=2) == [("2027-07-14", "open")]


@pytest.mark.parametrize(
    ("anchor_on", "due_on"),
    [
        ("2027-02-12", "2027-03-25"),  # Good Friday, 26 March
        ("2027-02-13", "2027-03-25"),  # the Saturday after it
        ("2027-02-15", "2027-03-25"),  # Easter Monday, 29 March
        ("2027-11-15", "2027-12-24"),  # Monday 27 December, a substitute holiday
        ("2027-11-16", "2027-12-24"),  # Tuesday 28 December, another
        ("2027-11-22", "2027-12-31"),  # Monday 3 January 2028, a substitute holiday
    ],
)
def test_r60_holidays_and_weekends_bring_the_review_forward(anchor_on, due_on):
    assert nailed(anchor_on).planned().tasks(CLOT) == [(due_on, "open")]


def test_r60_a_closed_clinic_is_still_a_working_day():
    plan = nailed("2027-02-02").at_clinic(closed_on=["2027-03-16"], full_on=["2027-03-16"]).planned()

    assert plan.tasks(CLOT) == [("2027-03-16", "open")]


# R61: consultant review


def test_r61_the_review_is_due_72_hours_after_presenting_when_the_first_visit_is_later():
    plan = in_cast("2027-03-02", injured_at="2027-03-01T07:00", presented_at="2027-03-01T08:00").planned()

    assert plan.row("C1")["placed_on"] == "2027-03-05"
    assert plan.due_instants("consultant review") == ["2027-03-04T08:00Z"]
    assert plan.tasks("consultant review") == [("2027-03-04", "open")]


@pytest.mark.parametrize(("presented_at", "n_tasks"), [("2027-03-02T09:29", 1), ("2027-03-02T09:30", 0)])
def test_r61_a_first_visit_within_72_hours_needs_no_task(presented_at, n_tasks):
    course = in_cast("2027-03-02", injured_at="2027-03-02T07:00", presented_at=presented_at)

    assert course.planned().row("C1")["placed_on"] == "2027-03-05"
    assert len(course.planned().tasks("consultant review")) == n_tasks


@pytest.mark.parametrize("course", [nailed("2027-03-02"), plated("2027-03-02")])
def test_r61_after_an_operation_there_is_no_such_task(course):
    assert course.planned().tasks("consultant review") == []


# R62: antibiotic review


def test_r62_grade_two_is_reviewed_24_hours_after_closure():
    course = nailed("2027-02-02", open_grade="II", wound_closed_at="2027-02-02T17:20")

    assert course.planned().due_instants("antibiotic review") == ["2027-02-03T17:20Z"]


def test_r62_without_a_time_of_closure_the_treatment_counts():
    course = nailed("2027-02-02", open_grade="I", treated_at="2027-02-02T15:00")

    assert course.planned().due_instants("antibiotic review") == ["2027-02-03T15:00Z"]


def test_r62_grade_three_is_also_reviewed_72_hours_after_the_injury():
    course = nailed("2027-02-02", injured_at="2027-02-02T11:00", open_grade="IIIC", wound_closed_at="2027-02-02T17:20")

    assert course.planned().due_instants("antibiotic review") == ["2027-02-03T17:20Z", "2027-02-05T11:00Z"]


def test_r62_hours_are_elapsed_hours_over_the_clock_change():
    course = nailed("2027-03-27", open_grade="I", wound_closed_at="2027-03-27T18:00")

    assert course.planned().due_instants("antibiotic review") == ["2027-03-28T18:00Z"]  # 19:00 summer time
    assert course.planned().tasks("antibiotic review") == [("2027-03-28", "open")]


def test_r62_a_closed_fracture_has_no_antibiotic_review():
    assert nailed("2027-02-02").planned().tasks("antibiotic review") == []


def test_r62_a_surgeon_closes_it():
    course = nailed("2027-02-02", open_grade="I").antibiotic_review_closed("2027-02-03")

    assert [state for _, state in course.planned().tasks("antibiotic review")] == ["closed"]


# R63: reminders


def test_r63_the_paper_just_handed_over_needs_no_reminder():
    plan = nailed("2027-02-02", open_grade="II").planned()

    assert plan.row("O1")["placed_on"] == "2027-02-08"
    assert plan.reminders("O1") == [(2, "2027-02-05T10:00Z")]


@pytest.mark.parametrize(
    ("on", "expected"),
    [
        ("2027-02-07", [(1, "2027-02-08T10:00Z"), (2, "2027-02-12T10:00Z")]),
        ("2027-02-08", [(2, "2027-02-12T10:00Z")]),
        ("2027-02-11", [(2, "2027-02-12T10:00Z")]),
        ("2027-02-12", []),
    ],
)
def test_r63_only_reminders_after_the_day_of_asking_are_listed(on, expected):
    assert nailed("2027-02-02").planned(on=on).reminders("N1") == expected


def test_r63_the_first_goes_out_on_a_holiday_and_the_second_on_a_working_day():
    plan = nailed("2027-03-22").planned()  # N1 on Monday 5 April; a week before is Easter Monday

    assert plan.row("N1")["placed_on"] == "2027-04-05"
    assert plan.reminders("N1") == [(1, "2027-03-29T09:00Z"), (2, "2027-04-02T09:00Z")]


def test_r63_the_second_goes_back_over_easter():
    plan = nailed("2027-03-17").planned()  # N1 on Wednesday 31 March, after the Easter holidays

    assert plan.row("N1")["placed_on"] == "2027-03-31"
    assert plan.reminders("N1") == [(1, "2027-03-24T10:00Z"), (2, "2027-03-30T09:00Z")]


def test_r63_a_visit_after_christmas_is_reminded_on_christmas_eve():
    plan = nailed("2027-12-15").planned()  # N1 on Wednesday 29 December

    assert plan.row("N1")["placed_on"] == "2027-12-29"
    assert plan.reminders("N1") == [(1, "2027-12-22T10:00Z"), (2, "2027-12-24T10:00Z")]


def test_r63_a_rebooked_visit_is_planned_on_the_day_it_was_missed():
    plan = nailed("2027-02-02").missed("N2", "2027-03-15").planned()

    assert plan.reminders("N2") == [(2, "2027-03-16T10:00Z")]  # to Wednesday 17 March


def test_r63_what_was_attended_is_not_reminded():
    assert nailed("2027-02-02").attended("N1", "2027-02-15").planned(on="2027-02-03").reminders("N1") == []


def test_r63_ten_o_clock_is_the_clinics_own_ten_o_clock():
    plan = nailed("2027-02-02").at_clinic(time_zone="America/New_York", country="US", subdivision=None).planned()

    # N1 on Wednesday 17 February: Monday 15 is Washington's Birthday, a public holiday.
    assert plan.reminders("N1") == [(1, "2027-02-10T15:00Z"), (2, "2027-02-16T15:00Z")]


# R64: one pair of reminders for a shared attendance


def test_r64_a_shared_attendance_is_reminded_once_under_the_earliest_target():
    plan = in_cast("2027-03-25").planned()

    assert plan.reminders("C1") == [(2, "2027-03-30T09:00Z")]
    assert plan.reminders("C2") == []
