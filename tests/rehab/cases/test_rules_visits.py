"""Rules R1 and R13 to R22: where visits are placed, merged, moved and missed."""

import pytest

from tests.rehab.cases.course import in_cast, nailed
from tests.rehab.cases.reading import as_row, rules

NAIL = nailed("2027-02-02").ordered("WBAT", "2027-02-02")
EVERY_WEEKDAY = ["mon", "tue", "wed", "thu", "fri"]
EASTER_CAST = in_cast("2027-03-25", fracture_class="A1")  # C1 and C2 both fall on Wednesday 31 March


# R1: facts place visits; "on" only decides what is still due


def test_r01_a_later_day_of_asking_moves_nothing():
    plan = nailed("2027-02-02").planned(on="2027-03-01")

    assert plan.states("N1") == [("2027-02-15", "planned")]
    assert plan.alert("missed", "2027-02-15")["level"] == "AMBER"
    assert "no outcome recorded" in plan.alert("missed", "2027-02-15")["text"].lower()


def test_r01_only_reminders_still_due_are_listed():
    plan = nailed("2027-02-02").planned(on="2027-03-01")

    assert plan.reminders("N1") == []
    assert plan.reminders("N2")[0] == (1, "2027-03-08T10:00Z")


def test_r01_a_person_entered_late_is_planned_from_the_day_of_entry():
    plan = nailed("2027-02-02", planned_on="2027-02-17").planned()

    assert as_row(plan.row("N1"))[4:] == ("2027-02-17", 15, True)


def test_r01_a_person_entered_after_the_window_comes_on_the_next_open_day():
    plan = nailed("2027-02-02", planned_on="2027-02-20").planned()

    assert as_row(plan.row("N1"))[4:] == ("2027-02-22", 20, False)
    assert plan.row("N2")["placed_on"] == "2027-03-15"


# R13: nearest to the target, tie to the earlier, also outside the window


def test_r13_outside_the_window_the_distance_is_to_the_target():
    assert as_row(EASTER_CAST.planned().row("C1"))[4:] == ("2027-03-31", 6, False)


def test_r13_a_tie_outside_the_window_goes_to_the_earlier_day():
    closed = ["2027-02-12", "2027-02-15", "2027-02-17", "2027-02-19"]  # Wed 10 and Mon 22 are both six days off
    row = NAIL.at_clinic(closed_on=closed).planned().row("N1")

    assert as_row(row)[4:] == ("2027-02-10", 8, False)
    assert "S6" in rules(row)


def test_r13_a_later_day_wins_outside_the_window_when_it_is_nearer():
    closed = ["2027-02-12", "2027-02-15", "2027-02-17"]  # Fri 19 is three days off, Wed 10 is six

    assert as_row(NAIL.at_clinic(closed_on=closed).planned().row("N1"))[4:] == ("2027-02-19", 17, False)


def test_r13_a_day_in_the_window_wins_over_a_nearer_one_outside():
    # C2 after a cast on Mon 8 Feb: target Mon 15, window Sun 14 to Wed 17.
    plan = in_cast("2027-02-08").at_clinic(clinic_days=["wed", "sat"]).planned()

    assert as_row(plan.row("C2")) == ("C2", "2027-02-15", "2027-02-14", "2027-02-17", "2027-02-17", 9, True)


def test_r13_the_day_of_the_treatment_is_never_a_place():
    # C1 after a cast on Mon 1 Feb: target Thu 4, window Tue 2 to Thu 4; the clinic opens on Mondays only.
    plan = in_cast("2027-02-01").at_clinic(clinic_days=["mon"]).planned()

    assert as_row(plan.row("C1"))[4:] == ("2027-02-08", 7, False)


def test_r13_the_day_after_the_treatment_is_a_place():
    plan = in_cast("2027-02-01").at_clinic(clinic_days=["tue"]).planned()

    assert as_row(plan.row("C1"))[4:] == ("2027-02-02", 1, True)


# R14: no place at all


def closed_from_february_to_july():
    days = [f"2027-{month:02d}-{day:02d}" for month in range(2, 8) for day in range(1, 32)]
    return [day for day in days if day[5:] not in {"02-29", "02-30", "02-31", "04-31", "06-31"}]


