"""The words of the sheet, read from its HTML, for every load and both sides."""

import html
import re

import pytest

from clinic.documents.page import sheet_html
from clinic.documents.sheet import Load, Paper, Site
from rehab.engine.facts import OpenGrade, Side, Stage, TreatmentKind
from rehab.words import printed_stage
from tests.clinic.documents.papers import STAGES, a_sheet

EVERY = [(load, side) for load in Load for side in Side]
EVERY_KIND = [(load, kind) for load in Load for kind in TreatmentKind]


def words_of(sheet):
    """What a person reads or hears: text and the words of the pictures."""
    page = sheet_html(sheet)
    heard = " ".join(re.findall(r'alt="([^"]*)"', page))
    body = re.sub(r"<title>.*?</title>", " ", page)
    text = re.sub(r"<[^>]*>", " ", body)
    return " ".join(html.unescape(f"{text} {heard}").replace("\N{NO-BREAK SPACE}", " ").split())


def swapped(text):
    """The same text with left and right exchanged."""
    other = {"left": "right", "right": "left", "LEFT": "RIGHT", "RIGHT": "LEFT", "Left": "Right", "Right": "Left"}
    return re.sub(r"\b(left|right)\b", lambda word: other[word[0]], text, flags=re.IGNORECASE)


@pytest.mark.parametrize("load", Load)
def test_a_left_sheet_is_a_right_sheet_with_every_side_word_changed(load):
    left, right = words_of(a_sheet(load, Side.LEFT)), words_of(a_sheet(load, Side.RIGHT))
    feet = re.compile(r"Version 3, Wednesday")  # the check letters differ, as they must

    assert feet.search(left)
    assert without_check(swapped(left)) == without_check(right)


def without_check(text):
    return re.sub(r"check letters [0-9A-F]{4}", "", text)


@pytest.mark.parametrize(("load", "side"), EVERY)
def test_the_tag_and_the_load_name_the_injured_side(load, side):
    words = words_of(a_sheet(load, side))

    assert f"{side.upper()} leg" in words
    assert f"on your {side} leg" in words
    assert f"on your {'left' if side is Side.RIGHT else 'right'} leg." not in words.split("Dates after that")[0]


@pytest.mark.parametrize(("load", "kind"), EVERY_KIND)
def test_no_sheet_prints_a_percentage_or_the_name_of_a_stage(load, kind):
    words = words_of(a_sheet(load, treatment=kind))

    assert "%" not in words
    assert "percent" not in words.lower()
    assert not re.search(r"\b(NWB|TTWB|PWB\d*|WBAT|FWB)\b", words)
    assert "tolerated" not in words


@pytest.mark.parametrize("load", Load)
def test_every_sheet_prints_the_standard_term(load):
    term = printed_stage(STAGES[load][0]).lower()

    assert f"The clinic calls this {term}" in words_of(a_sheet(load))


@pytest.mark.parametrize("load", Load)
def test_no_sheet_prints_the_saying_about_good_and_bad_legs(load):
    words = words_of(a_sheet(load)).lower()

    assert "bad" not in words.replace("bad smell", "")
    assert "goes to heaven" not in words
    assert "good leg" not in words


@pytest.mark.parametrize("load", [Load.NONE, Load.NO_ORDER])
@pytest.mark.parametrize("side", Side)
def test_a_leg_that_bears_nothing_never_leads_downstairs(load, side):
    """Hazard H15: crutch first, hurt leg in front and in the air, down on the good leg."""
    words = words_of(a_sheet(load, side))
    good = "left" if side is Side.RIGHT else "right"

    assert "Down: crutch first" in words
    assert f"Down: {side} leg first" not in words
    assert f"{side} leg go down first" not in words
    assert f"Come down on your {good} leg. Keep your {side} foot in the air." in words
    assert f"Your {side} foot never touches a step." in words
    assert "Press at most" not in words


@pytest.mark.parametrize("load", [Load.TOUCH, Load.TOUCH_UNTIL_WEIGHED, Load.LIMITED, Load.COMFORT])
def test_a_leg_that_bears_something_goes_up_last_and_down_first(load):
    words = words_of(a_sheet(load))

    assert "Up the stairs: left leg first" in words
    assert "Down: right leg first" in words


def test_an_old_weight_prints_a_touch_and_no_kilograms():
    words = words_of(a_sheet(Load.TOUCH_UNTIL_WEIGHED))

    assert "foot touch for balance only until weighed" in words
    assert " kg" not in words


def test_no_order_on_file_is_said():
    assert "No order on file." in words_of(a_sheet(Load.NO_ORDER))


def test_the_cap_is_printed_wherever_the_load_is_spoken_of():
    words = words_of(a_sheet(Load.LIMITED, cap_kg=42))

    assert set(re.findall(r"\d+ kg", words)) == {"42 kg"}
    assert "At most 42 kg on your right leg." in words


@pytest.mark.parametrize(("approved_by", "is_marked"), [(None, True), ("Miss R. Calloway", False)])
def test_the_approval_mark_stands_until_a_clinician_has_signed(approved_by, is_marked):
    words = words_of(a_sheet(approved_by=approved_by))

    assert ("Not yet approved by a clinician of this clinic" in words) is is_marked


