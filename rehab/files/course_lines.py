"""One course a line: each line answered by itself, so that one fault stops nobody else's plan."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any, BinaryIO

from django.utils.translation import gettext as _

from rehab.engine.pathway import Pathways
from rehab.files.faults import CourseFaults
from rehab.files.json_text import read_json
from rehab.files.planning import plan_course

LONGEST_LINE = 4_000_000  # bytes: a line is held in memory, a file never


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to one line: a plan, or the faults of that line."""

    document: dict[str, Any]
    has_faults: bool = False


def answer_lines(file: BinaryIO, on: date | None = None, pathways: Pathways | None = None) -> Iterator[Answer]:
    """Answer each line that holds something; lines are counted from 1, empty ones too."""
    for line_number, line in _lines(file):
        try:
            yield Answer(plan_course(_document(line), on, pathways))
        except CourseFaults as problem:
            yield Answer({"line": line_number, "errors": problem.faults}, has_faults=True)


def _document(line: bytes | None) -> Any:
    if line is None:
        message = _("This line is longer than %(limit)d bytes. Put one course on a line.") % {"limit": LONGEST_LINE}
        raise CourseFaults([{"path": "$", "message": message}])
    return read_json(line)


def _lines(file: BinaryIO) -> Iterator[tuple[int, bytes | None]]:
    """Give each line with its number; None for one that is too long to hold."""
    number = 0
    while line := file.readline(LONGEST_LINE + 1):
        number += 1
        if len(line) > LONGEST_LINE:
            _skip_rest(file, line)
            yield number, None
        elif line.strip():
            yield number, line


def _skip_rest(file: BinaryIO, line: bytes) -> None:
    while line and not line.endswith(b"\n"):
        line = file.readline(LONGEST_LINE)
