"""The two sides as words, and words that must not be parted at the end of a line."""

from django.utils.translation import pgettext

from rehab.engine.facts import Side

NBSP = "\N{NO-BREAK SPACE}"


def side_words(side: Side) -> tuple[str, str]:
    """The hurt and the good side, as words inside a sentence."""
    left, right = pgettext("leg", "left"), pgettext("leg", "right")
    return (left, right) if side is Side.LEFT else (right, left)


def joined(text: str) -> str:
    """Keep a number and its unit, or a day and its month, on one line."""
    return text.replace(" ", NBSP)
