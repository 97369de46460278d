import json
from io import BytesIO, StringIO

import pypdf
import pytest
from django.core.management import CommandError, call_command

from clinic.documents import pdf as pdf_module
from clinic.documents.management.commands import print_sheet
from tests.clinic.documents.papers import text_of
from tests.rehab.cases.course import nailed

pytestmark = pytest.mark.pdf
COURSE = nailed("2027-02-02", side="right", weight_kg=72.0, weighed_on="2027-02-02")


@pytest.fixture
def course_file(tmp_path):
    """Write a course document to a file."""

    def write(course):
        file = tmp_path / "course.json"
        file.write_text(json.dumps(course.document), encoding="utf-8")
        return file

    return write


@pytest.fixture
def out(tmp_path):
    return tmp_path / "sheet.pdf"


def run(*arguments):
    said = StringIO()
    call_command("print_sheet", *map(str, arguments), stderr=said)
    return said.getvalue()


def test_a_course_file_gives_a_sheet_with_its_days_in_order(course_file, out):
    run(course_file(COURSE), "--out", out, "--on", "2027-02-02")
    text = text_of(out.read_bytes())
    days = ["Monday 15 February 2027", "Monday 15 March 2027", "Monday 26 April 2027", "Monday 19 July 2027"]

    assert [day for day in days if day in text] == days  # worked case 1
    assert sorted(days, key=text.index) == days


def test_without_an_order_the_sheet_says_no_weight(course_file, out):
    run(course_file(COURSE), "--out", out, "--on", "2027-02-02")
    text = text_of(out.read_bytes())

    assert "No weight" in text
    assert "No order on file." in text


def test_later_entries_are_left_out_of_an_earlier_sheet(course_file, out):
    course = COURSE.ordered("WBAT", "2027-02-02").ordered("FWB", "2027-04-26")

    run(course_file(course), "--out", out, "--on", "2027-02-03")

    assert "As comfort allows" in text_of(out.read_bytes())


def test_by_default_the_sheet_is_of_the_newest_day_of_a_course_to_come(course_file, out):
    said = run(course_file(COURSE.ordered("WBAT", "2027-02-04")), "--out", out)

    assert said.startswith("Sheet of Thursday 4 February 2027 written to")
    assert "Not yet approved by a clinician of this clinic." in said


@pytest.mark.parametrize(("size", "points"), [("12.5", 12.5), ("18", 18.0)])
def test_the_size_is_taken(course_file, out, size, points):
    run(course_file(COURSE), "--out", out, "--on", "2027-02-02", "--size", size)

    assert pypdf.PdfReader(BytesIO(out.read_bytes())).pages
    assert f"{points:g} points" in run(course_file(COURSE), "--out", out, "--on", "2027-02-02", "--size", size)


def test_what_is_known_of_the_clinic_is_printed(course_file, out):
    run(course_file(COURSE), "--out", out, "--on", "2027-02-02", "--phone", "07700 900 412", "--place", "Level 1")
    text = text_of(out.read_bytes())

    assert "Ring 07700 900 412" in text
    assert "Level 1." in text
    assert "Call 999 now" in text


def test_every_fault_of_a_course_is_named_at_once_and_nothing_is_written(course_file, out, capsys):
    bad = COURSE.changed("injury", side="both").changed("person", weight_kg="172 lb")

    with pytest.raises(SystemExit) as stopped:
        call_command("print_sheet", str(course_file(bad)), "--out", str(out))

    faults = json.loads(capsys.readouterr().err)
    assert stopped.value.code == 2
    assert {"$.injury.side", "$.person.weight_kg"} <= {fault["path"] for fault in faults}
    assert not out.exists()


def test_a_course_outside_the_pathway_is_refused_with_the_reason(course_file, out):
    with pytest.raises(CommandError, match="outside the pathway") as refused:
        run(course_file(COURSE.changed("injury", bone_segment="43")), "--out", out, "--on", "2027-02-02")

    assert refused.value.returncode == 2
    assert not out.exists()


def test_a_day_before_the_treatment_is_refused(course_file, out):
    with pytest.raises(CommandError, match=r"Give --on a day from Tuesday 2 February 2027\."):
        run(course_file(COURSE), "--out", out, "--on", "2027-02-01")


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [("--size", "13", "Choose one of 12.5, 14, 18, 24"), ("--on", "1 March", "Give a day as YYYY-MM-DD")],
)
def test_an_impossible_option_says_what_would_be_right(course_file, out, option, value, said):
    with pytest.raises(CommandError, match=said):
        run(course_file(COURSE), "--out", out, option, value)


def test_a_missing_file_is_named(out, capsys):
    with pytest.raises(SystemExit):
        call_command("print_sheet", "nowhere.json", "--out", str(out))

    assert "nowhere.json cannot be read" in capsys.readouterr().err


def test_a_folder_that_does_not_exist_is_named(course_file, tmp_path):
    with pytest.raises(CommandError, match="cannot be written"):
        run(course_file(COURSE), "--out", tmp_path / "nowhere" / "sheet.pdf", "--on", "2027-02-02")


def test_without_pango_the_command_says_how_to_get_it(course_file, out, monkeypatch):
    def refuse(*_):
        raise pdf_module.PdfIsOff

    monkeypatch.setattr(print_sheet, "sheet_pdf", refuse)

    with pytest.raises(CommandError, match="sudo apt-get install"):
        run(course_file(COURSE), "--out", out, "--on", "2027-02-02")
    assert not out.exists()
