"""Texts of the pathway files in the language of the reader."""

from django.utils.translation import gettext


def pathway_text(text: str) -> str:
    """Translate a title or a content of a visit; a clinic's own text has no translation and stays."""
    return gettext(text) if text else ""
