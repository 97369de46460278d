"""Run the clinic: the database brought up to date, the web server, and the dispatcher beside it."""

import signal
import sys

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from clinic.jobs.children import Child, run_together


class Command(BaseCommand):
    """Web server and dispatcher in one command; each is started again when it dies."""

    help = (
        "Brings the database up to date, then runs the web server and, without REDIS_URL, the dispatcher. "
        "Refuses the settings of a demo unless --demo is given."
    )

    def add_arguments(self, parser) -> None:
        """Take the address and whether this is a demo."""
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--workers", type=int, default=2, help="web processes")
        parser.add_argument("--demo", action="store_true", help="allow the settings of a demo")

    def handle(self, *args, **options) -> None:
        """Start everything, keep it running, and stop it cleanly when told to."""
        if settings.DEBUG and not options["demo"]:
            raise CommandError("DEBUG is on. A real clinic sets DEBUG=0; for a demo on this machine add --demo.")
        call_command("migrate", interactive=False, verbosity=0)
        if not settings.DEBUG:
            call_command("collectstatic", interactive=False, verbosity=0)
        signals: list[int] = []
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, lambda number, _: signals.append(number))
        self.stdout.write(f"Firm Footing on http://{options['host']}:{options['port']}/")
        self.stdout.flush()
        run_together(children(**options), is_stopping=lambda: bool(signals))
        self.stdout.write("stopped")


def children(*, host: str, port: int, workers: int, **_options) -> list[Child]:
    """Give what runs beside each other: with a broker the workers are processes of their own."""
    python = sys.executable
    web = [python, "-m", "gunicorn", "clinic.conf.wsgi:application", f"--bind={host}:{port}", f"--workers={workers}"]
    found = [Child("web", [*web, "--graceful-timeout=20", "--no-control-socket"])]
    if not settings.REDIS_URL:
        found.append(Child("dispatcher", [python, "manage.py", "dispatch"]))
    return found
