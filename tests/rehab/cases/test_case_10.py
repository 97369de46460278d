"""Worked case 10: year end, a full session, pounds for kilograms (dates from the clinic's case book).

Three of its lines belong to the application and not to a course file: the request for a film of the
wrong side, the two clerks who take the last slot at once, and the reprint with a new version.
"""

import pytest

from tests.rehab.cases.course import nailed
from tests.rehab.cases.reading import as_row, rules

# Right, closed 42-A1, 38 years, 78.0 kg. Injured Monday 13 December 2027, nailed Tuesday 14 December.
COURSE = nailed(
    "2027-12-14",
    injured_at="2027-12-13T19:50",
    fracture_class="A1",
    born_on="1989-08-21",
    weight_kg=78.0,
)
FULL = COURSE.at_clinic(full_on=["2027-12-29"])

# code, target, earliest, latest, placed, day, in window
ROWS = [
    ("N1", "2027-12-28", "2027-12-24", "2027-12-30", "2027-12-29", 15, True),  # substitute holiday on the target
    ("N2", "2028-01-25", "2028-01-21", "2028-01-29", "2028-01-24", 41, True),
    ("N3", "2028-03-07", "2028-02-29", "2028-03-14", "2028-03-06", 83, True),
    ("N4", "2028-05-30", "2028-05-23", "2028-06-06", "2028-05-31", 169, True),  # Monday is a bank holiday
    ("N5", "2028-08-22", "2028-08-15", "2028-08-29", "2028-08-21", 251, True),
    ("N6", "2028-12-12", "2028-11-28", "2028-12-26", "2028-12-11", 363, True),
]


@pytest.mark.parametrize("expected", ROWS, ids=lambda row: row[0])
def test_case_10_each_visit_has_its_target_window_and_place(expected):
    row = COURSE.planned().row(expected[0])

    assert as_row(row) == expected
    assert "S5" in rules(row)


def test_case_10_a_full_session_leaves_only_christmas_eve_in_the_window():
    row = FULL.planned().row("N1")

    assert as_row(row) == ("N1", "2027-12-28", "2027-12-24", "2027-12-30", "2027-12-24", 10, True)


def test_case_10_the_full_session_moves_no_other_visit():
    assert [as_row(FULL.planned().row(row[0])) for row in ROWS[1:]] == ROWS[1:]


def test_case_10_reminders_of_the_christmas_eve_visit():
    assert FULL.planned().reminders("N1") == [(1, "2027-12-17T10:00Z"), (2, "2027-12-23T10:00Z")]


def test_case_10_clot_prevention_review_is_due_on_25_january():
    assert FULL.planned().tasks("clot prevention review") == [("2028-01-25", "open")]


def test_case_10_pounds_are_refused_by_their_path():
    faults = COURSE.changed("person", weight_kg="172 lb").faults()

    assert [path for path, _ in faults] == ["$.person.weight_kg"]


def test_case_10_the_message_about_pounds_says_what_would_be_right():
    [(_, message)] = COURSE.changed("person", weight_kg="172 lb").faults()

    assert "kg" in message or "kilogram" in message


def test_case_10_half_of_the_re_entered_weight_is_39_kg():
    assert COURSE.ordered("PWB50", "2027-12-14").planned().now() == ("PWB50", 39, "surgeon")
