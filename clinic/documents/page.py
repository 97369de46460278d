"""The sheet's words: from a `Sheet` to the context of its templates, to HTML and PDF."""

from datetime import date, time
from typing import Any

from django.template.loader import render_to_string
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.text import capfirst
from django.utils.translation import get_language, get_language_bidi, gettext, pgettext

from clinic.documents.figures.scenes import Words, draw_scene
from clinic.documents.figures.soles import soles_picture
from clinic.documents.pdf import pdf_bytes
from clinic.documents.sheet import LARGE_PRINT, Load, Sheet, SheetVisit
from clinic.documents.steps import STAIRS, WALKING, Lesson, Step
from rehab.engine.facts import Authoriser, OpenGrade, Side, TreatmentKind
from rehab.words import in_words, pathway_text, printed_stage

NBSP = "\N{NO-BREAK SPACE}"
WIDTHS = {12.5: (108.0, 95.0), 14.0: (154.0, 112.0), 18.0: (172.0, 140.0), 24.0: (180.0, 225.0)}  # points
SOLES_HEIGHT = {12.5: 8.6, 14.0: 8.6, 18.0: 8.6, 24.0: 5.4}  # times the text size
ORDER = ("head", "version", "load", "next_visit", "help", "dates", "walking", "stairs", "know", "signed")
LARGE_ORDER = ("head", "version", "load", "next_visit", "help", "dates_large", "know", "walking", "stairs", "signed")
LABEL_SHARE = 0.88  # words in a drawing against the text, in ordinary print


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
    hurt, good = side_words(sheet.side)
    return {
        "sheet": sheet,
        "site": sheet.site,
        "note": joined(sheet.site.note or ""),
        "blocks": [f"handouts/blocks/{block}.html" for block in (LARGE_ORDER if sheet.is_large else ORDER)],
        "layout": layout(sheet),
        "language": get_language() or "en-gb",
        "direction": "rtl" if get_language_bidi() else "ltr",
        "hurt": hurt,
        "good": good,
        "side_tag": side_tag(sheet.side),
        "foot": foot(sheet),
        "foot_version": foot_version(sheet),
        "load": joined(f"{sheet.cap_kg} kg") if sheet.cap_kg is not None else "",
        "printed_stage": printed_stage(sheet.stage),
        "load_block": f"handouts/blocks/load_{sheet.load}.html",
        "soles": soles(sheet),
        "treatment": treatment_line(sheet),
        "number": joined(sheet.person.number) if sheet.person else "",
        "born_on": long_day(sheet.person.born_on) if sheet.person else "",
        "printed_day": long_day(sheet.printed_on),
        "printed_on": in_long_words(sheet.printed_on),
        "printed_time": sheet.issue.printed_at.strftime("%H:%M") if sheet.issue and sheet.issue.printed_at else "",
        "valid_from": long_day(sheet.valid_from),
        "ordered_by": ordered_by(sheet),
        "next_visit": visit_words(sheet.next_visit) if sheet.next_visit else None,
        "later_visits": [visit_words(visit) for visit in sheet.later_visits],
        "has_cast": sheet.treatment is TreatmentKind.LONG_LEG_CAST,
        "has_wound": has_wound(sheet),
        "uses_crutches": sheet.load is not Load.FREE,
        "lessons": lessons(sheet),
        "stairs_block": f"handouts/blocks/stairs_{stairs_key(sheet.load)}.html",
        "qr": qr_code(sheet),
    }


def layout(sheet: Sheet) -> str:
    """The style sheet's names for this size and load."""
    names = [
        str(sheet.side),
        str(sheet.load),
        "large" if sheet.is_large else "",
        "largest" if sheet.size > LARGE_PRINT else "",
    ]
    return " ".join(filter(None, names))


def side_words(side: Side) -> tuple[str, str]:
    """The hurt and the good side, as words inside a sentence."""
    left, right = pgettext("leg", "left"), pgettext("leg", "right")
    return (left, right) if side is Side.LEFT else (right, left)


def side_tag(side: Side) -> str:
    """The side on the tag and at the foot of each page."""
    return gettext("LEFT leg") if side is Side.LEFT else gettext("RIGHT leg")


def foot(sheet: Sheet) -> str:
    """Two identifiers and the side, for the foot of every page."""
    side = joined(side_tag(sheet.side))
    if sheet.person is None:
        return f"{gettext('Name')} {'_' * 24} · {side}"
    born = gettext("born {day}").format(day=long_day(sheet.person.born_on))
    number = joined(gettext("no. {number}").format(number=sheet.person.number))
    return f"{sheet.person.name} · {born} · {number} · {side}"


def foot_version(sheet: Sheet) -> str:
    """Which paper this is, for the foot of every page."""
    if sheet.issue is None:
        return f"{long_day(sheet.printed_on)} · {sheet.check}"
    return f"{joined(gettext('Version {number}').format(number=sheet.issue.version))} · {sheet.check}"


