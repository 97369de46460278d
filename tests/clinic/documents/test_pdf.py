"""The printed sheet as a file: accessible, self-contained, the same every time.

Checks follow ISO 14289-1 (PDF/UA-1); `outloud` is an outside checker of it.
"""

import os
import subprocess
import sys
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pikepdf
import pymupdf
import pypdf
import pytest

from clinic.documents import pdf as pdf_module
from clinic.documents.pdf import FaultySheet, PdfIsOff, pdf_bytes
from clinic.documents.sheet import TEXT_SIZES, Load, Paper, Person, Site
from rehab.engine.facts import Side, TreatmentKind
from tests.clinic.documents.papers import WRENMOOR, a_sheet, fonts, opened, printed, tags, text_of

pytestmark = pytest.mark.pdf
A4 = (595.3, 841.9)  # points
SAMPLES = [
    a_sheet(load, side, size=size)
    for load, side, size in [
        (Load.NONE, Side.LEFT, 14.0),
        (Load.NO_ORDER, Side.RIGHT, 18.0),
        (Load.TOUCH, Side.RIGHT, 14.0),
        (Load.TOUCH_UNTIL_WEIGHED, Side.LEFT, 18.0),
        (Load.LIMITED, Side.RIGHT, 12.5),
        (Load.LIMITED, Side.LEFT, 24.0),
        (Load.COMFORT, Side.RIGHT, 18.0),
        (Load.FREE, Side.LEFT, 14.0),
    ]
] + [a_sheet(Load.NONE, treatment=TreatmentKind.LONG_LEG_CAST, size=18.0)]
each_sample = pytest.mark.parametrize("sheet", SAMPLES, ids=lambda s: f"{s.load}-{s.side}-{s.size:g}-{s.treatment}")


@each_sample
def test_the_file_declares_itself_accessible(sheet):
    file = opened(printed(sheet))

    assert str(file.Root.Lang) == "en-gb"
    assert bool(file.Root.MarkInfo.Marked) is True
    assert bool(file.Root.ViewerPreferences.DisplayDocTitle) is True
    with file.open_metadata() as metadata:
        assert metadata["dc:title"] == "Your leg: what it may carry"
        assert metadata["pdfuaid:part"] == "1"


@each_sample
def test_every_picture_says_what_it_shows(sheet):
    figures = tags(printed(sheet), "/Figure")

    assert len(figures) >= 4
    assert all(str(figure.get("/Alt", "")) for figure in figures)


@each_sample
def test_every_cell_knows_its_column(sheet):
    cells = tags(printed(sheet), "/TD")

    assert cells
    assert all(len(headers_of(cell)) >= 1 for cell in cells)


def headers_of(cell):
    attributes = cell.get("/A")
    rows = list(attributes) if isinstance(attributes, pikepdf.Array) else [attributes]
    return next((row["/Headers"] for row in rows if row is not None and "/Headers" in row), [])


@each_sample
def test_headings_never_jump_a_level(sheet):
    pdf = printed(sheet)

    assert len(tags(pdf, "/H1")) == 1
    assert len(tags(pdf, "/H2")) >= 5
    assert not tags(pdf, "/H3")


@each_sample
def test_only_the_vendored_face_is_embedded(sheet):
    faces = fonts(printed(sheet))

    assert faces
    assert all("Andika" in face for face in faces)


def test_the_dates_stand_in_order():
    text = text_of(printed(a_sheet()))
    days = ["Wednesday 12 May 2027", "Wednesday 9 June 2027", "Wednesday 4 August 2027", "Wednesday 16 February 2028"]
    places = [text.index(day) for day in days]

    assert places == sorted(places)


@each_sample
def test_each_page_carries_the_person_the_side_and_the_version(sheet):
    for page in pypdf.PdfReader(BytesIO(printed(sheet))).pages:
        text = " ".join(page.extract_text().replace("\N{NO-BREAK SPACE}", " ").split())
        assert "Nadia Rahmani" in text
        assert "born 14 May 1971" in text
        assert "W 20 4118" in text
        assert f"{sheet.side.upper()} leg" in text
        assert "Version 3" in text
        assert sheet.check in text
        assert "Not yet approved by a clinician of this clinic" in text


@each_sample
def test_every_word_lies_on_the_paper(sheet):
    for page in pymupdf.open(stream=printed(sheet)):
        assert (round(page.rect.width, 1), round(page.rect.height, 1)) == A4
        for left, top, right, bottom, word, *_ in page.get_text("words"):
            assert 30 < left < right < page.rect.width - 30, word
            assert 8 < top < bottom < page.rect.height - 8, word


@pytest.mark.parametrize("size", [18.0, 24.0])
@pytest.mark.parametrize("load", Load)
def test_large_print_has_no_word_below_18_points(size, load):
    sizes = sizes_of_words(printed(a_sheet(load, size=size)))

    assert min(sizes) >= 17.99


@pytest.mark.parametrize(("size", "body"), [(12.5, 12.5), (14.0, 14.0), (18.0, 18.0), (24.0, 24.0)])
def test_most_words_have_the_size_that_was_asked_for(size, body):
    sizes = sizes_of_words(printed(a_sheet(size=size)))

    assert max(set(sizes), key=sizes.count) == pytest.approx(body, abs=0.1)


