"""The sheet's words: from a `Sheet` to the context of its templates, to HTML and PDF."""

from datetime import date, time
from typing import Any

from django.template.loader import render_to_string
from django.utils.text import capfirst
from django.utils.translation import get_language, get_language_bidi, gettext

from clinic.documents.pdf import pdf_bytes
from clinic.documents.pictures import lessons, qr_code, soles
from clinic.documents.sheet import LARGE_PRINT, Load, Sheet, SheetVisit
from clinic.documents.sides import joined, side_words
from rehab.engine.facts import Authoriser, OpenGrade, Side, TreatmentKind
from rehab.words import in_words, pathway_text, printed_stage

FIRST = ("head", "version", "load", "next_visit", "help")
LESSONS = ("walking", "stairs")
CROWDED = 5  # later visits; above, drawings no longer fit under them


def sheet_pdf(sheet: Sheet) -> bytes:
    """The sheet as an accessible PDF; equal sheets give equal bytes."""
    return pdf_bytes(sheet_html(sheet), page_rules(sheet))


def sheet_html(sheet: Sheet) -> str:
    """The sheet as one HTML document in the language that is switched on."""
    return render_to_string("handouts/sheet.html", sheet_context(sheet))


def page_rules(sheet: Sheet) -> str:
    """Paper and text size: the two things that differ from sheet to sheet."""
    return f"@page {{ size: {sheet.site.paper} }} html {{ font-size: {sheet.size:g}pt }}"


def sheet_context(sheet: Sheet) -> dict[str, Any]:
    """Everything the templates need, in words."""
    return {**paper_words(sheet), **leg_words(sheet), **visits_words(sheet)}


def paper_words(sheet: Sheet) -> dict[str, Any]:
    """Whose paper this is, which one, and how it is laid out."""
    printed_at = sheet.issue.printed_at if sheet.issue else None
    return {
        "sheet": sheet,
        "site": sheet.site,
        "advice_number": sheet.advice_number,
        "note": joined(sheet.site.note or ""),
        "qr": qr_code(sheet),
        "language": get_language() or "en-gb",
        "direction": "rtl" if get_language_bidi() else "ltr",
        "layout": layout(sheet),
        "blocks": [f"handouts/blocks/{block}.html" for block in order(sheet)],
        "foot": foot(sheet),
        "foot_version": foot_version(sheet),
        "number": joined(sheet.person.number) if sheet.person else "",
        "born_on": day_and_month(sheet.person.born_on) if sheet.person else "",
        "printed_day": day_and_month(sheet.printed_on),
        "printed_on": long_day(sheet.printed_on),
        "printed_time": clock(printed_at.time()) if printed_at else "",
    }


def leg_words(sheet: Sheet) -> dict[str, Any]:
    """Which leg, what it may carry, how to walk with it and how to look after it."""
    hurt, good = side_words(sheet.side)
    return {
        "hurt": hurt,
        "good": good,
        "side_tag": side_tag(sheet.side),
        "soles": soles(sheet),
        "treatment": treatment_line(sheet),
        "load": joined(f"{sheet.cap_kg} kg") if sheet.cap_kg is not None else "",
        "load_block": f"handouts/blocks/load_{sheet.load}.html",
        "printed_stage": printed_stage(sheet.stage),
        "ordered_by": ordered_by(sheet),
        "valid_from": day_and_month(sheet.valid_from),
        "lessons": lessons(sheet),
        "stairs_block": f"handouts/blocks/stairs_{stairs_key(sheet.load)}.html",
        "uses_crutches": sheet.load is not Load.FREE,
        "has_cast": sheet.treatment is TreatmentKind.LONG_LEG_CAST,
        "has_wound": has_wound(sheet),
    }


def visits_words(sheet: Sheet) -> dict[str, Any]:
    """When to come."""
    return {
        "next_visit": visit_words(sheet.next_visit) if sheet.next_visit else None,
        "later_visits": [visit_words(visit) for visit in sheet.later_visits],
    }


def order(sheet: Sheet) -> tuple[str, ...]:
    """The blocks in the order that leaves the least paper empty: drawings cannot be parted, good advice can."""
    if sheet.is_large:
        return (*FIRST, "dates_large", "know", "signed", *LESSONS)
    if is_crowded(sheet):
        return (*FIRST, "dates", "know", *LESSONS, "signed")
    return (*FIRST, "dates", *LESSONS, "know", "signed")


