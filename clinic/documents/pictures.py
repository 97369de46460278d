"""The sheet's pictures with their words: soles, walking, stairs, and the square to scan."""

from typing import Any

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext, pgettext

from clinic.documents.figures.scenes import Words, draw_scene
from clinic.documents.figures.soles import soles_picture
from clinic.documents.sheet import Sheet
from clinic.documents.sides import joined, side_words
from clinic.documents.steps import STAIRS, WALKING, Lesson, Step
from rehab.engine.facts import Side

WIDTHS = {12.5: (108.0, 95.0), 14.0: (154.0, 112.0), 18.0: (146.0, 138.0), 24.0: (180.0, 225.0)}  # points
SOLES_HEIGHT = {12.5: 8.6, 14.0: 8.6, 18.0: 8.6, 24.0: 5.4}  # times the text size
LABEL_SHARE = 0.88  # words in a drawing against the text, in ordinary print


def soles(sheet: Sheet) -> SafeString:
    """The two soles with the injured one filled as far as it may be loaded."""
    left, right = pgettext("leg", "left"), pgettext("leg", "right")
    names = (left.upper(), right) if sheet.side is Side.LEFT else (left, right.upper())
    hurt, _good = side_words(sheet.side)
    title = gettext("Your two feet from above. The hurt one is the {hurt} one.").format(hurt=hurt)
    height = sheet.size * SOLES_HEIGHT[sheet.size]
    return soles_picture(sheet.side, sheet.share, names, title, height=height, label=label(sheet))


def label(sheet: Sheet) -> float:
    """The size of words inside a picture, in points: never below the text in large print."""
    return sheet.size if sheet.is_large else sheet.size * LABEL_SHARE


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
        label=label(sheet),
        is_mirrored=sheet.side is Side.LEFT,
    )
    words = format_html(str(step.words), hurt=bold[0], good=bold[1], load=bold[2])
    return {"words": words, "drawing": drawing}


def qr_code(sheet: Sheet) -> SafeString | None:
    """The address of the patient's page as a square to scan; it holds nothing about the patient."""
    if not sheet.site.page_address:
        return None
    import segno

    square = segno.make_qr(f"https://{sheet.site.page_address}", error="m")
    title = gettext("Square to scan: {address}").format(address=sheet.site.page_address)
    src = square.svg_data_uri(border=2, omitsize=True)
    return format_html('<img alt="{}" src="{}">', title, src)