def sizes_of_words(pdf):
    """The size of each run of text in points, words in pictures included."""
    return [
        span["size"]
        for page in pymupdf.open(stream=pdf)
        for block in page.get_text("dict")["blocks"]
        for line in block.get("lines", [])
        for span in line["spans"]
        if span["text"].strip()
    ]


@pytest.mark.parametrize("size", TEXT_SIZES)
def test_no_line_ends_after_its_first_word_with_room_to_spare(size):
    """WeasyPrint 70 does that before bold words, unless the space stands inside them."""
    words = [word for page in pymupdf.open(stream=printed(a_sheet(size=size))) for word in page.get_text("words")]
    pairs = [(one, two) for one, two in pairwise(words) if (one[4], two[4]) == ("Move", "both")]

    assert pairs
    assert all(round(one[3]) == round(two[3]) for one, two in pairs)


def test_at_12_and_a_half_points_a_plate_fits_one_sheet_of_paper():
    assert len(pypdf.PdfReader(BytesIO(printed(a_sheet(size=12.5)))).pages) == 2


def test_letter_paper_is_letter_paper():
    site = Site(lines=WRENMOOR.lines, phone=WRENMOOR.phone, paper=Paper.LETTER)
    page = pypdf.PdfReader(BytesIO(printed(a_sheet(site=site)))).pages[0]

    assert (float(page.mediabox.width), float(page.mediabox.height)) == (612, 792)


@pytest.mark.parametrize("load", Load)
def test_the_same_sheet_is_the_same_bytes(load):
    from clinic.documents.page import sheet_pdf

    assert sheet_pdf(a_sheet(load)) == printed(a_sheet(load))


IN_ANOTHER_PROCESS = """
import sys, django
django.setup()
from tests.clinic.documents.papers import a_sheet
from clinic.documents.page import sheet_pdf
sys.stdout.buffer.write(sheet_pdf(a_sheet()))
"""
NO_FONTS = (
    '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig><cachedir>{}</cachedir></fontconfig>'
)


def test_a_machine_without_any_font_prints_the_same_bytes(tmp_path):
    (tmp_path / "fonts.conf").write_text(NO_FONTS.format(tmp_path / "cache"), encoding="utf-8")
    settings = {"DJANGO_SETTINGS_MODULE": "clinic.conf.settings", "FONTCONFIG_FILE": str(tmp_path / "fonts.conf")}
    root = Path(__file__).parents[3]

    command = [sys.executable, "-c", IN_ANOTHER_PROCESS]
    run = subprocess.run(command, env={**os.environ, **settings}, cwd=root, capture_output=True, check=True)

    assert run.stdout == printed(a_sheet())


def test_a_letter_no_face_can_draw_stops_the_print(tmp_path):
    """U+10FFFD is for private use: no font of any machine draws it."""
    person = Person("Ann \U0010fffd", a_sheet().person.born_on, "1")

    with pytest.raises(FaultySheet, match="U\\+10FFFD"):
        printed(a_sheet(person=person))


@pytest.mark.parametrize("name", ["Łukasz Żółć", "Nguyễn Thị Hạnh", "Ольга Қасымова", "Zoë Nuñez-O’Brien", "Siân Ŵyn"])
def test_names_of_many_languages_are_drawn_in_the_vendored_face(name):
    pdf = printed(a_sheet(person=Person(name, a_sheet().person.born_on, "1")))

    assert name in text_of(pdf)
    assert all("Andika" in face for face in fonts(pdf))


@pytest.mark.parametrize("address", ["file:///etc/hostname", "http://example.org/x.png", "https://example.org/x.png"])
def test_a_template_that_reaches_outside_is_refused(address):
    page = f'<html lang="en"><title>x</title><p>x</p><img alt="x" src="{address}"></html>'

    with pytest.raises(FaultySheet, match="disallowed protocol"):
        pdf_bytes(page)


def test_a_picture_without_words_is_refused():
    dot = "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/%3E"

    with pytest.raises(FaultySheet, match="no required alt description"):
        pdf_bytes(f'<html lang="en"><title>x</title><p>x</p><img alt="" src="{dot}"></html>')


def test_without_pango_the_message_names_the_one_command(monkeypatch):
    def refuse(name, *args, **kwargs):
        if name == "weasyprint":
            raise OSError("cannot load library 'libgobject-2.0-0'")
        return real(name, *args, **kwargs)

    real = __import__
    monkeypatch.setattr("builtins.__import__", refuse)

    with pytest.raises(PdfIsOff, match=r"PDF sheets are off.*sudo apt-get install -y --no-install-recommends libpango"):
        pdf_module.load_weasyprint()


@pytest.mark.slow
@pytest.mark.parametrize("sheet", SAMPLES[:4] + SAMPLES[-1:], ids=lambda s: f"{s.load}-{s.size:g}")
def test_an_outside_checker_finds_no_error(sheet, tmp_path):
    file = tmp_path / "sheet.pdf"
    file.write_bytes(printed(sheet))

    checker = Path(sys.executable).with_name("outloud")
    run = subprocess.run([checker, file, "--quiet"], capture_output=True, text=True, check=False)

    assert run.returncode == 0, run.stdout
    assert "0 error(s)" in run.stdout
