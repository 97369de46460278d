from datetime import UTC, date, datetime, time
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from clinic.diary.models import Booking, BookingStatus, SessionRoom, SessionStatus
from clinic.diary.room import sessions_with_room
from clinic.followup.bookings import end_booking
from clinic.followup.refusals import (
    ChangedSince,
    NotBookable,
    NotInForce,
    NotYourDuty,
    OtherSite,
    OutsideWindow,
    SessionFull,
    SessionShut,
)
from clinic.followup.services import book_visit, cancel_booking, mark_missed, move_booking, register_patient
from clinic.people.models import Role
from clinic.reminders.models import MessageState, OutboxMessage, Untold
from rehab.models import HistoryEntry
from tests.support import cast
from tests.support.cast import DAY_ZERO, make_session, typed


def taken(session):
    return dict(SessionRoom.objects.filter(session=session).values_list("station", "taken"))


def kinds_and_states():
    return sorted(OutboxMessage.objects.values_list("kind", "state"))


def test_a_visit_gets_a_place_at_each_station_it_needs(booked, first_session):
    assert booked.status == BookingStatus.BOOKED
    assert taken(first_session) == {"consultation": 1, "physiotherapy": 1, "x_ray": 0, "plaster": 0}


def test_booking_a_visit_asks_the_database_at_most_thirty_times(
    ann, visit, clerk, first_session, django_assert_max_num_queries
):
    chosen = visit("N1")

    with django_assert_max_num_queries(30):
        book_visit(chosen, first_session, by=clerk, at=DAY_ZERO)


def test_a_place_is_a_fact_of_the_course(booked, visit):
    entry = HistoryEntry.objects.get(kind="booked")

    assert entry.payload == {"visit": "N1", "place_on": "2027-02-15"}
    assert visit("N1").planning_on == date(2027, 2, 2)


def test_the_patient_is_owed_a_confirmation_and_two_reminders(booked):
    owed = OutboxMessage.objects.values_list("kind", "channel", "due_at")

    assert set(owed) == {
        ("confirmation", "email", DAY_ZERO),
        ("first reminder", "sms", datetime(2027, 2, 8, 10, 0, tzinfo=UTC)),
        ("second reminder", "sms", datetime(2027, 2, 12, 10, 0, tzinfo=UTC)),
    }


def test_a_patient_without_address_and_mobile_is_owed_nothing_and_the_page_can_say_so(clerk, first_session):
    episode = register_patient(typed(email="", mobile=""), by=clerk, at=DAY_ZERO).episode

    outcome = book_visit(episode.injury.planned_visits.get(code="N1"), first_session, by=clerk, at=DAY_ZERO)

    assert not outcome.is_told
    assert outcome.why_untold == Untold.NO_ADDRESS
    assert not OutboxMessage.objects.exists()


def test_a_patient_with_a_mobile_alone_is_not_told_by_a_clinic_without_a_gateway_and_the_page_can_say_so(
    clerk, first_session, settings
):
    settings.TEXTS_LEAVE = False
    episode = register_patient(typed(email=""), by=clerk, at=DAY_ZERO).episode

    outcome = book_visit(episode.injury.planned_visits.get(code="N1"), first_session, by=clerk, at=DAY_ZERO)

    assert not outcome.is_told
    assert outcome.why_untold == Untold.NO_GATEWAY
    assert outcome.why_untold.label == "no e-mail, and this clinic sends no texts"


def test_a_patient_whom_messages_reach_is_told_of_a_place_and_nothing_stands_against_it(
    ann, visit, clerk, first_session
):
    outcome = book_visit(visit("N1"), first_session, by=clerk, at=DAY_ZERO)

    assert outcome.is_told
    assert outcome.why_untold is None