def joined(text: str) -> str:
    """Keep a number and its unit, or a day and its month, on one line."""
    return text.replace(" ", NBSP)


def long_day(day: date) -> str:
    """A birth date: day, month in letters, year."""
    return joined(in_words(day).split(" ", 1)[1])


def in_long_words(day: date) -> str:
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
    return lines[sheet.treatment].format(hurt=hurt, day=long_day(sheet.treated_on))


def ordered_by(sheet: Sheet) -> str:
    """Who ordered the stage: a name when the clinic gives one, else the profession."""
    if sheet.ordered_by is None:
        return ""
    if sheet.issue and sheet.issue.ordered_by:
        return sheet.issue.ordered_by
    return {Authoriser.SURGEON: gettext("a surgeon"), Authoriser.PHYSIOTHERAPIST: gettext("a physiotherapist")}[
        sheet.ordered_by
    ]


def visit_words(visit: SheetVisit) -> dict[str, Any]:
    """One attendance in words."""
    return {
        "day": in_long_words(visit.on),
        "at": clock(visit.at),
        "what_for": capfirst("; ".join(pathway_text(purpose) for purpose in visit.what_for)),
        "is_booked": visit.is_booked,
    }


def clock(at: time | None) -> str:
    """A time of day, or nothing when it is not known yet."""
    return at.strftime("%H:%M") if at else ""


def has_wound(sheet: Sheet) -> bool:
    """True after an operation and with an open fracture: there is a wound to look after."""
    return sheet.treatment is not TreatmentKind.LONG_LEG_CAST or sheet.open_grade is not OpenGrade.CLOSED


def soles(sheet: Sheet) -> SafeString:
    """The two soles with the injured one filled as far as it may be loaded."""
    left, right = pgettext("leg", "left"), pgettext("leg", "right")
    names = (left.upper(), right) if sheet.side is Side.LEFT else (left, right.upper())
    hurt, _good = side_words(sheet.side)
    title = gettext("Your two feet from above. The hurt one is the {hurt} one.").format(hurt=hurt)
    label = sheet.size if sheet.is_large else sheet.size * LABEL_SHARE
    return mark_safe(
        soles_picture(sheet.side, sheet.share, names, title, height=sheet.size * SOLES_HEIGHT[sheet.size], label=label)
    )  # noqa: S308


def lessons(sheet: Sheet) -> dict[str, Any]:
    """Walking and stairs with their drawings; nothing when both legs are hurt."""
    if not sheet.has_drawings:
        return {}
    up, down = STAIRS[sheet.load]
    walking, stairs = WIDTHS[sheet.size]  # of one drawing
    return {
        "walking": lesson_words(WALKING[sheet.load], sheet, walking),
        "stairs": [lesson_words(up, sheet, stairs), lesson_words(down, sheet, stairs)],
    }


def lesson_words(lesson: Lesson, sheet: Sheet, width: float) -> dict[str, Any]:
    """One lesson in words, each step with its drawing."""
    hurt, good = side_words(sheet.side)
    return {
        "title": str(lesson.title).format(hurt=hurt, good=good),
        "steps": [step_words(step, sheet, width) for step in lesson.steps],
    }


def step_words(step: Step, sheet: Sheet, width: float) -> dict[str, SafeString]:
    """The words of one step with the sides in bold, and its drawing with the same words for a screen reader."""
    hurt, good = side_words(sheet.side)
    load = joined(f"{sheet.cap_kg} kg") if sheet.cap_kg is not None else ""
    told = str(step.words).format(hurt=hurt, good=good, load=load)
    bold = [format_html("<strong>{}</strong>", word) for word in (hurt, good, load)]
    drawing = draw_scene(
        step.scene,
        Words(hurt, good, load),
        gettext("Drawing: {told}").format(told=told),
        width=width,
        label=sheet.size if sheet.is_large else sheet.size * LABEL_SHARE,
        is_mirrored=sheet.side is Side.LEFT,
    )
    words = format_html(str(step.words), hurt=bold[0], good=bold[1], load=bold[2])
    return {"words": words, "drawing": mark_safe(drawing)}  # noqa: S308 - our own shapes, words escaped


def stairs_key(load: Load) -> str:
    """Which words stand under the stairs."""
    if load.bears_nothing:
        return "none"
    return {Load.LIMITED: "limited", Load.COMFORT: "comfort", Load.FREE: "free"}.get(load, "touch")


def qr_code(sheet: Sheet) -> SafeString | None:
    """The address of the patient's page as a square to scan; it holds nothing about the patient."""
    if not sheet.site.page_address:
        return None
    import segno

    square = segno.make_qr(f"https://{sheet.site.page_address}", error="m")
    title = gettext("Square to scan: {address}").format(address=sheet.site.page_address)
    src = square.svg_data_uri(border=2, omitsize=True)
    return format_html('<img alt="{}" src="{}">', title, src)