def test_r14_without_an_open_day_a_person_must_act():
    plan = NAIL.at_clinic(closed_on=closed_from_february_to_july()).planned()
    row = plan.row("N1")

    assert (row["placed_on"], row["in_window"]) == (None, False)
    red = [a for a in plan["alerts"] if (a["level"], a["kind"]) == ("RED", "missed")]
    assert any("no place exists" in alert["text"].lower() for alert in red)


def test_r14_an_open_day_within_120_days_after_the_window_is_a_place():
    plan = NAIL.at_clinic(closed_on=closed_from_february_to_july()).planned()

    assert as_row(plan.row("N3"))[4:] == ("2027-08-02", 181, False)  # 90 days after 4 May


# R15 and R16: order is not forced; merged visits keep their own windows


def test_r15_visits_that_fall_together_are_kept_and_merged():
    plan = EASTER_CAST.planned()

    assert plan.row("C1")["placed_on"] == plan.row("C2")["placed_on"] == "2027-03-31"


def test_r16_merged_visits_keep_their_own_window():
    first, second = EASTER_CAST.planned().row("C1"), EASTER_CAST.planned().row("C2")

    assert (first["latest_on"], first["in_window"]) == ("2027-03-28", False)
    assert (second["earliest_on"], second["latest_on"], second["in_window"]) == ("2027-03-31", "2027-04-03", True)
    assert first["together_with"] == ["C2"]


# R17: attended and missed


def test_r17_attending_on_another_day_moves_the_row():
    row = NAIL.attended("N1", "2027-02-17").planned().row("N1")

    assert (row["placed_on"], row["day"], row["in_window"], row["state"]) == ("2027-02-17", 15, True, "attended")


def test_r17_attending_outside_the_window_says_so():
    row = NAIL.attended("N1", "2027-02-22").planned().row("N1")

    assert (row["placed_on"], row["day"], row["in_window"]) == ("2027-02-22", 20, False)


def test_r17_one_entry_counts_for_every_visit_of_the_attendance():
    plan = EASTER_CAST.attended("C1", "2027-03-31").planned()

    assert plan.states("C2") == [("2027-03-31", "attended")]


def test_r17_unless_another_entry_says_otherwise():
    plan = EASTER_CAST.attended("C1", "2027-03-31").missed("C2", "2027-03-31").planned()

    assert plan.states("C1") == [("2027-03-31", "attended")]
    assert plan.states("C2") == [("2027-03-31", "missed"), ("2027-04-02", "planned")]


def test_r17_missing_a_merged_attendance_rebooks_both_visits():
    plan = EASTER_CAST.missed("C1", "2027-03-31").planned()

    assert plan.states("C1") == [("2027-03-31", "missed"), ("2027-04-02", "planned")]
    assert plan.states("C2") == [("2027-03-31", "missed"), ("2027-04-02", "planned")]


# R18 and R19: the rebooked row and its deadline


def test_r18_the_missed_row_stays_and_a_new_row_follows():
    plan = NAIL.missed("N2", "2027-03-15").planned()
    again = plan.rows("N2")[1]

    assert plan.states("N2") == [("2027-03-15", "missed"), ("2027-03-17", "planned")]
    assert (again["earliest_on"], again["latest_on"], again["in_window"]) == ("2027-03-12", "2027-03-20", True)
    assert "S8" in rules(again)


def test_r18_a_clinic_open_every_weekday_sees_the_person_the_next_day():
    plan = NAIL.at_clinic(clinic_days=EVERY_WEEKDAY).missed("N2", "2027-03-16").planned()

    assert plan.states("N2") == [("2027-03-16", "missed"), ("2027-03-17", "planned")]


@pytest.mark.parametrize(
    ("course", "code", "missed_on", "again_on", "deadline_on"),
    [
        (NAIL, "N2", "2027-03-15", "2027-03-17", "2027-03-22"),  # +7
        (NAIL, "N1", "2027-02-15", "2027-02-17", "2027-02-18"),  # wound check: +3
        (nailed("2027-02-02", open_grade="II"), "O1", "2027-02-08", "2027-02-10", "2027-02-11"),  # +3
        (nailed("2027-02-02", open_grade="IIIA"), "N3b", "2027-05-24", "2027-05-26", "2027-05-31"),  # +7
        (in_cast("2027-09-08"), "C1", "2027-09-10", "2027-09-13", "2027-09-13"),  # +3
        (in_cast("2027-09-08"), "C5", "2027-10-06", "2027-10-08", "2027-10-09"),  # +3
        (in_cast("2027-09-08"), "C6", "2027-10-20", "2027-10-22", "2027-10-27"),  # +7
    ],
)
def test_r19_the_deadline_is_3_days_for_early_casts_and_wounds_and_7_otherwise(
    course, code, missed_on, again_on, deadline_on
):
    again = course.missed(code, missed_on).planned().rows(code)[1]

    assert (again["placed_on"], again["deadline_on"]) == (again_on, deadline_on)


