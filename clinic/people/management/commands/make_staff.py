"""Let a member of staff sign in."""

from getpass import getpass

from django.contrib.auth import get_user_model
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from clinic.people.models import Role, Site, StaffMember


class Command(BaseCommand):
    """Make a user with a site, a role and a name as printed."""

    help = "Makes a member of staff who can sign in. Asks for the password unless --password-from-stdin is given."

    def add_arguments(self, parser) -> None:
        """Take who it is."""
        parser.add_argument("username")
        parser.add_argument("--site", required=True, metavar="NAME")
        parser.add_argument("--role", required=True, choices=Role.values)
        parser.add_argument("--name", required=True, help="as shown and printed")
        parser.add_argument("--password-from-stdin", action="store_true")

    @transaction.atomic
    def handle(self, *args, **options) -> None:
        """Check everything first, then make user and staff member together."""
        site = Site.objects.filter(name=options["site"]).first()
        if site is None:
            known = ", ".join(Site.objects.values_list("name", flat=True)) or "none"
            raise CommandError(f"No site is called “{options['site']}”. Known sites: {known}.")
        users = get_user_model().objects
        if users.filter(username=options["username"]).exists():
            raise CommandError(f"“{options['username']}” exists already.")
        password = input() if options["password_from_stdin"] else getpass("Password: ")
        try:
            validate_password(password)
        except ValidationError as weak:
            raise CommandError(" ".join(weak.messages)) from None
        user = users.create_user(options["username"], password=password)
        StaffMember.objects.create(user=user, site=site, role=options["role"], display_name=options["name"])
        self.stdout.write(f"{options['name']} can sign in as {options['username']}")
