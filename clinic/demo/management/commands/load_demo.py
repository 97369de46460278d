"""Fill the database with the invented clinic."""

from datetime import date
from time import monotonic

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from clinic.demo.clinic_file import read_clinic
from clinic.demo.loading import NotADemo, is_loaded, load, loaded_for
from clinic.demo.story import StoryFaults


class Command(BaseCommand):
    """Put the invented clinic of fixtures_demo on file; the demo that was there before makes room."""

    help = (
        "Puts the invented clinic of fixtures_demo on file, as it stands today (or on --on). A demo that is there "
        "already is replaced; with --keep it stays. Refuses a database with anything else in it, and DEBUG=0."
    )

    def add_arguments(self, parser) -> None:
        """Take the day, and whether a demo that is there stays."""
        parser.add_argument("--on", type=date.fromisoformat, metavar="YYYY-MM-DD")
        parser.add_argument("--keep", action="store_true", help="leave a demo that is there as it is")

    def handle(self, *args, **options) -> None:
        """Load, one line a story, and count."""
        if not settings.DEBUG:
            raise CommandError("DEBUG is off, as in a real clinic. The demo's passwords are known to everybody.")
        started = monotonic()
        try:
            clinic = read_clinic()
            if options["keep"] and is_loaded(clinic):
                self.stdout.write(f"The demo of {loaded_for(clinic)} stays as it is.")
                return
            loaded = load(options["on"], say=self._say)
        except (NotADemo, StoryFaults) as wrong:
            raise CommandError(str(wrong)) from None
        self.stdout.write(
            f"{loaded.n_stories} stories, {loaded.n_open_episodes} episodes open, {loaded.n_sessions} sessions, "
            f"{loaded.n_places} places to come, {loaded.n_messages} messages, in {monotonic() - started:.1f} s"
        )

    def _say(self, line: str) -> None:
        self.stdout.write(f"  {line}")
        self.stdout.flush()
