"""One attendance a date (R64): whoever comes on a day already comes once, whatever is added to that day."""

from datetime import UTC, date, datetime, time

import pytest

from clinic.diary.models import Booking, BookingStatus, SessionRoom
from clinic.followup.refusals import SessionFull, SessionShut
from clinic.followup.services import book_visit, cancel_booking, move_booking
from clinic.reminders.models import MessageState, OutboxMessage
from tests.support.cast import DAY_ZERO, make_session

NOON = time(12, 0)


def taken(session):
    rooms = SessionRoom.objects.filter(session=session, taken__gt=0)
    return dict(rooms.values_list("station", "taken"))


def sent_confirmation():
    OutboxMessage.objects.filter(kind="confirmation").update(state=MessageState.SENT, sent_at=DAY_ZERO)


@pytest.fixture
def second(booked, visit, clerk, site):
    """Ann's second visit, booked on its own day, Monday 15 March 2027."""
    return book_visit(visit("N2"), make_session(site, date(2027, 3, 15)), by=clerk, at=DAY_ZERO).booking


def test_a_visit_booked_on_a_day_the_person_comes_anyway_joins_that_attendance(
    booked, visit, clerk, physiotherapist, first_session
):
    outcome = book_visit(visit("N2"), first_session, by=clerk, accepted_by=physiotherapist, at=DAY_ZERO)

    assert outcome.booking == booked
    assert (outcome.is_told, outcome.why_untold) == (False, None)  # day and hour are known already
    assert booked.shared_by.get().visit.code == "N2"
    assert taken(first_session) == {"consultation": 1, "physiotherapy": 1, "x_ray": 1}
    assert Booking.objects.get(pk=booked.pk).stations == ["consultation", "physiotherapy", "x_ray"]


def test_a_joined_attendance_has_one_invitation_and_one_pair_of_reminders(
    booked, visit, clerk, physiotherapist, first_session
):
    book_visit(visit("N2"), first_session, by=clerk, accepted_by=physiotherapist, at=DAY_ZERO)

    owed = OutboxMessage.objects.order_by("kind").values_list("booking", "kind", "due_at")
    assert list(owed) == [
        (booked.pk, "confirmation", DAY_ZERO),
        (booked.pk, "first reminder", datetime(2027, 2, 8, 10, 0, tzinfo=UTC)),
        (booked.pk, "second reminder", datetime(2027, 2, 12, 10, 0, tzinfo=UTC)),
    ]


def test_another_hour_of_that_day_joins_the_attendance_at_its_own_hour(
    booked, visit, clerk, physiotherapist, site, first_session
):
    noon = make_session(site, date(2027, 2, 15), starts=NOON)

    outcome = book_visit(visit("N2"), noon, by=clerk, accepted_by=physiotherapist, at=DAY_ZERO)

    assert outcome.booking.session == first_session
    assert taken(noon) == {}
    assert taken(first_session) == {"consultation": 1, "physiotherapy": 1, "x_ray": 1}


def test_an_attendance_whose_session_lacks_a_station_is_not_joined_and_a_later_day_is_offered(
    ann, visit, clerk, physiotherapist, site
):
    no_x_ray = make_session(site, date(2027, 2, 15), consultation=1, physiotherapy=1)
    make_session(site, date(2027, 2, 15), starts=NOON)
    make_session(site, date(2027, 2, 17))
    book_visit(visit("N1"), no_x_ray, by=clerk, at=DAY_ZERO)

    with pytest.raises(SessionFull, match=r"no room left for X-ray.*Wednesday 17 February 2027 at 09:30 is free"):
        book_visit(visit("N2"), no_x_ray, by=clerk, accepted_by=physiotherapist, at=DAY_ZERO)

    assert taken(no_x_ray) == {"consultation": 1, "physiotherapy": 1}
    assert Booking.objects.count() == 1


def test_an_attendance_that_has_begun_is_not_joined_and_its_hour_is_named(booked, visit, clerk, physiotherapist, site):
    noon = make_session(site, date(2027, 2, 15), starts=NOON)
    ten = datetime(2027, 2, 15, 10, 0, tzinfo=UTC)

    with pytest.raises(SessionShut, match=r"has a place that day already, at 09:30\. This session has begun already"):
        book_visit(visit("N2"), noon, by=clerk, accepted_by=physiotherapist, at=ten)

    assert taken(noon) == {}


def test_a_place_moved_onto_a_day_the_person_comes_anyway_joins_that_attendance(
    booked, second, visit, clerk, physiotherapist, first_session
):
    march = second.session

    outcome = move_booking(second, first_session, by=clerk, accepted_by=physiotherapist, at=DAY_ZERO)

    live = Booking.objects.filter(status=BookingStatus.BOOKED)
    assert outcome.booking == booked
    assert sorted(live.values_list("visit__code", "shares_with")) == [("N1", None), ("N2", booked.pk)]
    assert taken(march) == {}
    assert taken(first_session) == {"consultation": 1, "physiotherapy": 1, "x_ray": 1}
    assert visit("N2").placed_on == date(2027, 2, 15)


def test_whoever_knew_of_the_day_that_was_joined_to_another_hears_that_it_is_cancelled(
    booked, second, clerk, physiotherapist, first_session
):
    sent_confirmation()

    move_booking(second, first_session, by=clerk, accepted_by=physiotherapist, at=DAY_ZERO)

    told = OutboxMessage.objects.get(kind="cancellation")
    open_now = OutboxMessage.objects.filter(state=MessageState.DUE)
    assert (told.booking.calendar_uid, told.booking.session.on) == (second.calendar_uid, date(2027, 3, 15))
    assert sorted(open_now.values_list("kind", "booking")) == [
        ("cancellation", second.pk),
        ("first reminder", booked.pk),
        ("second reminder", booked.pk),
    ]


def test_a_move_within_the_day_of_the_attendance_itself_stays_a_move(booked, clerk, site, first_session):
    noon = make_session(site, date(2027, 2, 15), starts=NOON)

    moved = move_booking(booked, noon, by=clerk, at=DAY_ZERO).booking

    assert (moved.pk, moved.session, moved.sequence) == (booked.pk, noon, 1)
    assert taken(first_session) == {}


def test_a_joined_attendance_that_is_cancelled_gives_back_each_place_once(
    booked, visit, clerk, physiotherapist, first_session
):
    book_visit(visit("N2"), first_session, by=clerk, accepted_by=physiotherapist, at=DAY_ZERO)

    cancel_booking(booked, by=clerk, why="in hospital", at=DAY_ZERO)

    assert taken(first_session) == {}
    assert not Booking.objects.filter(status=BookingStatus.BOOKED).exists()
