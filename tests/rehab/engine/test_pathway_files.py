"""The pathway files are whole, sourced, replaceable and signed by content."""

import tomllib
from datetime import date, time
from decimal import Decimal

import pytest

from rehab.engine.facts import Stage, TreatmentKind
from rehab.engine.pathway_faults import PathwayFaults
from rehab.engine.pathway_files import (
    SHIPPED,
    check_folder,
    load_figures,
    load_pathways,
    load_sources,
    pathway_digest,
)
from tests.rehab.engine.own_copies import CAST, NAIL, OPEN, PLATE, SHARED, SOURCES, faults_of, own_copy

ALL = {"long_leg_cast", "intramedullary_nail", "plate_and_screws"}
NUMBERED_FILES = sorted(path.name for path in SHIPPED.glob("*.toml") if path.name != SOURCES)


def is_number(value):
    return isinstance(value, int | float | time | date) and not isinstance(value, bool)


def numbers_without_source(value, sources, place=""):
    """Walk a parsed file and name each number whose own table names no source that exists."""
    if isinstance(value, dict):
        named = value.get("sources", [])
        has_source = named and all(key in sources for key in named)
        for key, held in value.items():
            items = held if isinstance(held, list) else [held]
            if not has_source and any(map(is_number, items)):
                yield f"{place}.{key}"
            yield from numbers_without_source(held, sources, f"{place}.{key}")
    elif isinstance(value, list):
        for number, item in enumerate(value):
            yield from numbers_without_source(item, sources, f"{place}[{number}]")


@pytest.mark.parametrize("file", NUMBERED_FILES)
def test_every_number_stands_beside_a_source_that_exists(file):
    sources = tomllib.loads((SHIPPED / SOURCES).read_text(encoding="utf-8"))
    document = tomllib.loads((SHIPPED / file).read_text(encoding="utf-8"))

    assert list(numbers_without_source(document, sources)) == []


def test_the_walk_itself_finds_a_number_without_a_source():
    assert list(numbers_without_source({"visit": [{"target_day": 14}]}, {})) == [".visit[0].target_day"]
    assert list(numbers_without_source({"at": 1, "sources": ["nowhere"]}, {})) == [".at"]


def test_the_shipped_files_have_no_fault_and_no_warning():
    report = check_folder()

    assert (report.faults, report.warnings) == ((), ())


def test_nothing_is_approved_before_somebody_signs():
    assert {pathway.approved_by for pathway in load_pathways().values()} == {None}


def test_a_signature_counts_for_exactly_the_content_it_was_given_for(tmp_path):
    nail = load_pathways()[TreatmentKind.INTRAMEDULLARY_NAIL]
    signed = {("intramedullary_nail", nail.version, nail.digest): "Miss R. Calloway"}
    own_copy(tmp_path, NAIL, ("latest_day = 46", "latest_day = 47"))

    here, there = load_pathways(signed=signed), load_pathways(clinic_folder=tmp_path, signed=signed)

    assert here[TreatmentKind.INTRAMEDULLARY_NAIL].approved_by == "Miss R. Calloway"
    assert here[TreatmentKind.LONG_LEG_CAST].approved_by is None
    assert there[TreatmentKind.INTRAMEDULLARY_NAIL].approved_by is None


@pytest.mark.parametrize(
    ("file", "before", "after", "is_changed"),
    [
        (NAIL, "latest_day = 46", "latest_day = 47", {"intramedullary_nail"}),
        (NAIL, '"wound check"', '"wound look"', {"intramedullary_nail"}),
        # The modifier and the shared rules are part of every signature.
        (OPEN, "latest_day = 9", "latest_day = 10", ALL),
        (SHARED, "min_days_in_stage = 10", "min_days_in_stage = 11", ALL),
        # A comment is not content.
        (NAIL, "# Follow-up of", "# The follow-up of", set()),
    ],
)
def test_the_digest_changes_with_any_number_or_word_and_with_nothing_else(tmp_path, file, before, after, is_changed):
    own_copy(tmp_path, file, (before, after))

    after_all = {kind: pathway_digest(kind, clinic_folder=tmp_path) for kind in TreatmentKind}
    changed = {kind.value for kind, digest in after_all.items() if digest != pathway_digest(kind)}

    assert changed == is_changed


def test_the_digest_is_a_sha_256():
    assert len(bytes.fromhex(pathway_digest("long_leg_cast"))) == 32