def test_a_text_of_news_waits_until_morning(clerk, first_session):
    episode = register_patient(typed(email=""), by=clerk, at=DAY_ZERO).episode
    late = datetime(2027, 2, 2, 22, 30, tzinfo=UTC)

    book_visit(episode.injury.planned_visits.get(code="N1"), first_session, by=clerk, at=late)

    assert OutboxMessage.objects.get(kind="confirmation").due_at == datetime(2027, 2, 3, 8, 0, tzinfo=UTC)


def test_a_text_wakes_somebody_whose_visit_would_begin_before_the_morning_s_text(clerk, site):
    early = make_session(site, date(2027, 2, 15), starts=time(8, 0))
    episode = register_patient(typed(email=""), by=clerk, at=DAY_ZERO).episode
    the_evening_before = datetime(2027, 2, 14, 22, 0, tzinfo=UTC)

    book_visit(episode.injury.planned_visits.get(code="N1"), early, by=clerk, at=the_evening_before)

    assert OutboxMessage.objects.get(kind="confirmation").due_at == the_evening_before


def test_a_full_session_names_the_next_free_one_and_nothing_is_saved(ann, visit, clerk, site):
    full = make_session(site, date(2027, 2, 15), consultation=1, physiotherapy=0)
    make_session(site, date(2027, 2, 15), starts=time(14, 0), consultation=0, physiotherapy=5)
    make_session(site, date(2027, 2, 17))

    with pytest.raises(SessionFull, match="Wednesday 17 February 2027 at 09:30 is free") as refused:
        book_visit(visit("N1"), full, by=clerk, at=DAY_ZERO)

    assert refused.value.next_free.on == date(2027, 2, 17)
    assert taken(full) == {"consultation": 0, "physiotherapy": 0}
    assert not Booking.objects.exists()
    assert not OutboxMessage.objects.exists()
    assert not HistoryEntry.objects.filter(kind="booked").exists()


def test_a_full_session_offers_nothing_outside_the_window(ann, visit, clerk, site):
    full = make_session(site, date(2027, 2, 15), consultation=0, physiotherapy=0)
    make_session(site, date(2027, 2, 19))

    with pytest.raises(SessionFull, match="No later session inside the window"):
        book_visit(visit("N1"), full, by=clerk, at=DAY_ZERO)


def test_no_room_at_a_station_that_the_session_does_not_have(ann, visit, clerk, site):
    session = make_session(site, date(2027, 2, 15), consultation=5)

    with pytest.raises(SessionFull, match="physiotherapy"):
        book_visit(visit("N1"), session, by=clerk, at=DAY_ZERO)


def test_a_day_outside_the_window_needs_a_named_clinician(ann, visit, clerk, site, physiotherapist):
    late = make_session(site, date(2027, 2, 19))

    with pytest.raises(OutsideWindow) as refused:
        book_visit(visit("N1"), late, by=clerk, at=DAY_ZERO)
    with pytest.raises(NotYourDuty):
        book_visit(visit("N1"), late, by=clerk, accepted_by=clerk, at=DAY_ZERO)
    outcome = book_visit(visit("N1"), late, by=clerk, accepted_by=physiotherapist, at=DAY_ZERO)

    assert [each.code for each in refused.value.visits] == ["N1"]
    assert outcome.booking.accepted_by == physiotherapist
    assert visit("N1").placed_on == date(2027, 2, 19)
    assert not visit("N1").in_window


def test_a_deadline_after_a_miss_does_not_widen_the_window(booked, ann, visit, clerk, site):
    mark_missed(visit("N1"), by=clerk, on=date(2027, 2, 17), at=datetime(2027, 2, 17, 17, tzinfo=UTC))
    friday = make_session(site, date(2027, 2, 19))

    again = visit("N1", attempt=2)
    assert (again.latest_on, again.deadline_on) == (date(2027, 2, 18), date(2027, 2, 20))
    with pytest.raises(OutsideWindow):
        book_visit(again, friday, by=clerk, at=datetime(2027, 2, 17, 17, tzinfo=UTC))


