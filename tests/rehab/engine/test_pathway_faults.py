"""A faulty pathway file gets one clear message a fault, all at once."""

import copy
import tomllib
from datetime import time
from decimal import Decimal

import pytest

from rehab.engine.pathway_checks import check_treatment, check_visits
from rehab.engine.pathway_files import FIGURE_FILES, SHAPES, SHIPPED, check_folder
from rehab.engine.pathway_kinds import check_shape
from rehab.engine.pathway_number_checks import check_figures, check_shared, check_sources
from tests.rehab.engine.own_copies import CAST, NAIL, OPEN, PLATE, SHARED, SOURCES, faults_of, own_copy

N2 = 'code = "N2"\ntitle = "6 weeks: X-ray and walking"\n'


FAULTS = [
    # A name that is not known, with the nearest that is.
    (
        PLATE,
        'finding = "callus_or_fading_cortices"',
        'finding = "calus_or_fading_cortices"',
        "stage 3 “WBAT”, gate 1 “calus_or_fading_cortices”: finding “calus_or_fading_cortices” is not known; "
        "did you mean “callus_or_fading_cortices”?",
    ),
    (
        NAIL,
        'authorised_by = ["surgeon", "physiotherapist"]',
        'authorised_by = ["surgeon", "physio"]',
        "stage 2 “FWB”: authorised_by “physio” is not known; known: physiotherapist, surgeon",
    ),
    (
        NAIL,
        'gate_visit = "N3"',
        'gate_visit = "N33"',
        "stage 2 “FWB”: gate_visit “N33” is not known; did you mean “N3”?",
    ),
    (
        CAST,
        'consultant_visit = "C1"',
        'consultant_visit = "D1"',
        "consultant_visit “D1” is not known; known: C0, C1, C10",
    ),
    (
        NAIL,
        '"x_ray", "physiotherapy"',
        '"xray", "physiotherapy"',
        "visit 2 “N2”: stations “xray” is not known; did you mean “x_ray”?",
    ),
    (
        NAIL,
        '"sprint-prognosis"',
        '"sprint-prognoses"',
        "source “sprint-prognoses” is not known; did you mean “sprint-prognosis”?",
    ),
    # Keys.
    (
        NAIL,
        "target_day = 42",
        "taget_day = 42",
        "visit 2 “N2”: key “taget_day” is not known; did you mean “target_day”?",
    ),
    (
        NAIL,
        "target_day = 42",
        "",
        "visit 2 “N2”: key “target_day” is missing; it must be a whole number from 0 to 9999",
    ),
    (
        NAIL,
        "target_day = 42",
        'target_day = "six weeks"',
        'visit 2 “N2”: “target_day” is "six weeks"; it must be a whole number from 0 to 9999',
    ),
    (
        NAIL,
        "target_day = 42",
        "target_day = true",
        "visit 2 “N2”: “target_day” is true; it must be a whole number from 0 to 9999",
    ),
    (NAIL, 'title = "Intramedullary nail"', 'title = ""', "“title” is empty; it must be a text in quotation marks"),
    # Windows and order.
    (
        NAIL,
        "earliest_day = 38",
        "earliest_day = 43",
        "visit 2 “N2”: the window is 43, target 42, latest 46; it must be earliest ≤ target ≤ latest",
    ),
    (
        NAIL,
        'code = "N3"\ntitle = "12 weeks: X-ray and walking"\ntarget_day = 84\nearliest_day = 77',
        'code = "N3"\ntitle = "12 weeks: X-ray and walking"\ntarget_day = 8\nearliest_day = 7',
        "visit 3 “N3”: comes after visit 2 “N2”, which is later; write them in the order of life",
    ),
    (
        NAIL,
        '[[stage]]\nstage = "WBAT"',
        '[[stage]]\nstage = "FWB"',
        "stage 2 “FWB”: “FWB” is here twice (also stage 1 “FWB”); each may be written once",
    ),
    (PLATE, 'stage = "PWB50"', 'stage = "NWB"', "stage 2 “NWB”: comes after stage 1 “TTWB”, which is later"),
    (PLATE, 'gate_visit = "P3"', 'gate_visit = "P5"', "stage 4 “FWB”: comes after stage 3 “WBAT”, which is later"),
    (NAIL, N2, N2.replace("N2", "N1"), "visit 2 “N1”: “N1” is here twice (also visit 1 “N1”)"),
    (NAIL, N2, N2.replace("N2", "N3b"), "visit 2 “N3b”: “N3b” is here twice (also open_fracture.toml, visit 4)"),
    (NAIL, "decides_delayed_union = true", "", "0 visits have decides_delayed_union = true; exactly one must"),
    (
        NAIL,
        "with_film = true\n",
        "with_film = true\nonly_if_not_united = true\n",
        "ward_visit: key “only_if_not_united” is not known",
    ),
    (
        NAIL,
        'code = "N2"',
        'code = "N2"\nonly_if_not_united = true',
        "visit 2 “N2”: only_if_not_united may only stand on a visit after the one that decides delayed union",
    ),
    # Gates.
    (
        NAIL,
        "at_most = 3",
        "at_most = 3\nat_least = 1",
        "gate 2 “walking_pain”: has at_most, at_least; exactly one of at_most, at_least, equals must be given",
    ),
    (NAIL, "at_most = 3", "", "gate 2 “walking_pain”: says nothing of what is wanted; exactly one of"),
    (NAIL, "at_most = 3", "at_most = 11", "gate 2 “walking_pain”: “at_most” is 11; it must lie between 0 and 10"),
    (
        NAIL,
        "at_most = 3",
        "equals = true",
        "gate 2 “walking_pain”: finding “walking_pain” takes at_most or at_least, not equals",
    ),
    (NAIL, "equals = true", "at_least = 1", "finding “fixation_stable” takes equals = true or false, not at_least"),
    (CAST, "at_least = 1", "at_least = 5", "gate 1 “callus_cortices”: “at_least” is 5; it must lie between 0 and 4"),
    (
        CAST,
        'authorised_when_signed = ["physiotherapist"]',
        'authorised_when_signed = ["surgeon"]',
        "“surgeon” may order this stage already without a signature; name it in one list only",
    ),
    # Sources.
    (
        NAIL,
        'sources = ["nair-2023", "ross-2018", "local-missed-visits"]',
        "",
        'visit 2 “N2”: “target_day” has no source; add sources = ["…"] with a key of sources.toml beside it',
    ),
    (SOURCES, 'known = "practice"', 'known = "hearsay"', "sources.toml: varies-locally: known “hearsay” is not known"),
    # Shared rules and figures.
    (
        SHARED,
        "amber_from_degrees = 3",
        "amber_from_degrees = 6",
        "alignment.change_of_angle: “amber_from_degrees” is 6 and “red_from_degrees” is 5; the first may not be above",
    ),
    (
        SHARED,
        "from_day = 77",
        "from_day = 70",
        "union, low_score 2 “low_score”: comes after union, low_score 1 “slow_start”",
    ),
    (
        SHARED,
        "percent = 75",
        "percent = 40",
        "stage 5 “PWB75”: percent is 40, below the stage before; more load comes later",
    ),
    (SHARED, "percent = 75", "percent = 750", "stage 5 “PWB75”: “percent” is 750; it must lie between 0 and 100"),
    (
        SHARED,
        'stage = "PWB75"',
        'stage = "PWB50"',
        "the stages are NWB, TTWB, PWB25, PWB50, PWB50, WBAT, FWB; they must be",
    ),
    (SHARED, 'code = "flap"', 'code = "bone loss"', "“bone loss” is here twice"),
    (
        SHARED,
        "first_at = 10:00:00",
        'first_at = "10"',
        'reminder: “first_at” is "10"; it must be a time of day such as 10:00:00',
    ),
    ("published_figures.toml", "count = 234", "count = 243", "value is 70.1 but 243 of 334 is 72.8 per cent"),
    (
        "published_figures.toml",
        "value = 70.1",
        "from = 8\nto = 7",
        "“from” is 8 and “to” is 7; the first may not be above the second",
    ),
    ("milestones.toml", "value = 90\n", "", "has no number; give value, or from and to"),
]


