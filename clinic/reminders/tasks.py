"""What a worker does with the outbox. Arguments are ids only: no word of a patient reaches the broker."""

from clinic.common.clock import now
from clinic.jobs.heartbeat import beat
from clinic.jobs.job import job
from clinic.reminders.claim import due_ids, free_abandoned
from clinic.reminders.sending import send_if_due

SWEEP = "outbox sweep"
AT_MOST = 500


@job
def send_message(pk: int) -> str | None:
    """Send one message if it is due.

    Twice is safe: the claim is one conditional update, so the second finds nothing to do.
    Late is safe: due means at or before now, and whether the visit still stands is asked as it leaves.
    """
    return send_if_due(pk, now())


@job
def sweep_outbox() -> int:
    """Ask a worker for every message that is due or was left behind. Running it twice or late is safe, as above."""
    at = now()
    beat(SWEEP, at)
    free_abandoned(at)
    found = due_ids(at, at_most=AT_MOST)
    for pk in found:
        send_message.ask(pk)
    return len(found)
