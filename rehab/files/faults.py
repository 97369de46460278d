"""What is wrong with a course file: every fault at once, each with its path and what would be right."""

import json
import re
from collections.abc import Iterable
from decimal import Decimal
from difflib import get_close_matches

from django.utils.translation import gettext as _

Path = tuple[str | int, ...]

_PLAIN_KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_]*\Z")
_SECTIONS = ("clinic", "person", "injury", "treatments", "history")
_SHOWN_LENGTH = 40


class CourseFaults(ValueError):
    """The course cannot be used as it is. `faults` lists {"path", "message"}, one a path."""

    def __init__(self, faults: list[dict[str, str]]) -> None:
        self.faults = faults
        super().__init__("; ".join(f"{fault['path']}: {fault['message']}" for fault in faults))


class Faults:
    """Gathers faults. The first message about a path is kept: it names the nearest cause."""

    def __init__(self) -> None:
        self._messages: dict[Path, str] = {}

    def add(self, path: Path, message: str) -> None:
        """Note a fault, unless this path already has one."""
        self._messages.setdefault(path, message)

    def has(self, path: Path) -> bool:
        """Say whether this very path is at fault."""
        return path in self._messages

    def raise_if_any(self) -> None:
        """Raise CourseFaults with everything gathered so far, in the order of the file."""
        if self._messages:
            raise CourseFaults(
                [
                    {"path": path_text(path), "message": self._messages[path]}
                    for path in sorted(self._messages, key=_place)
                ]
            )


def path_text(path: Path) -> str:
    """Write a path as people read it: $.history[3].by"""
    return "$" + "".join(_step_text(step) for step in path)


def _step_text(step: str | int) -> str:
    if isinstance(step, int):
        return f"[{step}]"
    return f".{step}" if _PLAIN_KEY.match(step) else f"[{json.dumps(step)}]"


def _place(path: Path) -> tuple[int, list[tuple[int, int, str]]]:
    """Sort key: the sections in their usual order, list positions as numbers, keys by name."""
    section = _SECTIONS.index(path[0]) if path and path[0] in _SECTIONS else -1
    return section, [(0, step, "") if isinstance(step, int) else (1, 0, step) for step in path]


def shown(value: object) -> str:
    """Write a value of the file as it stands there, cut when it is long."""
    if isinstance(value, dict):
        return _("An object in braces")
    if isinstance(value, list):
        return _("A list in brackets")
    if isinstance(value, str):
        return f"“{_cut(json.dumps(value, ensure_ascii=False)[1:-1])}”"
    return _cut(str(value) if isinstance(value, Decimal) else json.dumps(value))


def _cut(text: str) -> str:
    return text if len(text) <= _SHOWN_LENGTH else text[:_SHOWN_LENGTH] + "…"


def did_you_mean(word: object, known: Iterable[str]) -> str:
    """Offer the nearest known word, as a sentence with a space before it; nothing when none is near."""
    by_plain = {_plain(each): each for each in known}
    near = get_close_matches(_plain(str(word)[:100]), by_plain, n=1, cutoff=0.6)
    return " " + _("Did you mean “%(word)s”?") % {"word": by_plain[near[0]]} if near else ""


def _plain(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word).strip().casefold()


def listed(words: Iterable[object]) -> str:
    """Join words for a sentence: "a, b, c"."""
    return ", ".join(str(word) for word in words)