def test_a_visit_is_not_booked_twice(booked, visit, clerk, first_session):
    with pytest.raises(NotBookable, match="has a place already"):
        book_visit(visit("N1"), first_session, by=clerk, at=DAY_ZERO)
    assert taken(first_session)["consultation"] == 1


def test_the_database_itself_refuses_a_second_live_booking(booked):
    twin = Booking.objects.get(pk=booked.pk)
    twin.pk, twin.uuid, twin.calendar_uid = None, uuid4(), uuid4()
    twin._state.adding = True

    with pytest.raises(IntegrityError, match=r"one_live_booking|UNIQUE"), transaction.atomic():
        twin.save()


def test_the_database_itself_refuses_more_people_than_room(first_session):
    with pytest.raises(IntegrityError, match="session_never_over_booked"), transaction.atomic():
        SessionRoom.objects.filter(session=first_session).update(taken=11)


def test_a_starred_visit_is_not_booked_before_it_is_real(ann, visit, clerk, site):
    with pytest.raises(NotBookable, match="does not hold it"):
        book_visit(visit("N5"), make_session(site, date(2027, 10, 11)), by=clerk, at=DAY_ZERO)


def test_a_session_called_off_or_begun_takes_nobody(ann, visit, clerk, site):
    session = make_session(site, date(2027, 2, 15))
    with pytest.raises(SessionShut, match="begun"):
        book_visit(visit("N1"), session, by=clerk, at=datetime(2027, 2, 15, 9, 30, tzinfo=UTC))
    session.status = SessionStatus.CALLED_OFF
    session.save()
    with pytest.raises(SessionShut, match="called off"):
        book_visit(visit("N1"), session, by=clerk, at=DAY_ZERO)


def test_another_site_s_session_is_refused(ann, visit, clerk):
    elsewhere = make_session(cast.make_site("Moor Clinic"), date(2027, 2, 15))

    with pytest.raises(OtherSite):
        book_visit(visit("N1"), elsewhere, by=clerk, at=DAY_ZERO)


def test_another_site_s_staff_may_not_book(ann, visit, first_session):
    stranger = cast.make_staff(cast.make_site("Moor Clinic"), Role.CLERK, "Max Moor")

    with pytest.raises(OtherSite):
        book_visit(visit("N1"), first_session, by=stranger, at=DAY_ZERO)


def test_an_editor_who_saw_an_older_version_is_told_what_changed(booked, ann, visit, clerk, site):
    with pytest.raises(ChangedSince) as refused:
        book_visit(visit("N2"), make_session(site, date(2027, 3, 15)), by=clerk, seen_version=1, at=DAY_ZERO)

    assert [entry.kind for entry in refused.value.entries] == ["weighed", "booked"]


def test_a_moved_place_keeps_its_calendar_entry_at_a_higher_sequence(booked, clerk, site, first_session, visit):
    OutboxMessage.objects.filter(kind="confirmation").update(state=MessageState.SENT, sent_at=DAY_ZERO)
    other = make_session(site, date(2027, 2, 17))

    moved = move_booking(booked, other, by=clerk, at=DAY_ZERO).booking

    assert (moved.pk, moved.calendar_uid, moved.sequence) == (booked.pk, booked.calendar_uid, 1)
    assert (taken(first_session)["consultation"], taken(other)["consultation"]) == (0, 1)
    assert visit("N1").placed_on == date(2027, 2, 17)
    assert kinds_and_states() == [
        ("change", "due"),
        ("confirmation", "sent"),
        ("first reminder", "due"),
        ("first reminder", "superseded"),
        ("second reminder", "due"),
        ("second reminder", "superseded"),
    ]


def test_only_the_new_time_is_sent_to_somebody_who_never_heard_of_the_old(booked, clerk, site):
    move_booking(booked, make_session(site, date(2027, 2, 17)), by=clerk, at=DAY_ZERO)

    assert ("confirmation", "due") in kinds_and_states()
    assert ("confirmation", "superseded") in kinds_and_states()
    assert OutboxMessage.objects.get(kind="confirmation", state="due").revision == 1


