import json
from datetime import date

import pytest

from clinic.demo.story_files import FOLDER
from rehab.files import plan_course

CASES = sorted((FOLDER / "courses").glob("*.json"))


def test_there_is_a_course_file_for_each_of_the_ten_worked_cases():
    assert [path.stem for path in CASES] == [f"case_{n:02}" for n in range(1, 11)]


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_worked_case_can_be_planned(path):
    plan = plan_course(json.loads(path.read_text(encoding="utf-8")), date(2027, 10, 6))

    assert plan["scope"]["accepted"]
    assert len(plan["visits"]) >= 5


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_worked_case_has_its_line_in_the_readme(path):
    assert f"`{path.name}`" in (FOLDER / "README.md").read_text(encoding="utf-8")


# From the case book: the places of case 1, and the alert that ends case 9.
def test_the_first_case_has_the_places_of_the_case_book():
    plan = plan_course(json.loads(CASES[0].read_text(encoding="utf-8")))

    placed = {visit["code"]: visit["placed_on"] for visit in plan["visits"]}
    assert (placed["N1"], placed["N4"], placed["N6"]) == ("2027-02-15", "2027-07-19", "2028-01-31")


def test_the_ninth_case_ends_in_possible_non_union():
    plan = plan_course(json.loads(CASES[8].read_text(encoding="utf-8")))

    assert ("possible non-union", "2027-10-06") in {(alert["kind"], alert["on"]) for alert in plan["alerts"]}