@pytest.mark.parametrize(("file", "before", "after", "message"), FAULTS)
def test_each_fault_says_what_is_wrong_and_what_would_be_right(tmp_path, file, before, after, message):
    own_copy(tmp_path, file, (before, after))

    found = faults_of(tmp_path)

    assert any(line.startswith(f"{file}: ") and message in line for line in found), found


def test_a_typo_in_a_finding_is_told_with_its_file_stage_gate_and_the_right_name(tmp_path):
    own_copy(tmp_path, NAIL, ('finding = "walking_pain"', 'finding = "walkin_pain"'))

    assert faults_of(tmp_path) == [
        "intramedullary_nail.toml: stage 2 “FWB”, gate 2 “walkin_pain”: "
        "finding “walkin_pain” is not known; did you mean “walking_pain”?"
    ]


def test_a_step_without_a_gate_is_refused_because_then_time_alone_would_open_it(tmp_path):
    text = (SHIPPED / NAIL).read_text(encoding="utf-8")
    head, tail = text.split("    [[stage.gate]]               # walks 10 metres")
    (tmp_path / NAIL).write_text(head + tail[tail.index("# ----") :], encoding="utf-8")

    assert faults_of(tmp_path) == [
        "intramedullary_nail.toml: stage 2 “FWB”: stage “FWB” has no gate; only NWB may begin without one"
    ]


