"""The table: fit to be read, 100 columns, everything in words."""

import pytest

from rehab.files import plan_course_file
from rehab.files.plan_table import plan_table
from tests.rehab.cases.course import NAIL, in_cast, nailed
from tests.rehab.files.test_plan_document import COURSES_OF_ALL_KINDS

EASTER_CAST = in_cast(
    "2027-03-25", injured_at="2027-03-25T15:00", side="left", fibula="intact", fracture_class="A1", weight_kg=66.0
)


def table(course):
    return plan_table(plan_course_file(course.document))


def block(text, heading):
    """The lines under a heading, up to the next empty line."""
    return text.split(heading, 1)[1].split("\n\n")[0]


@pytest.mark.parametrize("kind", COURSES_OF_ALL_KINDS)
def test_a_table_is_never_wider_than_100_columns(kind):
    lines = table(COURSES_OF_ALL_KINDS[kind]).splitlines()

    assert max(len(line) for line in lines) <= 100
    assert not any(line != line.rstrip() for line in lines)


def test_the_head_names_side_treatment_days_and_the_missing_signature():
    text = table(EASTER_CAST)

    assert text.startswith(
        "FOLLOW-UP PLAN: left tibia, long leg cast\n"
        "NOT APPROVED: no clinician of this clinic has signed pathway version "
    )
    assert "  Injury, healing clock from  Thursday 25 March 2027\n" in text
    assert "  Day 0 of the treatment      Thursday 25 March 2027\n" in text


def test_the_head_says_that_nobody_has_ordered_a_stage():
    assert "Stage now                   Non-weightbearing. No order on file since Thursday 25 March 2027." in table(
        EASTER_CAST
    )


def test_a_visit_stands_with_place_day_target_window_and_reason():
    text = table(EASTER_CAST)

    assert (
        "  C3    Wed 7 Apr 2027     13      13  Thu 8 Apr 2027   Tue 6 Apr – Sat 10 Apr 2027       planned\n"
        "        2 weeks: X-ray and cast check\n"
    ) in text
    assert "Why: The target, Thursday 8 April 2027, is not open (not a clinic day);" in text


def test_a_window_over_the_new_year_names_both_years():
    assert "Thu 23 Dec 2027 – Thu 6 Jan 2028" in table(in_cast("2027-07-05").then(NAIL, "2027-07-15"))


def test_the_visits_of_each_treatment_stand_under_their_own_heading():
    text = table(in_cast("2027-07-05").attended("C1", "2027-07-07").then(NAIL, "2027-07-15"))

    assert "cancelled" in block(text, "VISITS: long leg cast, day 0 on Monday 5 July 2027")
    nail = block(text, "VISITS: intramedullary nail, day 0 on Thursday 15 July 2027")
    assert "  N4    Wed 29 Dec 2027   167     177" in nail  # visit day and healing day


def test_a_starred_visit_is_marked_and_the_mark_is_explained():
    text = table(nailed("2027-02-02"))

    assert "  N5*   Mon 11 Oct 2027" in text
    assert "  * only when the bone has not united\n" in text


def test_the_ladder_says_what_each_step_waits_for():
    ladder = block(table(EASTER_CAST), "STAGE LADDER: what may be ordered. Nothing begins without an order.")

    assert "  Limited weightbearing (foot touch for balance) (at most 6 kg)\n" in ladder
    assert "        Not before Wednesday 21 April 2027, visit C5. Ordered by: surgeon.\n" in ladder
    assert "        Gate: pain at rest (0 to 10): 3 or less (not recorded)\n" in ladder
    assert "at most 0 kg" not in ladder


def test_tasks_name_their_day_or_instant_in_clinic_time():
    tasks = block(table(EASTER_CAST), "TASKS")

    assert "consultant review of notes and images, due Sunday 28 March 2027 at 16:00: open" in tasks
    assert "clot prevention review, due Thursday 6 May 2027: open" in tasks


def test_reminders_stand_in_clinic_time():
    reminders = block(table(EASTER_CAST), "REMINDERS still to be sent, clinic time")

    assert "  Tuesday 30 March 2027 at 10:00: number 2 for C1 on Wed 31 Mar 2027\n" in reminders


def test_alerts_say_in_words_how_urgent_they_are():
    slipped = in_cast("2027-07-05").film("2027-07-05", varus=2).film("2027-07-12", varus=7)
    changed = in_cast("2027-07-05").film("2027-07-05").film("2027-07-12", varus=3.5)

    assert "  Over the limit (RED), alignment, Monday 12 July 2027, open\n" in table(slipped)
    assert "  Changed (AMBER), alignment, Monday 12 July 2027, open\n" in table(changed)


def test_a_refused_course_says_that_no_plan_is_made_and_who_must_act():
    text = table(COURSES_OF_ALL_KINDS["refused"])

    assert "NO PLAN IS MADE\n  Bone segment 43:" in text
    assert "clinician must arrange follow-up" in block(text, "TASKS")
    assert "VISITS" not in text


def test_a_sign_off_stands_before_the_visits():
    text = table(COURSES_OF_ALL_KINDS["flagged"])

    assert text.index("A SURGEON SIGNS OFF FIRST") < text.index("VISITS")