def test_the_sheet_says_its_version_what_to_throw_away_who_ordered_and_from_when():
    words = words_of(a_sheet())

    assert "Version 3, Wednesday 31 March 2027. Throw version 2 away." in words
    assert "Valid from 31 March 2027. Ordered by Miss R. Calloway, surgeon." in words
    assert "Given by Priya Nandakumar, physiotherapist. Printed 31 March 2027 at 11:05." in words
    assert "Ask for a new sheet after Wednesday 12 May 2027." in words


def test_a_course_file_without_a_person_leaves_lines_to_write_on():
    page = sheet_html(a_sheet(person=None, issue=None, site=Site()))

    assert page.count('class="line') >= 4
    assert "Printed Wednesday 31 March 2027. Throw older sheets away." in page.replace("\N{NO-BREAK SPACE}", " ")


def test_a_name_cannot_break_out_of_the_page():
    from clinic.documents.sheet import Person

    person = Person('<b onload="x">Ann</b>', a_sheet().person.born_on, '"><script>')
    page = sheet_html(a_sheet(person=person))

    assert "<script>" not in page
    assert "<b onload" not in page


@pytest.mark.parametrize(
    ("kind", "grade", "told", "untold"),
    [
        (TreatmentKind.LONG_LEG_CAST, OpenGrade.CLOSED, "Keep the cast dry", "Keep the wound dry"),
        (TreatmentKind.INTRAMEDULLARY_NAIL, OpenGrade.CLOSED, "Keep the wound dry", "Keep the cast dry"),
        (TreatmentKind.PLATE_AND_SCREWS, OpenGrade.CLOSED, "Keep the wound dry", "The cast feels too tight"),
        (TreatmentKind.LONG_LEG_CAST, OpenGrade.II, "Keep the wound dry", "Move your toes, ankle and knee"),
    ],
)
def test_good_to_know_follows_the_treatment(kind, grade, told, untold):
    words = words_of(a_sheet(treatment=kind, open_grade=grade))

    assert told in words
    assert untold not in words


@pytest.mark.parametrize("load", Load)
def test_every_sheet_defers_on_driving_painkillers_and_the_next_step(load):
    words = words_of(a_sheet(load))

    assert "Driving: ask your insurer and the licensing authority. We cannot say yes for them." in words
    assert "Ask us or a pharmacist before you take ibuprofen-type painkillers." in words
    assert "You move to the next step only when we say so." in words
    assert "may drive" not in words
    assert not re.search(r"\b\d+ ?(mg|ml|tablets?)\b", words)


def test_both_legs_hurt_print_no_picture_of_walking():
    words = words_of(a_sheet(both_legs=True))

    assert "Both your legs are hurt." in words
    assert "Drawing:" not in words


def test_an_unplanned_next_visit_is_said_and_never_left_out():
    assert "We will ring you with the day of your next visit" in words_of(a_sheet(next_visit=None, later_visits=()))
    assert "You have no more visits with us" in words_of(a_sheet(next_visit=None, later_visits=(), has_ended=True))


def test_a_day_that_is_only_planned_says_so():
    from dataclasses import replace

    visit = replace(a_sheet().next_visit, is_booked=False)

    assert "This day is planned, not booked yet." in words_of(a_sheet(next_visit=visit))


def test_letter_paper_is_used_where_the_site_says_so():
    from clinic.documents.page import page_rules

    assert "size: Letter" in page_rules(a_sheet(site=Site(paper=Paper.LETTER)))


@pytest.mark.parametrize(("load", "kind"), EVERY_KIND)
def test_the_sheet_reads_at_grade_6_or_below(load, kind):
    """Flesch-Kincaid grade (Kincaid and others 1975; the formula is from memory), syllables counted by rule."""
    assert grade(sentences_of(a_sheet(load, treatment=kind))) <= 6


def sentences_of(sheet):
    """The sentences a person reads: paragraphs, cells and list items, without names and addresses."""
    page = sheet_html(sheet)
    blocks = re.findall(r"<(?:p|li|td|h2)\b[^>]*>(.*?)</(?:p|li|td|h2)>", page, flags=re.DOTALL)
    text = [html.unescape(re.sub(r"<[^>]*>", " ", block)) for block in blocks]
    parts = [part for block in text for part in re.split(r"[.?:;]\s", " ".join(block.split()) + " ")]
    return [part for part in parts if len(part.split()) > 1 and "Wrenmoor" not in part and "20 4118" not in part]


def grade(sentences):
    words = [word for sentence in sentences for word in re.findall(r"[A-Za-z]+", sentence)]
    syllables = sum(max(1, len(re.findall(r"[aeiouy]+", re.sub(r"e$", "", word.lower())))) for word in words)
    return 0.39 * len(words) / len(sentences) + 11.8 * syllables / len(words) - 15.59


def test_inner_languages_never_differ_from_the_pages():
    """One language a document: WeasyPrint does not carry an inner one into the tags."""
    assert sheet_html(a_sheet()).count("lang=") == 1


def test_the_unknown_stage_is_the_stage_without_load():
    assert a_sheet(Load.NO_ORDER).stage is Stage.NWB
