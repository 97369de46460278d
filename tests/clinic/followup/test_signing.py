"""Nothing counts as approved until a named surgeon has signed exactly that version."""

import io

import pytest
from django.core.management import CommandError, call_command

from clinic.audit.models import AccessEntry
from clinic.followup.signing import AlreadySigned, sign_pathway
from clinic.people.duties import NotYourDuty
from rehab.engine.facts import TreatmentKind
from rehab.queries import pathways_in_force

NAIL = TreatmentKind.INTRAMEDULLARY_NAIL


def in_force(site):
    return pathways_in_force(site.uuid)[NAIL]


def test_a_pathway_is_approved_by_nobody_until_a_surgeon_signs_it(site, surgeon):
    assert in_force(site).approved_by is None

    sign_pathway(NAIL, in_force(site).version, by=surgeon)

    assert in_force(site).approved_by == "Sita Rowan"
    assert pathways_in_force(site.uuid)[TreatmentKind.LONG_LEG_CAST].approved_by is None


def test_a_signature_is_noted_in_the_log(site, surgeon):
    sign_pathway(NAIL, in_force(site).version, by=surgeon)

    assert AccessEntry.objects.get(action="sign_pathway").who == "Sita Rowan"


@pytest.mark.parametrize("role", ["clerk", "physiotherapist"])
def test_only_a_surgeon_signs(request, site, role):
    with pytest.raises(NotYourDuty):
        sign_pathway(NAIL, in_force(site).version, by=request.getfixturevalue(role))


def test_a_version_that_is_not_in_force_is_not_signed(site, surgeon):
    with pytest.raises(ValueError, match="Read that one before you sign it"):
        sign_pathway(NAIL, "1999-01", by=surgeon)


def test_a_version_is_signed_once(site, surgeon):
    sign_pathway(NAIL, in_force(site).version, by=surgeon)

    with pytest.raises(AlreadySigned, match="was signed by Sita Rowan"):
        sign_pathway(NAIL, in_force(site).version, by=surgeon)


def test_the_command_signs_for_the_named_surgeon(site, surgeon):
    out = io.StringIO()
    version = in_force(site).version

    call_command("sign_pathway", "nail", version_read=version, by=surgeon.user.username, stdout=out)

    assert f"Sita Rowan signed version {version}." in out.getvalue()


def test_the_command_refuses_a_stranger_and_says_so(site):
    with pytest.raises(CommandError, match="Nobody signs in as “nobody”"):
        call_command("sign_pathway", "nail", version_read="x", by="nobody")
