"""`write_invitation COURSE.json --visit N1 --out FILE.ics`."""

import json
import sys
from datetime import datetime
from email.utils import parseaddr
from pathlib import Path
from typing import cast

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone
from django.utils.translation import gettext as _

from clinic.invitations.course_files import Frame, NoInvitation, invitation_to, visit_to_invite_to
from clinic.invitations.faults import faults_in
from clinic.invitations.invitation import Invitation, InvitationFaults, Mailbox, Method
from clinic.invitations.writing import invitation_bytes
from rehab.engine.plan import PlannedVisit
from rehab.files import CourseFaults, plan_course_file, read_json
from rehab.words import in_words

BAD_INPUT = 2
# A course file does not know the clinic's address, and an appointment needs one (RFC 5546 section 3.2.1).
STAND_IN = "clinic@example.org"
USUAL_MINUTES = 30  # common practice, no source; --minutes says otherwise


class Command(BaseCommand):
    """Make the invitation of a course file without a database."""

    help = (
        "Write the calendar invitation to one visit of a course file; no database is touched. "
        "Without --attendee it is a published appointment: a calendar takes it in and asks for no answer. "
        "With --attendee it is a request, which is answered. A visit that is unknown, cancelled, over, or without "
        "a place is refused with the reason (exit 2), and so is a course with faults."
    )
    requires_system_checks = ()

    def add_arguments(self, parser):
        """Take the course, the visit and the file; the rest has a usual value."""
        parser.add_argument("course", metavar="COURSE.json", help="the course file; - reads standard input")
        parser.add_argument("--visit", required=True, metavar="CODE", help="which visit, for example N1")
        parser.add_argument("--out", required=True, metavar="FILE.ics", help="where to write; - is standard output")
        parser.add_argument(
            "--attendee", metavar="ADDRESS", help='who is invited, for example "Ann Tolliver <ann@example.org>"'
        )
        parser.add_argument(
            "--organiser",
            metavar="ADDRESS",
            default=STAND_IN,
            help="who invites: a neutral address of the clinic (usual: %(default)s, a stand-in that reaches nobody)",
        )
        parser.add_argument(
            "--place", action="append", default=[], metavar="LINE", help="a line of the address; may be given again"
        )
        parser.add_argument("--phone", default="", help="the number to ring")
        parser.add_argument("--minutes", type=int, default=USUAL_MINUTES, help="how long it lasts (usual: %(default)s)")

    def handle(self, *, course, visit, out, **options):
        """Plan, find the visit, write, and say in one line what was written."""
        planned = _planned(course)
        try:
            row = visit_to_invite_to(visit, planned.plan)
            invitation = invitation_to(row, planned.clinic, _frame(options), now=timezone.now())
        except (NoInvitation, InvitationFaults) as refused:
            raise CommandError(str(refused), returncode=BAD_INPUT) from refused
        ics = invitation_bytes(invitation)
        if faults := faults_in(ics):
            raise CommandError(" ".join(faults))
        _write(out, ics)
        self.stderr.write(_summary(out, row, invitation))


def _planned(course: str):
    """Read and plan the course; every fault goes to standard error as one JSON list."""
    try:
        content = sys.stdin.buffer.read() if course == "-" else Path(course).read_bytes()
    except OSError as problem:
        said = _("The course file %(file)s cannot be read: %(why)s.") % {"file": course, "why": problem.strerror}
        raise CommandError(said, returncode=BAD_INPUT) from problem
    try:
        return plan_course_file(read_json(content))
    except CourseFaults as problem:
        raise CommandError(json.dumps(problem.faults, ensure_ascii=False, indent=1), returncode=BAD_INPUT) from problem


def _frame(options: dict) -> Frame:
    return Frame(
        organiser=Mailbox(*parseaddr(options["organiser"])),
        attendee=Mailbox(*parseaddr(options["attendee"])) if options["attendee"] else None,
        minutes=options["minutes"],
        place=tuple(options["place"]),
        phone=options["phone"],
    )


def _write(out: str, ics: bytes) -> None:
    if out == "-":
        sys.stdout.buffer.write(ics)
        sys.stdout.buffer.flush()
        return
    try:
        Path(out).write_bytes(ics)
    except OSError as problem:
        said = _("The invitation cannot be written to %(file)s: %(why)s.") % {"file": out, "why": problem.strerror}
        raise CommandError(said, returncode=BAD_INPUT) from problem


def _summary(out: str, row: PlannedVisit, invitation: Invitation) -> str:
    """Say what was written and how a calendar will take it."""
    starts_at = cast(datetime, invitation.starts_at)
    words = {"file": out, "code": row.code, "day": in_words(starts_at.date()), "time": f"{starts_at:%H:%M}"}
    said = [_("%(file)s: visit %(code)s on %(day)s at %(time)s.") % words]
    if not row.in_window:
        said.append(_("This day is outside the visit's window: a clinician must accept it."))
    if invitation.method is Method.PUBLISH:
        said.append(_("Method PUBLISH, because no attendee was given: nobody is asked to answer."))
    else:
        said.append(_("Method REQUEST: the attendee is asked to answer."))
    if invitation.organiser.address == STAND_IN:
        said.append(_("The organiser is the stand-in %(address)s: give --organiser.") % {"address": STAND_IN})
    return " ".join(said)
