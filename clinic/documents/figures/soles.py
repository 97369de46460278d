"""The two soles as a person sees their own feet from above: left on the left."""

from html import escape

from django.utils.safestring import SafeString

from clinic.documents.figures.canvas import DAMSON, INK, picture
from rehab.engine.facts import Side

SOLE = (
    "M13,2 C22,0 33,8 35,24 C37,38 32,48 31,58 C30,70 33,78 32,86 C31,95 25,99 19,99"
    " C12,99 8,94 8,86 C8,76 12,66 11,54 C10,42 4,34 4,20 C4,9 7,3 13,2 Z"
)
GOOD_FILL, GOOD_LINE = "#D8CDBE", "#5B514B"
GAP = 12.0


def sole(side: Side, share: float | None) -> str:
    """One sole; `share` fills it from the heel, None is the good foot. Nothing to carry is a dashed outline."""
    turn = 'transform="translate(40,0) scale(-1,1)"' if side is Side.LEFT else f'transform="translate({40 + GAP},0)"'
    if share is None:
        return f'<g {turn}><path d="{SOLE}" fill="{GOOD_FILL}" stroke="{GOOD_LINE}" stroke-width="1.6"/></g>'
    dash = ' stroke-dasharray="5 4"' if share == 0 else ""
    top = 100 - 98 * share
    return (
        f'<g {turn}><clipPath id="filled"><rect x="0" y="{top:.1f}" width="40" height="{100 - top:.1f}"/></clipPath>'
        f'<path d="{SOLE}" fill="{DAMSON}" clip-path="url(#filled)"/>'
        f'<path d="{SOLE}" fill="none" stroke="{DAMSON}" stroke-width="3"{dash}/></g>'
    )


def soles_picture(
    side: Side, share: float, words: tuple[str, str], title: str, *, height: float, label: float
) -> SafeString:
    """Both soles with their names below; the injured one is filled by `share` of 0 to 1."""
    scale = (height - label * 1.6) / 102
    wide = max((80 + GAP) * scale, label * 6.2)
    inset = (wide - (80 + GAP) * scale) / 2
    feet = "".join(sole(each, share if each is side else None) for each in Side)
    names = "".join(
        f'<text x="{inset + centre * scale:.1f}" y="{height - label * 0.35:.1f}" font-size="{label:g}"'
        f' text-anchor="{"end" if each is Side.LEFT else "start"}" font-weight="{700 if each is side else 400}"'
        f' font-family="Andika latin, Andika latin-ext" fill="{INK}">{escape(word)}</text>'
        for each, word, centre in zip(Side, words, (38, 46), strict=True)
    )
    placed = f'<g transform="translate({inset:.1f},0) scale({scale:.4f})">{feet}</g>'
    return picture(placed + names, wide, height, title)