def test_a_move_into_a_full_session_changes_nothing(booked, clerk, site, first_session):
    full = make_session(site, date(2027, 2, 17), consultation=0, physiotherapy=0)

    with pytest.raises(SessionFull):
        move_booking(booked, full, by=clerk, at=DAY_ZERO)

    assert Booking.objects.get().session == first_session
    assert taken(first_session)["consultation"] == 1


def test_a_cancelled_place_is_given_back_and_the_visit_needs_one_again(booked, clerk, first_session, visit):
    OutboxMessage.objects.filter(kind="confirmation").update(state=MessageState.SENT, sent_at=DAY_ZERO)

    outcome = cancel_booking(booked, by=clerk, why="in hospital", at=DAY_ZERO)

    assert taken(first_session)["consultation"] == 0
    assert (outcome.booking.status, outcome.booking.sequence) == (BookingStatus.CANCELLED, 1)
    assert visit("N1").state == "planned"
    assert not visit("N1").bookings.filter(status=BookingStatus.BOOKED).exists()
    assert ("cancellation", "due") in kinds_and_states()
    assert ("first reminder", "superseded") in kinds_and_states()
    assert HistoryEntry.objects.get(kind="withdrawn").note == "in hospital"


def test_nobody_is_told_that_a_place_is_cancelled_which_they_never_heard_of(booked, clerk):
    cancel_booking(booked, by=clerk, why="typed by mistake", at=DAY_ZERO)

    assert not OutboxMessage.objects.filter(kind="cancellation").exists()
    assert set(OutboxMessage.objects.values_list("state", flat=True)) == {"superseded"}


def test_a_place_is_cancelled_only_once(booked, clerk):
    cancel_booking(booked, by=clerk, why="in hospital", at=DAY_ZERO)

    with pytest.raises(NotInForce, match="cancelled"):
        cancel_booking(booked, by=clerk, why="in hospital", at=DAY_ZERO)


def test_a_visit_booked_again_after_a_cancellation_is_a_new_calendar_entry(booked, clerk, first_session, visit):
    cancel_booking(booked, by=clerk, why="in hospital", at=DAY_ZERO)

    again = book_visit(visit("N1"), first_session, by=clerk, at=DAY_ZERO).booking

    assert again.calendar_uid != booked.calendar_uid
    assert again.sequence == 0


EASTER = datetime(2027, 3, 25, 16, 0, tzinfo=UTC)


@pytest.fixture
def merged(clerk):
    """Worked case 2: a cast put on before Easter; the first two visits fall on Wednesday 31 March."""
    form = typed(
        side="left",
        side_again="left",
        fracture_class="A1",
        fibula="intact",
        injured_at=datetime(2027, 3, 25, 14, 0, tzinfo=UTC),
        presented_at=datetime(2027, 3, 25, 15, 0, tzinfo=UTC),
        treatment="long_leg_cast",
        treated_at=datetime(2027, 3, 25, 15, 30, tzinfo=UTC),
        weighed_on=date(2027, 3, 25),
    )
    episode = register_patient(form, by=clerk, at=EASTER).episode
    return {row.code: row for row in episode.injury.planned_visits.all()}


@pytest.fixture
def easter_session(site):
    return make_session(site, date(2027, 3, 31))


@pytest.fixture
def attendance(merged, clerk, surgeon, easter_session):
    return book_visit(merged["C2"], easter_session, by=clerk, accepted_by=surgeon, at=EASTER).booking


def test_visits_of_one_day_are_one_attendance_with_one_message(attendance, easter_session):
    assert attendance.visit.code == "C1"
    assert Booking.objects.get(shares_with=attendance).visit.code == "C2"
    assert taken(easter_session)["consultation"] == 1
    assert OutboxMessage.objects.filter(kind="confirmation").count() == 1
    assert OutboxMessage.objects.filter(kind="second reminder").count() == 1


