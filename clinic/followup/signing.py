"""Signing a pathway: a named surgeon puts a name under exactly one version of it."""

from django.db import transaction
from django.utils.translation import gettext as _

from clinic.audit.log import note
from clinic.common.clock import now
from clinic.people.duties import require
from clinic.people.models import StaffMember
from rehab.engine.facts import TreatmentKind
from rehab.models import PathwaySignature
from rehab.queries import pathways_in_force


class AlreadySigned(Exception):
    """This very version has been signed before; the message names who did."""


@transaction.atomic
def sign_pathway(treatment: TreatmentKind, version: str, *, by: StaffMember) -> PathwaySignature:
    """Put a surgeon's name under the version in force; change a word of it, and it waits for a signature again.

    `version` is what the signer read: signing another one than is in force is refused.
    Raises NotYourDuty, AlreadySigned, and ValueError when the version is not the one in force.
    """
    require("sign_pathway", by)
    pathway = pathways_in_force(by.site.uuid)[treatment]
    if pathway.version != version:
        raise ValueError(
            _("The version in force is %(now)s, not %(read)s. Read that one before you sign it.")
            % {"now": pathway.version, "read": version}
        )
    if pathway.approved_by is not None:
        raise AlreadySigned(
            _("Version %(version)s was signed by %(name)s.") % {"version": version, "name": pathway.approved_by}
        )
    signature = PathwaySignature.objects.create(
        site_key=by.site.uuid,
        treatment=treatment.value,
        version=version,
        digest=pathway.digest,
        signed_by=by.user,
        name=by.display_name,
        signed_at=now(),
    )
    note(
        site_key=by.site.uuid,
        user=by.user,
        who=by.display_name,
        role=by.role,
        action="sign_pathway",
        record="pathway",
        record_uuid=signature.uuid,
        after={"treatment": treatment.value, "version": version, "digest": pathway.digest},
    )
    return signature