def test_ten_faults_in_three_files_are_told_at_once(tmp_path):
    own_copy(
        tmp_path,
        NAIL,
        ("target_day = 14", 'target_day = "two weeks"'),
        ("latest_day = 46", "latest_day = 41"),
        ('"x_ray", "physiotherapy"', '"xray", "physiotherapy"'),
        ("at_most = 3", "at_most = 30"),
        ('authorised_by = ["surgeon"]', 'authorised_by = ["sugeon"]'),
    )
    own_copy(tmp_path, SHARED, ("adult_age = 18", "adult_aeg = 18"), ("tries = 5", "tries = -5"))
    own_copy(tmp_path, OPEN, ('grades = ["I",', 'grades = ["1",'), ("latest_day = 9", ""))

    found = faults_of(tmp_path)

    assert len(found) == 10, found  # a misspelt key is two: one too many, one missing
    assert {line.split(":")[0] for line in found} == {NAIL, SHARED, OPEN}


def test_a_file_that_is_not_toml_is_told_with_its_line_and_the_others_are_still_checked(tmp_path):
    own_copy(tmp_path, NAIL, ('title = "Intramedullary nail"', 'title = "Intramedullary nail'))
    own_copy(tmp_path, PLATE, ("target_day = 42", "target_day = -42"))

    found = faults_of(tmp_path)

    assert found[0].startswith("intramedullary_nail.toml: this is not TOML: ")
    assert "at line 10," in found[0]
    assert "plate_and_screws.toml: visit 2 “P2”: “target_day” is -42; it must be a whole number from 0 to 9999" in found


def test_a_file_that_is_not_utf_8_is_told(tmp_path):
    (tmp_path / NAIL).write_bytes(b'title = "caf\xe9"')

    assert faults_of(tmp_path) == ["intramedullary_nail.toml: this is not UTF-8 text; save it again as UTF-8"]


def test_a_source_that_nothing_uses_is_a_warning(tmp_path):
    text = (SHIPPED / SOURCES).read_text(encoding="utf-8")
    more = '\n[nobody-2020]\ncitation = "Nobody, 2020"\nknown = "read"\nsays = "nothing"\n'
    (tmp_path / SOURCES).write_text(text + more, encoding="utf-8")

    report = check_folder(clinic_folder=tmp_path)

    assert report.faults == ()
    assert [str(warning) for warning in report.warnings] == [
        "sources.toml: nobody-2020: no number uses this source; remove it, or name it where it belongs"
    ]


# ---------------------------------------------------------------- whatever is typed, it is told and never breaks

ODD = (-1, "", "no such thing", [], {}, [1], [["a"]], {"a": 1}, Decimal("1.5"), Decimal("nan"), time(9), True, 10**30)
CHECKED = [CAST, NAIL, PLATE, OPEN, SHARED, *FIGURE_FILES]


def leaves(value, path=()):
    """The place of every value in a parsed file."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, held in items:
        yield (*path, key)
        yield from leaves(held, (*path, key))


def with_odd(document, path, odd):
    """A copy of a parsed file with one value replaced; what is not on the way to it is shared."""
    key, *deeper = path
    changed = copy.copy(document)
    changed[key] = with_odd(document[key], deeper, odd) if deeper else odd
    return changed


def every_fault(file, document, modifier, sources):
    """Everything the checks of one file say."""
    found = list(check_shape(file, "", document, SHAPES[file]))
    if file in FIGURE_FILES:
        found += check_figures(file, document)
    elif file == SHARED:
        found += check_shared(file, document)
    elif file == OPEN:
        found += check_visits(file, document)
        found += check_treatment(CAST, CAST_TABLES, document)
    else:
        found += check_treatment(file, document, modifier)
    return found + list(check_sources({file: document}, sources))


def parsed(file):
    return tomllib.loads((SHIPPED / file).read_text(encoding="utf-8"), parse_float=Decimal)


CAST_TABLES = parsed(CAST)


def shortened(file):
    """The parsed file with at most four rows of each long list: all of them are alike."""
    return {key: held[:4] if key in ("figure", "circumstance") else held for key, held in parsed(file).items()}


@pytest.mark.parametrize("file", CHECKED)
def test_an_odd_value_anywhere_never_breaks_the_checks(file):
    """Each value of the file in turn becomes something else; the checks speak or stay silent, but do not fall over."""
    document, modifier, sources = shortened(file), parsed(OPEN), parsed(SOURCES)
    for number, path in enumerate(leaves(document)):
        odd = ODD[number % len(ODD)]
        for fault in every_fault(file, with_odd(document, path, odd), modifier, sources):
            assert str(fault).startswith(file) or str(fault).startswith(CAST)


WRONG_KINDS = ({"a": 1}, [["a"]], Decimal("-1.5"))
ANY_NUMBER = {"value", "from", "to"}  # a published figure may be below zero


@pytest.mark.parametrize("file", CHECKED)
def test_a_value_of_the_wrong_kind_is_refused_wherever_it_stands(file):
    document, modifier, sources = shortened(file), parsed(OPEN), parsed(SOURCES)
    tried = [(path, WRONG_KINDS[n % len(WRONG_KINDS)]) for n, path in enumerate(leaves(document))]
    tried = [(path, odd) for path, odd in tried if path[-1] not in ANY_NUMBER or not isinstance(odd, Decimal)]

    silent = [path for path, odd in tried if not every_fault(file, with_odd(document, path, odd), modifier, sources)]

    assert silent == []