def test_a_day_outside_the_window_of_one_visit_of_the_attendance_is_named(merged, clerk, easter_session):
    with pytest.raises(OutsideWindow) as refused:
        book_visit(merged["C2"], easter_session, by=clerk, at=EASTER)

    assert [each.code for each in refused.value.visits] == ["C1"]


def test_cancelling_one_attendance_cancels_every_visit_of_it(attendance, clerk, easter_session):
    OutboxMessage.objects.filter(kind="confirmation").update(state=MessageState.SENT, sent_at=EASTER)

    cancel_booking(attendance.shared_by.get(), by=clerk, why="in hospital", at=EASTER)

    assert set(Booking.objects.values_list("status", flat=True)) == {"cancelled"}
    assert taken(easter_session)["consultation"] == 0
    assert OutboxMessage.objects.filter(kind="cancellation").count() == 1


def test_moving_one_attendance_moves_every_visit_of_it(attendance, clerk, surgeon, site, easter_session):
    friday = make_session(site, date(2027, 4, 2))

    move_booking(attendance, friday, by=clerk, accepted_by=surgeon, at=EASTER)

    assert set(Booking.objects.values_list("session", flat=True)) == {friday.pk}
    assert (taken(easter_session)["consultation"], taken(friday)["consultation"]) == (0, 1)


def test_an_attendance_lives_on_under_its_other_visit(attendance, easter_session):
    rider, calendar_uid = attendance.shared_by.get(), attendance.calendar_uid

    messages = end_booking(attendance, at=EASTER)

    rider.refresh_from_db()
    assert messages == []
    assert rider.shares_with is None
    assert rider.calendar_uid == calendar_uid
    assert taken(easter_session)["consultation"] == 1
    assert OutboxMessage.objects.get(kind="confirmation").booking == rider


def test_the_end_of_a_place_that_lived_on_is_told_to_whoever_knew_of_it(attendance, clerk):
    OutboxMessage.objects.filter(kind="confirmation").update(state=MessageState.SENT, sent_at=EASTER)
    rider, calendar_uid = attendance.shared_by.get(), attendance.calendar_uid
    end_booking(attendance, at=EASTER)

    cancel_booking(rider, by=clerk, why="in hospital", at=EASTER)

    told = OutboxMessage.objects.get(kind="cancellation")
    assert told.booking.calendar_uid == calendar_uid


def test_the_end_of_one_visit_gives_back_the_room_that_only_it_needed(attendance, easter_session):
    rider, before = attendance.shared_by.get(), taken(easter_session)
    only_its_own = set(rider.visit.stations) - set(attendance.visit.stations)

    end_booking(rider, at=EASTER)

    attendance.refresh_from_db()
    assert only_its_own
    assert set(attendance.stations) == set(attendance.visit.stations)
    assert taken(easter_session) == {station: n - (station in only_its_own) for station, n in before.items()}


def test_a_cancellation_is_told_when_an_overtaken_confirmation_may_have_arrived(booked, clerk, site):
    OutboxMessage.objects.filter(kind="confirmation").update(state=MessageState.UNCERTAIN)
    move_booking(booked, make_session(site, date(2027, 2, 17)), by=clerk, at=DAY_ZERO)

    cancel_booking(booked, by=clerk, why="in hospital", at=DAY_ZERO)

    assert ("cancellation", "due") in kinds_and_states()


def test_a_session_that_has_begun_is_not_offered(site):
    make_session(site, date(2027, 2, 15))
    noon = make_session(site, date(2027, 2, 15), starts=time(12))
    ten_in_the_morning = datetime(2027, 2, 15, 10, 0, tzinfo=UTC)

    offered = sessions_with_room(
        site, ["consultation"], first=date(2027, 2, 15), last=date(2027, 2, 15), now=ten_in_the_morning
    )

    assert list(offered) == [noon]
