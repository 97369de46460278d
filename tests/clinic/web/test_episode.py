import re
from decimal import Decimal

import pytest
from django.urls import reverse

from clinic.followup.services import (
    order_stage,
    record_film_reading,
    record_gate_findings,
    record_weight,
    register_patient,
)
from rehab.engine import facts
from tests.support import cast

pytestmark = pytest.mark.django_db

BUDGET = 19  # the same for one entry and for fifty


@pytest.fixture
def page(signed_in, clerk, ann):
    """Ann's episode page as the clerk sees it."""
    return lambda: signed_in(clerk).get(reverse("episode", args=[ann.uuid]))


def test_two_identifiers_and_the_side_in_words_stand_on_top(page):
    text = page().content.decode()
    identity = text[text.index('class="identity"') : text.index("<main")]

    assert "Ann TOLLIVER" in identity
    assert "15\N{NO-BREAK SPACE}January\N{NO-BREAK SPACE}1993" in identity
    assert "HH 0001" in identity
    assert "RIGHT leg" in identity
    assert "LEFT" not in identity


@pytest.mark.parametrize(
    ("segment", "words"),
    [
        ("42", "Tibia shaft, closed, 42-A2."),
        ("41", "Tibia, upper end, closed, 41-A2."),
        ("43", "Tibia, lower end, closed, 43-A2."),
    ],
)
def test_only_the_shaft_is_called_the_shaft(signed_in, clerk, segment, words):
    episode = register_patient(cast.typed(bone_segment=segment), by=clerk, at=cast.DAY_ZERO).episode

    line = signed_in(clerk).get(reverse("episode", args=[episode.uuid])).context["injury_line"]

    assert line.startswith(words)


def test_without_an_order_the_leg_is_non_weightbearing_whatever_the_pathway_proposes(page):
    answer = page()

    assert answer.context["sentence"] == "No order on file: non-weightbearing until a surgeon orders a stage."
    assert "no order on file" in answer.content.decode()


def test_an_order_is_shown_with_who_gave_it(page, ann, surgeon):
    order_stage(ann, facts.Stage.TTWB, by=surgeon, reason="slow start", at=cast.DAY_ZERO)

    answer = page()

    assert answer.context["sentence"] == "Limited weightbearing, at most 7 kg, foot touch for balance."
    assert answer.context["ordered"] == "Ordered by Sita Rowan, surgeon on Tuesday 2 February 2027."


def test_a_share_of_body_weight_is_never_printed(page, ann, surgeon):
    order_stage(ann, facts.Stage.PWB50, by=surgeon, reason="her choice", at=cast.DAY_ZERO)

    text = page().content.decode()

    assert "36 kg" in text
    assert not re.search(r"\b50\s?%|PWB|TTWB|WBAT|FWB|NWB", text)


def test_every_planned_visit_says_why(page):
    rows = page().context["visits"]

    assert len(rows) >= 5
    assert all(row.reasons for row in rows)


def test_a_film_over_the_limit_stands_above_everything_and_one_line_a_measure(page, ann, surgeon):
    record_film_reading(ann, facts.Film(cast.date(2027, 2, 2), coronal=Decimal(-2)), by=surgeon, at=cast.DAY_ZERO)
    record_film_reading(ann, facts.Film(cast.date(2027, 2, 2), coronal=Decimal(-7)), by=surgeon, at=cast.DAY_ZERO)

    answer = page()

    (alert,) = answer.context["red"]
    assert alert.words == "Over the limit"
    assert alert.sentences == [
        "7° varus. Over the limit of 5°. Changed by 5° since the first film, Tuesday 2 February 2027."
    ]


def test_an_unsigned_pathway_says_so(page):
    assert "Not approved until a named clinician has signed." in page().content.decode()


def test_no_page_needs_a_style_or_a_script_written_inside_it(page):
    text = page().content.decode()

    assert ' style="' not in text
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)


def test_every_id_on_the_page_is_there_once(page):
    ids = re.findall(r'\bid="([^"]+)"', page().content.decode())

    assert len(ids) == len(set(ids))


def test_the_ladder_and_the_year_are_told_in_words_beside_the_drawings(page):
    text = page().content.decode()

    assert "Now: Non-weightbearing, no order on file: 0 kg, no load, since 2\N{NO-BREAK SPACE}February" in text
    assert 'class="ladder-wide"' in text
    assert 'class="time-line-wide"' in text


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("N0", "Gate findings: On the ward, before going home"),
        ("N1", "Gate findings: 2 weeks: wound check"),
    ],
)
def test_what_was_recorded_names_the_visit_and_never_its_code(page, ann, physiotherapist, code, words):
    on = cast.date(2027, 2, 2)
    record_gate_findings(ann, code, {"rest_pain": 2}, on=on, by=physiotherapist, at=cast.DAY_ZERO)

    assert page().context["log"][0][1] == words


@pytest.mark.parametrize("entries", [1, 50])
def test_the_episode_page_asks_the_database_no_more_with_50_entries_than_with_1(
    signed_in, clerk, surgeon, ann, entries, django_assert_max_num_queries
):
    for n in range(entries):
        record_weight(ann, 700 + n, on=cast.date(2027, 2, 2), by=surgeon, at=cast.DAY_ZERO)
    browser = signed_in(clerk)

    with django_assert_max_num_queries(BUDGET):
        browser.get(reverse("episode", args=[ann.uuid]))
