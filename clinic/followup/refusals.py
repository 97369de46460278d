"""Refusals of the acts, each with what would be right. Nothing is saved when one is raised."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from clinic.diary.room import SessionFull, SessionShut
from clinic.people.duties import NotYourDuty, OtherSite
from rehab.engine.plan import Reason
from rehab.files import CourseFaults
from rehab.models import PlannedVisit
from rehab.services import ChangedSince
from rehab.words import reason_text

__all__ = [
    "ChangedSince",
    "CourseFaults",
    "NotBookable",
    "NotInForce",
    "NotYourDuty",
    "OtherSite",
    "OutsideWindow",
    "ReasonNeeded",
    "SessionFull",
    "SessionShut",
    "StageShut",
]


class StageShut(Exception):
    """The stage cannot be ordered; `reasons` say what it waits for."""

    def __init__(self, reasons: Sequence[Reason]) -> None:
        self.reasons = tuple(reasons)
        super().__init__(" ".join(reason_text(reason) for reason in self.reasons))


class ReasonNeeded(Exception):
    """An order before its time or off the ladder is the surgeon's own change: it needs a reason."""

    def __init__(self) -> None:
        super().__init__(_("This order is earlier than the plan, or not in it. Write the reason, then order it."))


class NotBookable(Exception):
    """The visit cannot be given a place."""


class OutsideWindow(Exception):
    """The session lies outside the window of `visits`: a named clinician must accept it."""

    def __init__(self, visits: Sequence[PlannedVisit]) -> None:
        self.visits = tuple(visits)
        codes = ", ".join(visit.title for visit in visits)
        super().__init__(
            _("That day is outside the window of: %(visits)s. Name the clinician who accepts it.") % {"visits": codes}
        )


class NotInForce(Exception):
    """What was to be changed has ended already."""
