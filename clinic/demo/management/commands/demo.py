"""Run the invented clinic on this machine: `make demo`."""

import os
import socket

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from clinic.common.clock import clinic_today
from clinic.demo.clinic_file import DemoClinic, read_clinic
from clinic.demo.loading import is_loaded, loaded_for
from clinic.demo.story import StoryFaults
from clinic.people.models import Role, Site

UNSAID_ADDRESS = "http://127.0.0.1:8000"  # what SITE_URL is when nobody said anything


class Command(BaseCommand):
    """Bring the database up to date, fill it when it is empty, say how to sign in, and serve."""

    help = (
        "Runs the invented clinic: migrates, loads the demo when the database holds no clinic, prints the address and "
        "one login for each role, and serves pages and messages until it is stopped."
    )

    def add_arguments(self, parser) -> None:
        """Take the address, and whether to serve at all."""
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--no-serve", action="store_true", help="stop after saying how to sign in")

    def handle(self, *args, **options) -> None:
        """See that the port is free before anything else, then fill and serve."""
        host, port = options["host"], options["port"]
        if not options["no_serve"]:
            refuse_taken_port(host, port)
        try:
            clinic = read_clinic()
        except StoryFaults as wrong:
            raise CommandError(str(wrong)) from None
        call_command("migrate", interactive=False, verbosity=0)
        self._fill(clinic)
        self.stdout.write(sign_in_words(clinic, f"http://{host}:{port}/"))
        self.stdout.flush()
        if not options["no_serve"]:
            if settings.SITE_URL == UNSAID_ADDRESS:
                os.environ.update(SITE_URL=f"http://{host}:{port}")  # for the processes that serve
            call_command("serve", demo=True, host=host, port=port)

    def _fill(self, clinic: DemoClinic) -> None:
        """Load the demo into a database without a clinic; leave any other as it is."""
        if is_loaded(clinic):
            day, today = loaded_for(clinic), clinic_today(Site.objects.get(uuid=clinic.site_key).zone)
            if day != today:
                self.stdout.write(f"The demo on file is of {day}. To bring it up to today: manage.py load_demo")
            return
        self.stdout.write("Filling the clinic with invented people ...")
        call_command("load_demo", stdout=self.stdout)


def refuse_taken_port(host: str, port: int) -> None:
    """Refuse a port that another program holds, before a minute is spent on filling."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as taken:
            raise CommandError(
                f"Port {port} cannot be used: {taken.strerror}. Choose another, such as: make demo PORT={port + 1}"
            ) from None


def sign_in_words(clinic: DemoClinic, address: str) -> str:
    """Say where the demo is and how to sign in: role, name, password, one line a role."""
    roles = dict(Role.choices)
    lines = [f"    {roles[each.role]:<18} {each.username:<10} {clinic.password}" for each in clinic.one_of_each_role()]
    return "\n".join(
        ["", f"  {clinic.site['name']} (everybody in it is invented): {address}", "", "  Sign in as", *lines, ""]
    )
