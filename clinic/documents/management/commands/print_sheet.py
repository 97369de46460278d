"""`print_sheet COURSE.json --out FILE.pdf`: a course file in, the person's sheet out; no database is touched."""

import json
import sys
from argparse import ArgumentTypeError
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone
from django.utils.translation import gettext as _

from clinic.documents.from_plan import EMERGENCY_NUMBERS, NoSheet, known_on, sheet_from_plan
from clinic.documents.page import sheet_pdf
from clinic.documents.pdf import FaultySheet, PdfIsOff
from clinic.documents.sheet import TEXT_SIZES, Paper, Sheet, Site
from rehab.engine.facts import Clinic, Course
from rehab.engine.pathway_faults import PathwayFaults
from rehab.engine.plan import Plan, make_plan
from rehab.files import CourseFaults, PlannedCourse, plan_course_file, read_json
from rehab.files.day_of_asking import day_of_asking
from rehab.files.default_pathways import default_pathways
from rehab.files.planning import YEARS_AFTER, YEARS_BEFORE
from rehab.holiday_tables import calendar_for
from rehab.words import in_words, reason_text

BAD_INPUT = 2
USUAL_SIZE = 14.0  # points: clear print


class Command(BaseCommand):
    """Print the sheet of a course file without a database."""

    help = (
        "Print the sheet a person takes home, from a course file; no database is touched. A course file holds no "
        "name, so the sheet has lines to write one on; the same holds for the clinic's telephone unless it is given. "
        "Bad input: every fault at once as JSON on standard error, and exit status 2. A course outside the pathway "
        "is refused with the reason."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: Any) -> None:
        """Take the course, the file, the size, the day, and what the sheet says of the clinic."""
        parser.add_argument("course", metavar="COURSE.json", help="a course file, or - for standard input")
        parser.add_argument("--out", required=True, metavar="FILE.pdf", help="where to write; - is standard output")
        sizes = ", ".join(f"{size:g}" for size in TEXT_SIZES)
        parser.add_argument(
            "--size", type=text_size, default=USUAL_SIZE, metavar="POINTS", help=f"one of {sizes}; default: 14"
        )
        parser.add_argument(
            "--on",
            type=day_of_asking,
            metavar="YYYY-MM-DD",
            help="the day of printing; what the course holds from later days is left out. "
            "Default: today, or the newest day of the course if that is later",
        )
        parser.add_argument("--paper", choices=[paper.value for paper in Paper], default=Paper.A4.value)
        parser.add_argument("--place", action="append", default=[], metavar="LINE", help="a line of the address")
        parser.add_argument("--phone", help="the number to ring")
        parser.add_argument("--hours", help="when that number is answered")

    def handle(self, *, course: str, out: str, size: float, on: date | None, **options: Any) -> None:
        """Plan, print, and say in one line what was printed."""
        sheet = self._sheet(course, size, on, options)
        try:
            write(out, sheet_pdf(sheet))
        except (PdfIsOff, FaultySheet) as off:
            raise CommandError(str(off)) from off
        self.stderr.write(summary(out, sheet), style_func=str)

    def _sheet(self, course: str, size: float, on: date | None, options: dict[str, Any]) -> Sheet:
        """The sheet of a course, or an exit with every fault."""
        try:
            planned = plan_course_file(read_json(content_of(course)), on)
            return sheet_of(planned, size, on, options)
        except CourseFaults as problem:
            self.stderr.write(json.dumps(problem.faults, ensure_ascii=False, indent=2), style_func=str)
            sys.exit(BAD_INPUT)
        except PathwayFaults as problem:
            raise CommandError(str(problem)) from problem


def sheet_of(planned: PlannedCourse, size: float, on: date | None, options: dict[str, Any]) -> Sheet:
    """The sheet of a planned course on its day of printing."""
    printed_on = on or day_of_printing(planned)
    first = planned.course.treatments[0].on
    if printed_on < first:
        message = _("%(on)s is before the treatment. Give --on a day from %(first)s.")
        raise CommandError(message % {"on": in_words(printed_on), "first": in_words(first)}, returncode=BAD_INPUT)
    course = known_on(planned.course, printed_on)
    plan = planned.plan if course == planned.course else plan_of(course, planned.clinic, printed_on)
    site = Site(
        lines=tuple(options["place"]),
        phone=options["phone"],
        hours=options["hours"],
        emergency_number=EMERGENCY_NUMBERS.get(planned.clinic.country),
        paper=Paper(options["paper"]),
    )
    try:
        return sheet_from_plan(plan, course, planned.clinic, None, site, on=printed_on, size=size)
    except NoSheet as refused:
        why = " ".join(reason_text(reason) for reason in plan.scope.refused_because)
        raise CommandError(f"{refused} {why}", returncode=BAD_INPUT) from refused


def plan_of(course: Course, clinic: Clinic, on: date) -> Plan:
    """The plan as it stood on an earlier day."""
    first, last = course.injury.on.year - YEARS_BEFORE, on.year + YEARS_AFTER
    calendar = calendar_for(clinic, date(first, 1, 1), date(last, 12, 31))
    return make_plan(course, default_pathways(), calendar, on)


def day_of_printing(planned: PlannedCourse) -> date:
    """Today in the clinic's time, or the newest day of the course if that is later."""
    course = planned.course
    weighed = [weight.weighed_on for weight in course.weights]
    newest = max([planned.plan.anchor_on, *weighed, *(entry.on for entry in course.history)])
    return max(timezone.localdate(timezone=planned.clinic.time_zone), newest)


def content_of(name: str) -> bytes:
    """Read a course file; one that cannot be read is a fault in words."""
    try:
        return sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
    except OSError as problem:
        said = _("The course file %(file)s cannot be read: %(why)s.") % {"file": name, "why": problem.strerror}
        raise CourseFaults([{"path": "$", "message": said}]) from problem


def write(out: str, pdf: bytes) -> None:
    """Write the finished PDF, whole or not at all."""
    if out == "-":
        sys.stdout.buffer.write(pdf)
        return
    target = Path(out)
    part = target.with_name(f"{target.name}.part")
    try:
        part.write_bytes(pdf)
        part.replace(target)
    except OSError as problem:
        part.unlink(missing_ok=True)
        said = _("The sheet cannot be written to %(file)s: %(why)s.") % {"file": out, "why": problem.strerror}
        raise CommandError(said, returncode=BAD_INPUT) from problem


def summary(out: str, sheet: Sheet) -> str:
    """One line: what was printed, and whether a clinician has approved it."""
    words = {"file": out, "size": f"{sheet.size:g}", "day": in_words(sheet.printed_on), "check": sheet.check}
    said = _("Sheet of %(day)s written to %(file)s at %(size)s points, check letters %(check)s.") % words
    return said if sheet.approved_by else f"{said} {_('Not yet approved by a clinician of this clinic.')}"


def text_size(text: str) -> float:
    """Read `--size`."""
    sizes = {f"{size:g}": size for size in TEXT_SIZES}
    if text not in sizes:
        words = {"size": text, "sizes": ", ".join(sizes)}
        raise ArgumentTypeError(_("“%(size)s” is not offered. Choose one of %(sizes)s.") % words)
    return sizes[text]
