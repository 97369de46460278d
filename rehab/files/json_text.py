"""JSON text becomes a document: exact numbers, no duplicate keys, and faults that name line and column."""

import json
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from rehab.files.faults import Faults, Path

_LONGEST_NUMBER = 30
_LARGEST_EXPONENT = 30
# How the JSON reader begins its messages, and the words we say instead.
_PROBLEMS = {
    "Expecting value": gettext_lazy("a value is expected here"),
    "Expecting ',' delimiter": gettext_lazy("a comma or a closing bracket is expected here"),
    "Expecting ':' delimiter": gettext_lazy("a colon is expected here"),
    "Expecting property name": gettext_lazy("a key in double quotes is expected here"),
    "Illegal trailing comma": gettext_lazy("there is a comma with nothing after it"),
    "Unterminated string": gettext_lazy("the text that begins here has no closing quote"),
    "Invalid control character": gettext_lazy("a line break or tab inside a text must be written as \\n or \\t"),
    "Invalid \\": gettext_lazy("this backslash is not a known escape; a backslash itself is written \\\\"),
    "Extra data": gettext_lazy("the document ended before this; one file holds one course"),
}


def read_json(content: bytes) -> Any:
    """Read JSON text, or raise CourseFaults that say where it breaks and what is expected."""
    faults = Faults()
    text = _decoded(content, faults)
    if text is not None:
        document = _parsed(text, faults)
    faults.raise_if_any()
    return document


def _decoded(content: bytes, faults: Faults) -> str | None:
    """Read UTF-8, with or without a byte order mark."""
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = content.count(b"\n", 0, problem.start) + 1
        faults.add((), _("Line %(line)d is not UTF-8 text. Save the file as UTF-8.") % {"line": line})
        return None


def _parsed(text: str, faults: Faults) -> Any:
    repeats = _RepeatedKeys()
    try:
        document = json.loads(
            text,
            parse_float=_decimal,
            parse_int=_whole,
            parse_constant=str,  # NaN and Infinity stay text, and the schema then names their place
            object_pairs_hook=repeats.collect,
        )
    except json.JSONDecodeError as problem:
        faults.add((), _broken(problem))
        return None
    except RecursionError:
        faults.add((), _("The brackets are nested too deeply for a course."))
        return None
    for path in repeats.paths(document):
        faults.add(path, _("This key stands twice in its object. Keep one."))
    return document


def _decimal(text: str) -> Decimal | str:
    """Read a number exactly; one too long to be a measurement stays text, and the schema then names its place."""
    try:
        value = Decimal(text)
    except InvalidOperation:
        return text
    is_usual = len(text) <= _LONGEST_NUMBER and abs(value.adjusted()) <= _LARGEST_EXPONENT
    return value if is_usual else text


def _whole(text: str) -> int | str:
    return int(text) if len(text) <= _LONGEST_NUMBER else text


def _broken(problem: json.JSONDecodeError) -> str:
    words = next((words for start, words in _PROBLEMS.items() if problem.msg.startswith(start)), None)
    return _("Line %(line)d, column %(column)d: this is not JSON; %(problem)s.") % {
        "line": problem.lineno,
        "column": problem.colno,
        "problem": words or problem.msg,
    }


class _RepeatedKeys:
    """Remembers which objects had a key twice, because a dictionary would keep only the last."""

    def __init__(self) -> None:
        self._found: dict[int, tuple[dict[str, Any], list[str]]] = {}

    def collect(self, pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        """Make the object, and note its repeated keys."""
        made = dict(pairs)
        if len(made) < len(pairs):
            keys = [key for key, _value in pairs]
            self._found[id(made)] = (made, sorted({key for key in keys if keys.count(key) > 1}))
        return made

    def paths(self, document: Any) -> Iterator[Path]:
        """Give the path of each repeated key."""
        if self._found:
            yield from self._below(document, ())

    def _below(self, here: Any, path: Path) -> Iterator[Path]:
        if isinstance(here, dict):
            _object, keys = self._found.get(id(here), (here, []))
            yield from ((*path, key) for key in keys)
            for key, value in here.items():
                yield from self._below(value, (*path, key))
        elif isinstance(here, list):
            for index, value in enumerate(here):
                yield from self._below(value, (*path, index))