def test_r19_the_deadline_counts_from_the_first_miss():
    plan = NAIL.missed("N2", "2027-03-15").missed("N2", "2027-03-17").planned()

    assert plan.rows("N2")[2]["placed_on"] == "2027-03-19"
    assert plan.rows("N2")[2]["deadline_on"] == "2027-03-22"


def test_r19_a_visit_nobody_missed_has_no_deadline():
    assert {visit["deadline_on"] for visit in NAIL.planned()["visits"]} == {None}


# R20: how loud a miss is


def test_r20_a_first_miss_with_a_day_before_the_deadline_is_amber():
    assert NAIL.missed("N2", "2027-03-15").planned().alerts("missed") == [("2027-03-15", "AMBER")]


def test_r20_a_first_miss_without_a_day_before_the_deadline_is_red():
    course = NAIL.at_clinic(closed_on=["2027-03-17", "2027-03-19", "2027-03-22"]).missed("N2", "2027-03-15")

    assert course.planned().states("N2")[1] == ("2027-03-24", "planned")
    assert course.planned().alerts("missed") == [("2027-03-15", "RED")]


def test_r20_the_deadline_day_itself_is_in_time():
    course = NAIL.at_clinic(closed_on=["2027-03-17", "2027-03-19"]).missed("N2", "2027-03-15")

    assert course.planned().alerts("missed") == [("2027-03-15", "AMBER")]


def test_r20_a_second_miss_is_red():
    course = NAIL.missed("N2", "2027-03-15").missed("N2", "2027-03-17")

    assert course.planned().alerts("missed") == [("2027-03-15", "AMBER"), ("2027-03-17", "RED")]


def test_r20_the_alert_closes_when_the_visit_is_attended():
    course = NAIL.missed("N2", "2027-03-15")
    assert course.planned().alert("missed", "2027-03-15")["state"] == "open"

    attended = course.attended("N2", "2027-03-17").planned()

    assert attended.alert("missed", "2027-03-15")["state"] == "closed"


# R21: visits that wait for union


def test_r21_a_starred_visit_is_dated_from_the_start_but_not_reminded():
    row = NAIL.planned().row("N5")

    assert (row["placed_on"], row["only_if_not_united"], row["state"]) == ("2027-10-11", True, "planned")
    assert NAIL.planned(on="2027-07-18").reminders("N5") == []


def test_r21_it_becomes_real_on_the_day_of_week_24():
    assert NAIL.planned(on="2027-07-19").reminders("N5") == [(1, "2027-10-04T09:00Z"), (2, "2027-10-08T09:00Z")]


def test_r21_union_by_week_24_makes_the_row_disappear():
    assert NAIL.union_confirmed("2027-07-19").planned().rows("N5") == []
    assert NAIL.union_confirmed("2027-06-30").planned().rows("N5") == []


def test_r21_union_after_week_24_cancels_it():
    assert NAIL.union_confirmed("2027-08-02").planned().states("N5") == [("2027-10-11", "cancelled")]


def test_r21_a_missed_week_24_never_loses_week_36():
    plan = NAIL.missed("N4", "2027-07-19").planned()

    assert plan.states("N5") == [("2027-10-11", "planned")]
    assert len(plan.reminders("N5")) == 2


# R22: past, and nothing recorded


def test_r22_nothing_is_said_on_the_day_itself():
    assert NAIL.planned(on="2027-02-15").alerts("missed") == []


def test_r22_the_day_after_the_gap_is_shown_and_nothing_moves():
    plan = NAIL.planned(on="2027-02-16")

    assert plan.alerts("missed") == [("2027-02-15", "AMBER")]
    assert plan.states("N1") == [("2027-02-15", "planned")]
