"""Sheets to test with, and how a test reads a printed one."""

from datetime import date, datetime, time
from functools import cache
from io import BytesIO

import pikepdf
import pypdf

from clinic.documents.page import sheet_pdf
from clinic.documents.sheet import Issue, Load, Person, Sheet, SheetVisit, Site
from rehab.engine.facts import Authoriser, OpenGrade, Side, Stage, TreatmentKind

NADIA = Person("Nadia Rahmani", date(1971, 5, 14), "W 20 4118")
WRENMOOR = Site(
    lines=("Fracture clinic", "Wrenmoor General Hospital", "Level 1, desk C"),
    note="Allow 2 hours.",
    phone="07700 900 412",
    hours="Monday to Friday, 08:30 to 16:30",
    emergency_number="999",
    page_address="wrenmoor.example.org/p",
)
THIRD = Issue(3, 2, datetime(2027, 3, 31, 11, 5), "Miss R. Calloway, surgeon", "Priya Nandakumar, physiotherapist")  # noqa: DTZ001 - clinic time
STAGES = {
    Load.NO_ORDER: (Stage.NWB, None, 0.0),
    Load.NONE: (Stage.NWB, None, 0.0),
    Load.TOUCH: (Stage.TTWB, 8, 0.1),
    Load.TOUCH_UNTIL_WEIGHED: (Stage.PWB50, None, 0.1),
    Load.LIMITED: (Stage.PWB50, 42, 0.5),
    Load.COMFORT: (Stage.WBAT, None, 1.0),
    Load.FREE: (Stage.FWB, None, 1.0),
}


def a_sheet(load=Load.LIMITED, side=Side.RIGHT, **details):
    """Nadia Rahmani's sheet of Wednesday 31 March 2027, with other details where given."""
    stage, cap_kg, share = STAGES[load]
    usual = {
        "side": side,
        "treatment": TreatmentKind.PLATE_AND_SCREWS,
        "treated_on": date(2027, 2, 17),
        "open_grade": OpenGrade.CLOSED,
        "stage": stage,
        "load": load,
        "cap_kg": cap_kg,
        "share": share,
        "valid_from": date(2027, 3, 31),
        "ordered_by": None if load is Load.NO_ORDER else Authoriser.SURGEON,
        "printed_on": date(2027, 3, 31),
        "pathway_version": "2026-11-1",
        "approved_by": None,
        "next_visit": SheetVisit(date(2027, 5, 12), time(9, 20), ("12 weeks: X-ray and walking",), is_booked=True),
        "later_visits": (
            SheetVisit(date(2027, 6, 9), time(10, 0), ("16 weeks: X-ray, walking without aids",), is_booked=True),
            SheetVisit(date(2027, 8, 4), None, ("24 weeks: X-ray, is it healed?",), is_booked=False),
            SheetVisit(date(2028, 2, 16), None, ("52 weeks: last check",), is_booked=False),
        ),
        "person": NADIA,
        "site": WRENMOOR,
        "issue": THIRD,
    }
    return Sheet(**{**usual, **details})


@cache
def printed(sheet):
    """The sheet as PDF bytes, made once for all tests."""
    return sheet_pdf(sheet)


def text_of(pdf):
    """The text of a PDF, on one line, with ordinary spaces."""
    pages = pypdf.PdfReader(BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).replace("\N{NO-BREAK SPACE}", " ").split())


@cache
def opened(pdf):
    """The PDF as pikepdf sees it; kept open, or what was read from it would vanish."""
    return pikepdf.open(BytesIO(pdf))


def dictionaries(pdf):
    """Every dictionary in the file."""
    return [item for item in opened(pdf).objects if isinstance(item, pikepdf.Dictionary)]


def tags(pdf, kind):
    """All structure elements of a kind, for example /Figure."""
    return [item for item in dictionaries(pdf) if str(item.get("/S", "")) == kind and "/P" in item]


def fonts(pdf):
    """The names of all fonts in the file."""
    return {str(item["/BaseFont"]) for item in dictionaries(pdf) if "/BaseFont" in item}
