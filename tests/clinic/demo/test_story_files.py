from datetime import date
from decimal import Decimal

import pytest

from clinic.demo.story import StoryFaults
from clinic.demo.story_files import read_stories
from rehab.engine.facts import Score, ScoreScale, Stage

STORY = """
title = "A nail"
tells = "Somebody's nail."
person = "rosalind_teague"
today = "came to N2"

[injury]
side = "left"
fracture_class = "A2"
fibula = "intact"

[treatment]
kind = "intramedullary_nail"

[ward]
order = "WBAT"

[[then]]
visit = "N1"

[[then]]
visit = "N2"
film = { coronal = "2.5 varus", rust = [2, 1, 1, "hidden"] }
"""


def write(folder, text=STORY, name="a_nail"):
    (folder / "stories" / f"{name}.toml").write_text(text, encoding="utf-8")


def faults_of(folder, pathways):
    with pytest.raises(StoryFaults) as refused:
        read_stories(pathways, folder)
    return refused.value.faults


def test_every_story_of_the_demo_can_be_read(stories):
    assert len(stories) >= 25


def test_a_story_is_read_as_it_is_written(own_folder, pathways):
    write(own_folder)

    (story,) = read_stories(pathways, own_folder)

    film = story.then[1].film
    assert (story.person.full_name, story.ward.order) == ("Rosalind Teague", Stage.WBAT)
    assert (film.coronal, film.contact) == (Decimal("-2.5"), Decimal(100))
    assert film.score == Score(ScoreScale.RUST, (2, 1, 1, None))


def test_somebody_of_34_years_whose_birthday_is_still_to_come_was_born_35_years_ago(stories):
    person = next(story.person for story in stories if story.person.family_name == "Teague")

    assert person.born_on(date(2027, 1, 14)) == date(1992, 1, 15)
    assert person.born_on(date(2027, 1, 15)) == date(1993, 1, 15)


@pytest.mark.parametrize(
    ("right", "wrong", "fault"),
    [
        ("title", "tittle", "a_nail.toml: “tittle” is not a known key; did you mean “title”?"),
        ('title = "A nail"', "", "a_nail.toml: “title” is missing."),
        ("rosalind_teague", "rosalind_teage", "a_nail.toml.person: “rosalind_teage” is not a known person of "
         "people.toml; did you mean “rosalind_teague”?"),
        ('"left"', '"lefft"', "a_nail.toml: injury.side: “lefft” is not a known side; did you mean “left”?"),
        ('"WBAT"', '"WBT"', "a_nail.toml: ward.order: “WBT” is not a known stage; did you mean “WBAT”?"),
        ('visit = "N1"', 'visit = "NN2"', "a_nail.toml: then 1.visit: “NN2” is not a known visit; did you mean “N2”?"),
        ("2.5 varus", "2.5 vrus", "a_nail.toml: then 2.film: film.coronal: write it like “7 varus” or “2 valgus”, "
         "not “2.5 vrus”."),
        ('[2, 1, 1, "hidden"]', "[2, 1, 1]", "a_nail.toml: then 2.film: film.rust: four cortices are wanted, like "
         '[2, 1, 1, "hidden"], not “[2, 1, 1]”.'),
        ("came to N2", "came to NN2", "a_nail.toml: today: “NN2” is not a known visit; did you mean “N2”?"),
        ('visit = "N1"', 'vist = "N1"', "a_nail.toml: then 1: “vist” is not a known key; did you mean “visit”?"),
        ('visit = "N1"', 'wedged = true', "a_nail.toml: then 1: say which “visit” it was, or how many “days_later”."),
        ('visit = "N1"', 'visit = "N1"\nmissed = true\norder = "FWB"',
         "a_nail.toml: then 1: nothing can be recorded at a visit that was missed."),
    ],
)  # fmt: skip
def test_a_mistyped_story_is_refused_with_its_place_and_what_would_be_right(own_folder, pathways, right, wrong, fault):
    write(own_folder, STORY.replace(right, wrong, 1))

    assert fault in faults_of(own_folder, pathways)


def test_all_faults_of_all_stories_are_named_at_once(own_folder, pathways):
    write(own_folder, STORY.replace('"left"', '"lefft"').replace('"WBAT"', '"WBT"'))
    write(own_folder, STORY.replace("A2", "").replace("came to N2", "tomorrow"), name="b_nail")
    write(own_folder, "title = ", name="c_nail")

    files = [fault.split(".")[0] for fault in faults_of(own_folder, pathways)]

    assert files == ["a_nail", "a_nail", "b_nail", "b_nail", "c_nail"]


def test_a_moment_that_is_none_is_answered_with_examples(own_folder, pathways):
    write(own_folder, STORY.replace("came to N2", "next week"))

    (fault,) = faults_of(own_folder, pathways)

    assert fault.startswith("a_nail.toml.today: “next week” is no moment of a story. Write it like “came to N2”")


def test_one_person_has_one_story(own_folder, pathways):
    write(own_folder)
    write(own_folder, name="b_nail")

    assert faults_of(own_folder, pathways) == ["b_nail.toml: the hospital number WV 40117 is in a_nail.toml already."]


def test_a_person_whose_age_is_missing_is_named(own_folder, pathways):
    write(own_folder)
    people = own_folder / "people.toml"
    people.write_text(people.read_text(encoding="utf-8").replace("age = 34\n", "", 1), encoding="utf-8")

    assert "people.toml: rosalind_teague: “age” is missing." in faults_of(own_folder, pathways)
