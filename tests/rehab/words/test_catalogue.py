"""The words of the engine's values stand in the gettext catalogue, where a translator finds them."""

import ast
from pathlib import Path

import pytest

from rehab.words import pathway_texts
from rehab.words.gates import FINDINGS
from rehab.words.reasons import SENTENCES
from rehab.words.stages import PLAIN, PRINTED

CATALOGUE = Path(__file__).resolve().parents[3] / "clinic" / "locale" / "en_GB" / "LC_MESSAGES" / "django.po"


def texts_in(catalogue: str) -> set[str]:
    """Every msgid of a catalogue; a long one runs over several quoted lines."""
    texts, current = set(), None
    for line in [*catalogue.splitlines(), ""]:
        if line.startswith("msgid "):
            current = ast.literal_eval(line.removeprefix("msgid "))
        elif line.startswith('"') and current is not None:
            current += ast.literal_eval(line)
        elif current is not None:
            texts.add(current)
            current = None
    return texts


@pytest.mark.parametrize("words", [SENTENCES, FINDINGS, PRINTED, PLAIN], ids=["reasons", "findings", "terms", "plain"])
def test_the_words_of_every_value_are_in_the_catalogue(words):
    known = texts_in(CATALOGUE.read_text(encoding="utf-8"))

    assert {str(text) for text in words.values()} - known == set()


def test_the_texts_of_the_pathway_files_are_in_the_catalogue():
    known = texts_in(CATALOGUE.read_text(encoding="utf-8"))
    texts = [getattr(pathway_texts, name) for name in dir(pathway_texts) if name.isupper()]

    assert texts
    assert {str(text) for group in texts for text in group} - known == set()
