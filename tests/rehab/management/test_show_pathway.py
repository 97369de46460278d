"""`show_pathway` prints a pathway fit to be read aloud, with every visit, rule and citation."""

import re
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from rehab.engine.facts import TreatmentKind
from rehab.engine.pathway_files import load_pathways, load_sources
from rehab.words.spoken_pathway import spoken_pathway
from tests.rehab.engine.own_copies import NAIL, own_copy

KINDS = list(TreatmentKind)


def show(*arguments):
    """Run the command and give back what it prints."""
    out = StringIO()
    call_command("show_pathway", *arguments, stdout=out)
    return out.getvalue()


def in_one_line(text):
    """The text without its line breaks."""
    return " ".join(text.split())


@pytest.mark.parametrize("kind", KINDS)
def test_every_visit_is_printed_with_its_days_and_contents(kind):
    pathway, text = load_pathways()[kind], in_one_line(show(kind.value))
    opened = [rule.visit for rule in pathway.open_visits if kind in rule.treatments]

    for visit in (pathway.ward, *pathway.visits, *opened):
        assert re.search(rf"\b{visit.code}\*? {re.escape(visit.title)}", text)
        assert f"Window: day {visit.earliest_day} to day {visit.latest_day}." in text
        assert all(line in text for line in visit.contents)


@pytest.mark.parametrize("kind", KINDS)
def test_every_source_of_every_number_is_printed_as_a_numbered_note(kind):
    pathway, text, sources = load_pathways()[kind], in_one_line(show(kind.value)), load_sources()
    opened = [rule.visit for rule in pathway.open_visits if kind in rule.treatments]
    steps = [*pathway.stages, *pathway.stages_without_default]
    off_ladder = {f"stage.{stage}" for stage in pathway.shared.stages} - {f"stage.{step.stage}" for step in steps}
    used = {key for place, keys in pathway.shared.sources.items() if place not in off_ladder for key in keys}
    used |= {key for part in (pathway, pathway.ward, *pathway.visits, *opened, *steps) for key in part.sources}
    used |= {key for step in steps for gate in step.gates for key in gate.sources}

    assert [key for key in used if sources[key].citation not in text] == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_note_in_the_text_stands_in_the_list_and_none_is_left_over(kind):
    body, notes = show(kind.value).split("Notes: where each number comes from")
    marks = {int(number) for marks in re.findall(r"\[(\d+(?:,\s+\d+)*)\]", body) for number in marks.split(",")}
    listed = [int(number) for number in re.findall(r"^\[(\d+)\]", notes, re.MULTILINE)]

    assert listed == list(range(1, len(listed) + 1))
    assert marks == set(listed)


def test_the_loads_of_the_stages_cite_their_sources():
    """A stage's load comes from the shared rules, so its note names the standard as well as the step's source."""
    text = in_one_line(show("plate"))

    assert "Trompeter A, Costa ML" in text
    assert "Raza and others" in text


def test_each_stage_is_printed_with_its_gate_and_who_may_order_it():
    text = in_one_line(show("nail"))

    assert "Unrestricted weightbearing (no aids needed), full weight bearing." in text
    assert "Not before visit N3 (12 weeks: X-ray and walking)." in text
    assert "- Needs: walks without a limp: yes" in text
    assert "- Needs: pain on walking (0 to 10): 3 or less" in text
    assert "May be ordered by: surgeon, physiotherapist." in text


def test_it_says_that_nobody_has_signed():
    assert "NOT APPROVED. It is a proposal until a named clinician of the clinic signs this version." in show("cast")


def test_it_names_who_signed():
    plain = load_pathways()[TreatmentKind.LONG_LEG_CAST]
    signed = {("long_leg_cast", plain.version, plain.digest): "Miss R. Calloway"}
    pathway = load_pathways(signed=signed)[TreatmentKind.LONG_LEG_CAST]

    text = spoken_pathway(pathway, load_sources())

    assert "Approved: signed by Miss R. Calloway." in text
    assert "NOT APPROVED" not in text


def test_it_says_that_no_date_raises_a_stage():
    assert "No date and no finding raises a stage." in show("plate")


def test_no_share_of_body_weight_is_printed_as_a_percentage():
    """The standard discourages percentages: Trompeter and Costa, Bone Joint J 2024;106-B:1016."""
    steps = show("plate").split("Weight bearing, step by step")[1].split("What an open fracture adds")[0]

    assert "one half of body weight" in in_one_line(steps)
    assert "%" not in steps


@pytest.mark.parametrize(
    ("name", "title"),
    [
        ("intramedullary nail", "INTRAMEDULLARY NAIL"),
        ("intramedullary_nail", "INTRAMEDULLARY NAIL"),
        ("Nail", "INTRAMEDULLARY NAIL"),
        ("long-leg cast", "LONG LEG CAST"),
        ("plate", "PLATE AND SCREWS"),
    ],
)
def test_a_pathway_is_found_by_its_name_its_key_or_a_part_that_fits_only_one(name, title):
    assert show(name).startswith(title)


def test_a_name_of_several_words_needs_no_quotation_marks():
    assert show("plate", "and", "screws").startswith("PLATE AND SCREWS")


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("intramedulary nail", "There is no pathway “intramedulary nail”; did you mean “intramedullary nail”?"),
        ("nale", "There is no pathway “nale”; did you mean “intramedullary nail”?"),
        ("xyzzy", "There is no pathway “xyzzy”. There are: long leg cast, intramedullary nail, plate and screws."),
        ("l", "“l” fits more than one pathway: long leg cast, intramedullary nail, plate and screws."),
    ],
)
def test_a_name_that_fits_none_or_several_is_answered_with_the_names_there_are(name, message):
    with pytest.raises(CommandError, match=re.escape(message)):
        show(name)


def test_a_clinics_own_copy_is_what_is_shown(tmp_path):
    folder = own_copy(tmp_path, NAIL, ("latest_day = 46", "latest_day = 47"))

    assert "Window: day 38 to day 47." in show("nail", "--folder", str(folder))


def test_a_faulty_file_is_not_shown_but_its_faults_are(tmp_path):
    folder = own_copy(tmp_path, NAIL, ("latest_day = 46", "latest_day = 4"))

    with pytest.raises(CommandError, match="the window is 38, target 42, latest 4"):
        show("nail", "--folder", str(folder))
