"""Clerks who move people between the same two sessions, in opposite directions, at the same moment."""

import multiprocessing
from collections import Counter
from datetime import date, time

N_CLERKS = 4


def cross(n_rounds: int) -> dict[str, int]:
    """Let four processes move one person each there and back, half of them the other way round; count how it went."""
    from django.core.management import call_command
    from django.db import connections

    from clinic.diary.models import SessionRoom

    call_command("migrate", verbosity=0)
    bookings, sessions = prepare()
    connections.close_all()  # a connection must not be shared with a child
    context = multiprocessing.get_context("fork")
    barrier, answers = context.Barrier(N_CLERKS), context.Queue()
    clerks = [context.Process(target=move, args=(barrier, answers, pk, sessions, n_rounds)) for pk in bookings]
    for clerk in clerks:
        clerk.start()
    heard = Counter(answers.get(timeout=120) for _ in range(N_CLERKS * n_rounds))
    for clerk in clerks:
        clerk.join(timeout=30)
    taken = SessionRoom.objects.filter(station="consultation").values_list("taken", flat=True)
    return {**heard, "taken": sum(taken)}


def prepare() -> tuple[list[int], list[int]]:
    """Book four people into two sessions of one day, two in each."""
    from clinic.diary.models import Session
    from clinic.followup.services import book_visit, register_patient
    from clinic.people.models import Role
    from tests.support import cast

    site = cast.make_site()
    clerk = cast.make_staff(site, Role.CLERK, "Cora Finch")
    sessions: list[Session] = [cast.make_session(site, date(2027, 2, 15), starts=time(hour)) for hour in (9, 14)]
    bookings = []
    for number in range(N_CLERKS):
        episode = register_patient(cast.typed(hospital_number=f"HH {number}"), by=clerk, at=cast.DAY_ZERO).episode
        visit = episode.injury.planned_visits.get(code="N1")
        booked = book_visit(visit, sessions[number % 2], by=clerk, at=cast.DAY_ZERO).booking
        assert booked is not None
        bookings.append(booked.pk)
    return bookings, [session.pk for session in sessions]


def move(barrier, answers, pk: int, sessions: list[int], n_rounds: int) -> None:
    """Move one place to the other session, round after round, each round with everybody else."""
    from django.db import Error

    from clinic.diary.models import Booking, Session
    from clinic.followup.services import move_booking
    from clinic.people.models import StaffMember
    from tests.support.cast import DAY_ZERO

    clerk = StaffMember.objects.select_related("site", "user").get()
    for _ in range(n_rounds):
        booking = Booking.objects.get(pk=pk)
        there = next(session for session in sessions if session != booking.session_id)
        barrier.wait(timeout=60)
        try:
            move_booking(booking, Session.objects.select_related("site").get(pk=there), by=clerk, at=DAY_ZERO)
        except Error as broken:
            answers.put(type(broken).__name__)
        else:
            answers.put("moved")
