"""Send what is due, once."""

from datetime import UTC, datetime

from django.core.management.base import BaseCommand, CommandError

from clinic.common.clock import now
from clinic.reminders.sending import send_due

BATCH = 100


class Command(BaseCommand):
    """Send every message of the outbox that is due at or before the instant, once, and stop."""

    help = "Sends every message that is due (at or before --now, default this instant), once, and stops."

    def add_arguments(self, parser) -> None:
        """Take the instant."""
        parser.add_argument("--now", metavar="INSTANT", help="an instant such as 2027-02-08T10:00:00Z")

    def handle(self, *args, **options) -> None:
        """Send batch after batch until nothing is due, and count how each message ended."""
        started, first = now(), instant(options["now"]) if options["now"] else now()
        totals: dict[str, int] = {}
        while counts := send_due(lambda: first + (now() - started), at_most=BATCH):
            for state, count in counts.items():
                totals[state] = totals.get(state, 0) + count
        summary = ", ".join(f"{count} {state}" for state, count in sorted(totals.items()))
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
