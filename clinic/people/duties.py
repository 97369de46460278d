"""Who may do what: asked by the acts themselves, so that no page can forget it."""

from django.utils.translation import gettext as _

from clinic.people.models import Role, StaffMember
from rehab.engine.facts import Authoriser

CLINICIANS = (Role.SURGEON, Role.PHYSIOTHERAPIST)
ANYBODY = (Role.CLERK, Role.PHYSIOTHERAPIST, Role.SURGEON, Role.MANAGER)
FRONT_DESK = (Role.CLERK, Role.PHYSIOTHERAPIST, Role.SURGEON)

DUTIES: dict[str, tuple[Role, ...]] = {
    "register_patient": (Role.CLERK, Role.SURGEON),
    "record_film_reading": (Role.SURGEON,),
    "record_gate_findings": CLINICIANS,
    "record_weight": FRONT_DESK,
    "record_wedging": CLINICIANS,
    "record_clinical_union": CLINICIANS,
    "order_stage": CLINICIANS,
    "mark_attended": FRONT_DESK,
    "mark_missed": FRONT_DESK,
    "book_visit": FRONT_DESK,
    "move_booking": FRONT_DESK,
    "cancel_booking": FRONT_DESK,
    "accept_outside_window": CLINICIANS,
    "convert_treatment": (Role.SURGEON,),
    "confirm_union": (Role.SURGEON,),
    "close_clot_review": (Role.SURGEON,),
    "close_antibiotic_review": (Role.SURGEON,),
    "discharge": (Role.SURGEON,),
    "sign_pathway": (Role.SURGEON,),
}


class NotYourDuty(PermissionError):
    """This act belongs to somebody else; the message names who may do it."""

    def __init__(self, act: str, by: StaffMember) -> None:
        roles = ", ".join(str(role.label) for role in DUTIES[act])
        super().__init__(
            _("%(name)s cannot do this. It takes one of: %(roles)s.") % {"name": by.display_name, "roles": roles}
        )


class OtherSite(PermissionError):
    """The record belongs to another site."""

    def __init__(self) -> None:
        super().__init__(_("This record belongs to another site."))


def may(act: str, by: StaffMember) -> bool:
    """Say whether a member of staff may do an act."""
    return by.role in DUTIES[act]


def require(act: str, by: StaffMember, site_id: int | None = None) -> None:
    """Refuse an act that is not this person's, or that touches another site."""
    if not may(act, by):
        raise NotYourDuty(act, by)
    if site_id is not None and by.site_id != site_id:
        raise OtherSite


def authoriser_of(by: StaffMember) -> Authoriser:
    """Give the name under which a clinician signs."""
    return Authoriser.SURGEON if by.role == Role.SURGEON else Authoriser.PHYSIOTHERAPIST
