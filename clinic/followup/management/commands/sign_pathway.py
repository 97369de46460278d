"""`sign_pathway`: a surgeon puts a name under the pathway version in force."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clinic.followup.signing import AlreadySigned, sign_pathway
from clinic.people.duties import NotYourDuty
from clinic.people.models import StaffMember
from rehab.management.commands.show_pathway import find_treatment
from rehab.queries import pathways_in_force


class Command(BaseCommand):
    """Sign one pathway."""

    help = gettext_lazy(  # type: ignore[assignment]
        "Put a surgeon's name under the pathway in force at the surgeon's site. VERSION is the version that was read: "
        "another one than is in force is refused. Until then plans, pages and papers say that nobody has approved it."
    )

    def add_arguments(self, parser: Any) -> None:
        """Take the pathway, the version that was read, and who signs."""
        parser.add_argument("name", metavar="NAME", help=_("the treatment, for example: nail"))
        parser.add_argument("--version-read", required=True, metavar="VERSION")
        parser.add_argument("--by", required=True, metavar="USERNAME", help=_("a surgeon who can sign in"))

    def handle(self, *, name: str, version_read: str, by: str, **_options: Any) -> None:
        """Sign, or say why not."""
        surgeon = StaffMember.objects.select_related("site", "user").filter(user__username=by).first()
        if surgeon is None:
            raise CommandError(_("Nobody signs in as “%(name)s”.") % {"name": by})
        treatment = find_treatment(name, pathways_in_force(surgeon.site.uuid))
        try:
            signature = sign_pathway(treatment, version_read, by=surgeon)
        except (NotYourDuty, AlreadySigned, ValueError) as refused:
            raise CommandError(str(refused)) from None
        self.stdout.write(
            _("%(name)s signed version %(version)s.") % {"name": signature.name, "version": signature.version}
        )
