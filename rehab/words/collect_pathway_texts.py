"""Collects the texts of the pathway files into pathway_texts.py, where translators' tools can see them.

Run it after changing a text in a pathway file: python -m rehab.words.collect_pathway_texts
"""

import json
import tomllib
from collections.abc import Iterator
from pathlib import Path

PATHWAYS = Path(__file__).resolve().parents[1] / "pathways"
TEXTS_FILE = Path(__file__).resolve().parent / "pathway_texts.py"
# What people read of a pathway file; everything else is numbers, codes and notes to its editors.
READ_BY_PEOPLE = frozenset({"title", "contents", "if_before_window", "printed", "day_zero", "led_by"})
FILES = ("long_leg_cast.toml", "intramedullary_nail.toml", "plate_and_screws.toml", "open_fracture.toml",
         "shared_rules.toml")  # fmt: skip
HEAD = '''"""Texts of the pathway files, for translators. Made by collect_pathway_texts.py; do not edit by hand."""

from django.utils.translation import gettext_noop

PATHWAY_TEXTS = (
'''


def collected_texts() -> tuple[str, ...]:
    """List every text people read in the pathway files, each once, in the order of the alphabet."""
    documents = (tomllib.loads((PATHWAYS / name).read_text(encoding="utf-8")) for name in FILES)
    return tuple(sorted({text for document in documents for text in _texts(document)}))


def _texts(table: object) -> Iterator[str]:
    if isinstance(table, list):
        for item in table:
            yield from _texts(item)
    elif isinstance(table, dict):
        for key, value in table.items():
            if key in READ_BY_PEOPLE:
                yield from [value] if isinstance(value, str) else value
            else:
                yield from _texts(value)


def module_text() -> str:
    """Write the module that holds the texts."""
    lines = [f"    gettext_noop({json.dumps(text, ensure_ascii=False)}),\n" for text in collected_texts()]
    return HEAD + "".join(lines) + ")\n"


if __name__ == "__main__":
    TEXTS_FILE.write_text(module_text(), encoding="utf-8")
