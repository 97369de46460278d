"""`plan_visits`: a course file in, the plan out; no database is touched."""

import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any, BinaryIO

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from rehab.engine.pathway_faults import PathwayFaults
from rehab.files import CourseFaults, plan_course, plan_course_file, read_json
from rehab.files.course_lines import answer_lines
from rehab.files.day_of_asking import day_of_asking
from rehab.files.plan_table import plan_table

BAD_INPUT = 2


class Command(BaseCommand):
    """Answer a course file with its plan, as a table or as JSON."""

    help = gettext_lazy(  # type: ignore[assignment]
        "Answer a course file with its plan. COURSE.json holds one course; COURSE.jsonl one course a line, answered "
        "with one JSON document a line; - is standard input. Bad input: every fault at once as JSON on standard "
        "error, and exit status 2."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: Any) -> None:
        """Take the file, the day and the form of the answer."""
        parser.add_argument("course", metavar="COURSE.json", help=_("a course file, or - for standard input"))
        parser.add_argument(
            "--on",
            type=day_of_asking,
            metavar="YYYY-MM-DD",
            help=_("the day to look from; default: day 0 of the treatment"),
        )
        parser.add_argument(
            "--as", dest="form", choices=["table", "json"], help=_("default: table; json for one course a line")
        )
        parser.add_argument(
            "--lines", action="store_true", help=_("standard input holds one course a line, as a .jsonl file does")
        )

    def handle(self, *, course: str, on: date | None, form: str | None, lines: bool, **_options: Any) -> None:
        """Answer one course, or one course a line."""
        is_by_line = lines or course.endswith(".jsonl")
        if is_by_line and form == "table":
            raise CommandError(_("One course a line is answered as JSON. Leave out --as table."), returncode=BAD_INPUT)
        try:
            with _opened(course) as file:
                has_faults = self._answer_lines(file, on) if is_by_line else self._answer(file.read(), on, form)
        except CourseFaults as problem:
            self._refuse(problem.faults)
            has_faults = True
        except PathwayFaults as problem:
            raise CommandError(str(problem)) from problem
        except BrokenPipeError:
            _leave_quietly()
        if has_faults:
            sys.exit(BAD_INPUT)

    def _answer(self, content: bytes, on: date | None, form: str | None) -> bool:
        document = read_json(content)
        if form == "json":
            text = _json_text(plan_course(document, on), indent=2)
        else:
            text = plan_table(plan_course_file(document, on))
        self.stdout.write(text, ending="" if text.endswith("\n") else "\n")
        return False

    def _answer_lines(self, file: BinaryIO, on: date | None) -> bool:
        """Answer line by line, in constant memory; a faulty line is answered with its faults."""
        n_planned = n_faulty = 0
        for answer in answer_lines(file, on):
            self.stdout.write(_json_text(answer.document))
            n_planned += not answer.has_faults
            n_faulty += answer.has_faults
        words = {"n_planned": n_planned, "n_faulty": n_faulty}
        self.stderr.write(_("Planned: %(n_planned)d. With faults: %(n_faulty)d.") % words, style_func=str)
        return n_faulty > 0

    def _refuse(self, faults: list[dict[str, str]]) -> None:
        self.stderr.write(_json_text(faults, indent=2), style_func=str)


@contextmanager
def _opened(name: str) -> Iterator[BinaryIO]:
    """Open a course file, or standard input for "-"; one that cannot be read is a fault in words."""
    if name == "-":
        yield sys.stdin.buffer
        return
    try:
        file = Path(name).open("rb")  # noqa: SIM115 - closed below
    except OSError as problem:
        raise CourseFaults([{"path": "$", "message": _unreadable(name, problem)}]) from problem
    with file:
        yield file


def _unreadable(name: str, problem: OSError) -> str:
    if isinstance(problem, FileNotFoundError):
        return _("There is no file %(name)s. Give the path of a course file, or - for standard input.") % {"name": name}
    if isinstance(problem, IsADirectoryError):
        return _("%(name)s is a folder. Give the path of a course file.") % {"name": name}
    return _("The file %(name)s cannot be read: %(problem)s.") % {"name": name, "problem": problem.strerror}


def _json_text(document: object, indent: int | None = None) -> str:
    """Write JSON that people can read; half of a surrogate pair stays escaped, since it has no bytes in UTF-8."""
    text = json.dumps(document, ensure_ascii=False, indent=indent)
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def _leave_quietly() -> None:
    """Stop without a word when the reader has gone away, as `head` does."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(1)
