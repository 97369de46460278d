"""Many clerks press at the same moment for the last place. Runs in processes of its own."""

import multiprocessing
from collections import Counter
from datetime import date, time, timedelta

N_CLERKS = 8


def race(n_rounds: int) -> dict[str, object]:
    """Let eight processes book the last place of a session, round after round, and count how it went."""
    from django.core.management import call_command
    from django.db import connections

    call_command("migrate", verbosity=0)
    site, visits, sessions = prepare(n_rounds)
    connections.close_all()  # a connection must not be shared with a child
    context = multiprocessing.get_context("fork")
    barrier, answers = context.Barrier(N_CLERKS), context.Queue()
    clerks = [
        context.Process(target=press, args=(barrier, answers, visits[number], sessions)) for number in range(N_CLERKS)
    ]
    for clerk in clerks:
        clerk.start()
    heard = Counter(answers.get(timeout=120) for _ in range(N_CLERKS * n_rounds))
    for clerk in clerks:
        clerk.join(timeout=30)
    return {**heard, **count(site, sessions)}


def prepare(n_rounds: int):
    """Register eight people a clerk and a round, and give each round a session with one place left."""
    from clinic.followup.services import register_patient
    from clinic.people.models import Role
    from tests.support import cast

    site = cast.make_site()
    clerk = cast.make_staff(site, Role.CLERK, "Cora Finch")
    visits: list[list] = [[] for _ in range(N_CLERKS)]
    for number in range(N_CLERKS * n_rounds):
        form = cast.typed(hospital_number=f"HH {number}")
        injury = register_patient(form, by=clerk, at=cast.DAY_ZERO).episode.injury
        visits[number % N_CLERKS].append(injury.planned_visits.get(code="N1").pk)
    sessions = [
        cast.make_session(site, date(2027, 2, 15), starts=time(9, number), consultation=1, physiotherapy=5).pk
        for number in range(n_rounds)
    ]
    return site, visits, sessions


def press(barrier, answers, visits: list[int], sessions: list[int]) -> None:
    """Press once a round, all at the same moment."""
    from clinic.diary.models import Session
    from clinic.followup.refusals import SessionFull
    from clinic.followup.services import book_visit
    from clinic.people.models import StaffMember
    from rehab.models import PlannedVisit
    from tests.support.cast import DAY_ZERO

    clerk = StaffMember.objects.select_related("site", "user").get()
    for visit, session in zip(visits, sessions, strict=True):
        row, place = PlannedVisit.objects.get(pk=visit), Session.objects.get(pk=session)
        barrier.wait(timeout=60)
        try:
            book_visit(row, place, by=clerk, at=DAY_ZERO + timedelta(hours=1))
            answers.put("booked")
        except SessionFull:
            answers.put("full")
        except Exception as broken:
            answers.put(f"error: {type(broken).__name__}: {broken}")


def count(site, sessions: list[int]) -> dict[str, object]:
    """Count what the database holds in the end."""
    from clinic.diary.models import Booking, SessionRoom
    from clinic.reminders.models import OutboxMessage
    from rehab.models import HistoryEntry

    rooms = SessionRoom.objects.filter(session__in=sessions)
    return {
        "over_booked": sum(room.taken > room.room_for for room in rooms),
        "consultations_taken": sum(room.taken for room in rooms if room.station == "consultation"),
        "physiotherapy_taken": sum(room.taken for room in rooms if room.station == "physiotherapy"),
        "bookings": Booking.objects.filter(status="booked").count(),
        "facts": HistoryEntry.objects.filter(kind="booked").count(),
        "confirmations": OutboxMessage.objects.filter(kind="confirmation").count(),
    }