def test_a_clinics_own_copy_replaces_the_shipped_file(tmp_path):
    own_copy(tmp_path, NAIL, ("latest_day = 46", "latest_day = 47"), ('version = "2026-11-1"', 'version = "ours-1"'))

    pathways = load_pathways(clinic_folder=tmp_path)

    nail = pathways[TreatmentKind.INTRAMEDULLARY_NAIL]
    assert (nail.version, nail.visits[1].latest_day) == ("ours-1", 47)
    assert pathways[TreatmentKind.PLATE_AND_SCREWS] == load_pathways()[TreatmentKind.PLATE_AND_SCREWS]


def test_a_changed_file_is_read_again(tmp_path):
    own_copy(tmp_path, NAIL, ('version = "2026-11-1"', 'version = "ours-1"'))
    first = load_pathways(clinic_folder=tmp_path)[TreatmentKind.INTRAMEDULLARY_NAIL].version
    own_copy(tmp_path, NAIL, ('version = "2026-11-1"', 'version = "ours-22"'))

    assert (first, load_pathways(clinic_folder=tmp_path)["intramedullary_nail"].version) == ("ours-1", "ours-22")


def test_a_file_whose_name_is_not_read_is_a_fault_and_not_ignored(tmp_path):
    (tmp_path / "intramedulary_nail.toml").write_text("")

    assert faults_of(tmp_path) == [
        "intramedulary_nail.toml: no file of this name is read; did you mean intramedullary_nail.toml?"
    ]


def test_a_folder_that_does_not_exist_is_a_fault(tmp_path):
    assert faults_of(tmp_path / "nowhere")[0].endswith("give the folder that holds the clinic's own pathway files")


def test_a_missing_file_is_a_fault(tmp_path):
    for path in SHIPPED.glob("*.toml"):
        if path.name != PLATE:
            (tmp_path / path.name).write_bytes(path.read_bytes())

    with pytest.raises(PathwayFaults) as caught:
        load_pathways(folder=tmp_path)

    assert str(caught.value) == f"plate_and_screws.toml: the file is missing from {tmp_path}"


def test_no_source_url_leads_off_the_paper():
    """A citation is words and a DOI; an address that may rot or move is none."""
    assert [key for key, source in load_sources().items() if "://" in source.citation] == []


def test_how_a_source_is_known_is_never_hidden():
    """Figures that rest on memory alone say so (the guideline's 42 days was looked for and not found)."""
    assert load_sources()["nice-ng89-42-days"].known == "memory"
    assert load_sources()["nice-ng89-42-days"].verdict == "unverified"


def test_figures_are_decimals_with_their_counts():
    # Swart and others, Injury 2020, 10.1016/j.injury.2020.10.018 (abstract read): 234 of 334 casts operated.
    figure = load_figures()["cast_to_operation"]

    assert (figure.value, figure.count, figure.of) == (Decimal("70.1"), 234, 334)


def test_searching_for_full_weight_bearing_first_hits_the_stage():
    """Whoever looks for the rule finds the step with its gate, not a remark about it."""
    for file in (CAST, NAIL, PLATE):
        lines = (SHIPPED / file).read_text(encoding="utf-8").splitlines()
        first = next(number for number, line in enumerate(lines) if "full weight bearing" in line.casefold())
        assert lines[first + 1 : first + 3] == ["[[stage]]", 'stage = "FWB"']


def test_nothing_is_parsed_again_while_no_file_has_changed():
    """Every page may ask for the pathways, so asking must be cheap."""
    first, second = load_pathways(), load_pathways()

    assert all(first[kind].visits is second[kind].visits for kind in TreatmentKind)


def test_every_stage_has_a_printed_term():
    shared = load_pathways()[TreatmentKind.LONG_LEG_CAST].shared

    assert list(shared.stages) == list(Stage)


@pytest.mark.parametrize("page", [SHIPPED / "README.md", SHIPPED.parents[1] / "docs" / "pathways.md"])
def test_the_pages_about_pathways_name_every_file(page):
    text = page.read_text(encoding="utf-8")

    assert [path.name for path in SHIPPED.glob("*.toml") if f"`{path.name}`" not in text] == []


def test_the_examples_in_the_page_about_pathways_are_the_shipped_ones():
    page = (SHIPPED.parents[1] / "docs" / "pathways.md").read_text(encoding="utf-8")
    blocks = ["\n".join(line[4:] for line in block.splitlines()) for block in page.split("\n\n") if "[[" in block[:16]]
    visit, step, gate = (tomllib.loads(block.replace("    [[stage.gate]]", "[[gate]]")) for block in blocks)
    shipped = tomllib.loads((SHIPPED / NAIL).read_text(encoding="utf-8"))

    assert visit["visit"][0] in shipped["visit"]
    assert step["stage"][0] in [{key: row[key] for key in row if key != "gate"} for row in shipped["stage"]]
    assert gate["gate"][0] in [row for stage in shipped["stage"] for row in stage.get("gate", [])]
