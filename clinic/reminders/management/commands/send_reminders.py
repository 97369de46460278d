"""Send what is due, once."""

from datetime import UTC, datetime

from django.core.management.base import BaseCommand, CommandError

from clinic.common.clock import now
from clinic.reminders.sending import send_due


class Command(BaseCommand):
    """Send every message of the outbox that is due at or before the instant, each once, and stop.

    The instant only says what is due: another sender's lease is judged, and what was sent is noted, by the clock.
    """

    help = "Sends every message that is due (at or before --now, default this instant), once, and stops."

    def add_arguments(self, parser) -> None:
        """Take the instant."""
        parser.add_argument("--now", metavar="INSTANT", help="an instant such as 2027-02-08T10:00:00Z")

    def handle(self, *args, **options) -> None:
        """Try each message that is due, and count how each ended."""
        counts = send_due(now, due_by=instant(options["now"]) if options["now"] else None, at_most=None)
        summary = ", ".join(f"{count} {state}" for state, count in sorted(counts.items()))
        self.stdout.write(summary or "nothing was due")


def instant(text: str) -> datetime:
    """Read an instant; one without an offset would be a guess, so it is refused."""
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        raise CommandError(f"“{text}” is not an instant. Write it like 2027-02-08T10:00:00Z.") from None
    if at.tzinfo is None:
        raise CommandError(f"“{text}” says no offset. Write it like 2027-02-08T10:00:00Z.")
    return at.astimezone(UTC)
