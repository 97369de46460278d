"""The few pieces of SVG that the drawings are made of; every text and attribute is escaped.

Colours are classes, never values, so that the style sheet decides them for light, dark and print.
No piece has an id, so a picture may stand on a page any number of times.
"""

from collections.abc import Iterable

from django.utils.html import escape, format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

AVERAGE_LETTER = 0.53  # of the letter size: the mean width of a letter of the staff face
AVERAGE_BOLD_LETTER = 0.57


def tag(name: str, *children: object, **attributes: object) -> SafeString:
    """One element. `class_` and `stroke_width` become class and stroke-width; None leaves one out."""
    pairs = ((key.rstrip("_").replace("_", "-"), _number(value)) for key, value in attributes.items())
    written = format_html_join("", ' {}="{}"', ((key, value) for key, value in pairs if value is not None))
    return format_html("<{}{}>{}</{}>", mark_safe(name), written, join(children), mark_safe(name))  # noqa: S308


def join(pieces: Iterable[object]) -> SafeString:
    """The pieces one after the other, escaped where they are plain text."""
    written = (piece if isinstance(piece, SafeString) else escape(str(piece)) for piece in pieces)
    return mark_safe("".join(written))  # noqa: S308 - each piece was made safe in the line above


def _number(value: object) -> object:
    """Coordinates with one decimal at most, so that the markup stays short."""
    return f"{value:.1f}".removesuffix(".0") if isinstance(value, float) else value


def picture(width: float, height: float, *children: object, class_: str, label: str | None = None) -> SafeString:
    """A whole drawing. With `label` it is an image with that name; without, its words stand beside it."""
    spoken = {"role": "img", "aria_label": label} if label else {"aria_hidden": "true"}
    size = {"viewBox": f"0 0 {_number(float(width))} {_number(float(height))}", "width": width, "height": height}
    return tag("svg", *children, class_=class_, focusable="false", **size, **spoken)


def box(x: float, y: float, width: float, height: float, class_: str) -> SafeString:
    """A rectangle."""
    return tag("rect", x=float(x), y=float(y), width=float(width), height=float(height), class_=class_)


def line(x1: float, y1: float, x2: float, y2: float, class_: str) -> SafeString:
    """A straight line."""
    return tag("line", x1=float(x1), y1=float(y1), x2=float(x2), y2=float(y2), class_=class_)


def path(d: str, class_: str, transform: str | None = None) -> SafeString:
    """A path."""
    return tag("path", d=d, class_=class_, transform=transform)


def circle(x: float, y: float, radius: float, class_: str) -> SafeString:
    """A disc or a ring."""
    return tag("circle", cx=float(x), cy=float(y), r=float(radius), class_=class_)


def text(x: float, y: float, words: object, class_: str, anchor: str | None = None) -> SafeString:
    """One line of text; `anchor` is start, middle or end."""
    return tag("text", words, x=float(x), y=float(y), class_=class_, text_anchor=anchor)


def group(*children: object, x: float = 0, y: float = 0, class_: str | None = None) -> SafeString:
    """Pieces moved together."""
    where = f"translate({_number(float(x))} {_number(float(y))})" if x or y else None
    return tag("g", *children, transform=where, class_=class_)


def clipped(x: float, y: float, width: float, height: float, *children: object) -> SafeString:
    """Pieces seen only inside a rectangle; they keep the coordinates of the whole drawing."""
    view = f"{_number(float(x))} {_number(float(y))} {_number(float(width))} {_number(float(height))}"
    size = {"x": float(x), "y": float(y), "width": float(width), "height": float(height)}
    return tag("svg", *children, viewBox=view, **size)


def width_of(words: object, size: float, *, bold: bool = False) -> float:
    """About how wide a text is; good to a tenth, which is what laying out needs."""
    return len(str(words)) * size * (AVERAGE_BOLD_LETTER if bold else AVERAGE_LETTER)


def wrapped(words: object, size: float, width: float, *, bold: bool = False) -> list[str]:
    """The text in lines no wider than `width`, broken between words only."""
    lines: list[str] = []
    for word in str(words).split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, size, bold=bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def paragraph(x: float, y: float, lines: Iterable[str], leading: float, class_: str) -> SafeString:
    """Several lines of text, the first on the base line `y`."""
    return join(text(x, y + index * leading, words, class_) for index, words in enumerate(lines))
