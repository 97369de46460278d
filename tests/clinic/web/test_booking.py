import pytest
from django.urls import reverse

from clinic.diary.models import Booking, SessionRoom
from clinic.reminders.models import OutboxMessage

pytestmark = pytest.mark.django_db


@pytest.fixture
def address(ann, visit):
    return reverse("book-visit", args=[ann.uuid, visit("N1").uuid])


def test_sessions_inside_the_window_come_first_and_nearest_to_the_target(signed_in, clerk, address, sessions):
    answer = signed_in(clerk).get(address)

    assert [(f"{row.session.on:%d %b}", row.cost) for row in answer.context["inside"]] == [
        ("15 Feb", "1 day early"),
        ("17 Feb", "1 day late"),
        ("12 Feb", "4 days early"),
    ]


def test_nothing_is_chosen_beforehand(signed_in, clerk, address, sessions):
    assert "checked" not in signed_in(clerk).get(address).content.decode()


def test_a_place_is_booked_and_the_confirmation_is_owed(signed_in, clerk, address, sessions):
    place = next(session for session in sessions if str(session.on) == "2027-02-15")

    answer = signed_in(clerk).post(address, {"session": str(place.uuid)}, follow=True)

    assert "Booked for Monday 15 February 2027 at 09:30. The confirmation is on its way." in answer.content.decode()
    assert Booking.objects.get().session == place
    assert OutboxMessage.objects.filter(kind="confirmation").count() == 1
    assert set(SessionRoom.objects.filter(session=place, taken=1).values_list("station", flat=True)) == {
        "consultation",
        "physiotherapy",
    }


def test_a_place_outside_the_window_needs_a_name(signed_in, clerk, surgeon, address, sessions):
    place = next(session for session in sessions if str(session.on) == "2027-02-19")
    browser = signed_in(clerk)

    refused = browser.post(address, {"session": str(place.uuid)})
    assert refused.context["form"].errors == {
        "accepted_by": ["This place is outside the window. Name the clinician who accepts it."]
    }
    assert not Booking.objects.exists()

    browser.post(address, {"session": str(place.uuid), "accepted_by": str(surgeon.uuid)})
    assert Booking.objects.get().accepted_by == surgeon


def test_a_place_taken_a_moment_ago_is_told_by_its_field(signed_in, clerk, address, sessions):
    place = next(session for session in sessions if str(session.on) == "2027-02-15")
    browser = signed_in(clerk)
    browser.get(address)
    SessionRoom.objects.filter(session=place).update(room_for=0)

    answer = browser.post(address, {"session": str(place.uuid)})

    assert answer.context["form"].errors == {
        "session": ["That session has no room left, or was called off. Choose another."]
    }
    assert not Booking.objects.exists()


def test_no_choice_at_all_is_told_by_its_field(signed_in, clerk, address, sessions):
    answer = signed_in(clerk).post(address, {})

    assert answer.context["form"].errors == {"session": ["Choose a session."]}


def test_without_any_session_the_page_says_what_to_do(signed_in, clerk, address):
    assert "No session near this window has room." in signed_in(clerk).get(address).content.decode()