def is_crowded(sheet: Sheet) -> bool:
    """True when the dates fill so much of a page that drawings no longer fit under them."""
    return len(sheet.later_visits) > CROWDED


def layout(sheet: Sheet) -> str:
    """The style sheet's names for this size and load."""
    names = [
        str(sheet.side),
        str(sheet.load),
        "large" if sheet.is_large else "",
        "largest" if sheet.size > LARGE_PRINT else "",
        "crowded" if is_crowded(sheet) else "",
    ]
    return " ".join(filter(None, names))


def side_tag(side: Side) -> str:
    """The side on the tag and at the foot of each page."""
    return gettext("LEFT leg") if side is Side.LEFT else gettext("RIGHT leg")


def foot(sheet: Sheet) -> str:
    """Two identifiers and the side, for the foot of every page."""
    side = joined(side_tag(sheet.side))
    if sheet.person is None:
        return f"{gettext('Name')} {'_' * 16} · {side}"
    born = gettext("born {day}").format(day=day_and_month(sheet.person.born_on))
    number = joined(gettext("no. {number}").format(number=sheet.person.number))
    return f"{sheet.person.name} · {born} · {number} · {side}"


def foot_version(sheet: Sheet) -> str:
    """Which paper this is, for the foot of every page."""
    if sheet.issue is None:
        return day_and_month(sheet.printed_on)
    return joined(gettext("Version {number}").format(number=sheet.issue.version))


def day_and_month(day: date) -> str:
    """A date nobody acts on: day, month in letters, year."""
    return joined(in_words(day).split(" ", 1)[1])


def long_day(day: date) -> str:
    """A date with its weekday; day, month and year never part."""
    weekday, rest = in_words(day).split(" ", 1)
    return f"{weekday} {joined(rest)}"


def treatment_line(sheet: Sheet) -> str:
    """What holds the bone, and since when."""
    hurt, _good = side_words(sheet.side)
    lines = {
        TreatmentKind.LONG_LEG_CAST: gettext("Long leg cast on the {hurt} leg, {day}"),
        TreatmentKind.INTRAMEDULLARY_NAIL: gettext("Nail in the {hurt} shin bone, {day}"),
        TreatmentKind.PLATE_AND_SCREWS: gettext("Plate on the {hurt} shin bone, {day}"),
    }
    return lines[sheet.treatment].format(hurt=hurt, day=day_and_month(sheet.treated_on))


def ordered_by(sheet: Sheet) -> str:
    """Who ordered the stage: a name when the clinic gives one, else the profession."""
    if sheet.ordered_by is None:
        return ""
    if sheet.issue and sheet.issue.ordered_by:
        return sheet.issue.ordered_by
    return gettext("a surgeon") if sheet.ordered_by is Authoriser.SURGEON else gettext("a physiotherapist")


def visit_words(visit: SheetVisit) -> dict[str, Any]:
    """One attendance in words."""
    what_for = capfirst("; ".join(purpose(title) for title in visit.what_for))
    return {
        "day": long_day(visit.on),
        "at": clock(visit.at),
        "what_for": what_for,
        "what_for_sentence": what_for if what_for.endswith("?") else f"{what_for}.",
        "is_booked": visit.is_booked,
    }


def purpose(title: str) -> str:
    """What a visit is for: its title without the week in front."""
    return pathway_text(title).split(": ", 1)[-1]


def clock(at: time | None) -> str:
    """A time of day, or nothing when it is not known yet."""
    return at.strftime("%H:%M") if at else ""


def has_wound(sheet: Sheet) -> bool:
    """True after an operation and with an open fracture: there is a wound to look after."""
    return sheet.treatment is not TreatmentKind.LONG_LEG_CAST or sheet.open_grade is not OpenGrade.CLOSED


def stairs_key(load: Load) -> str:
    """Which words stand under the stairs."""
    if load.bears_nothing:
        return "none"
    return {Load.LIMITED: "limited", Load.COMFORT: "comfort", Load.FREE: "free"}.get(load, "touch")
