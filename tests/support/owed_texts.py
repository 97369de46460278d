"""A clinic with many texts due at this moment. Runs in processes of its own."""

from collections import Counter
from datetime import timedelta


def owe(n_texts: int) -> list[int]:
    """Fill an empty database with booked visits whose first reminder is due now; give the messages' ids."""
    from django.core.management import call_command

    from clinic.common.clock import clinic_today, now
    from clinic.followup.services import book_visit, register_patient
    from clinic.people.models import Role
    from clinic.reminders.models import OutboxMessage
    from tests.support import cast

    call_command("migrate", verbosity=0)
    site = cast.make_site(clinic_days=["mon", "tue", "wed", "thu", "fri", "sat", "sun"])
    clerk = cast.make_staff(site, Role.CLERK, "Cora Finch")
    at = now()
    session = cast.make_session(
        site, clinic_today(site.zone, at) + timedelta(days=14), consultation=n_texts, physiotherapy=n_texts
    )
    moments = dict.fromkeys(["injured_at", "presented_at", "treated_at"], at)
    for number in range(n_texts):
        form = cast.typed(hospital_number=f"HH {number}", weighed_on=clinic_today(site.zone, at), **moments)
        injury = register_patient(form, by=clerk, at=at).episode.injury
        book_visit(injury.planned_visits.get(code="N1"), session, by=clerk, at=at)
    reminders = OutboxMessage.objects.filter(kind="first reminder")
    OutboxMessage.objects.exclude(pk__in=reminders).delete()
    reminders.update(due_at=at)
    return list(reminders.values_list("pk", flat=True))


def ask_workers(ids: list[int]) -> float:
    """Ask the broker to send each message; give the seconds it took."""
    import time

    from clinic.reminders.tasks import send_message

    started = time.monotonic()
    for pk in ids:
        send_message.ask(pk)
    return time.monotonic() - started


def end_leases() -> None:
    """Let what a dead sender holds run out now: a test need not wait for it."""
    from django.db.models import F

    from clinic.reminders.claim import LEASE
    from clinic.reminders.models import OutboxMessage

    held = OutboxMessage.objects.filter(lease_until__isnull=False)
    held.update(lease_until=F("lease_until") - 2 * LEASE)


def states() -> dict[str, int]:
    """Count the messages by state."""
    from clinic.reminders.models import OutboxMessage

    return Counter(OutboxMessage.objects.values_list("state", flat=True))
