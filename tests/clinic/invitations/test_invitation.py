import dataclasses
from datetime import UTC, date, datetime

import pytest

from clinic.invitations.invitation import InvitationFaults, Mailbox, Method, Status
from tests.clinic.invitations.cast import visit, whole_day


def faults_of(**changes) -> str:
    with pytest.raises(InvitationFaults) as refused:
        visit(**changes)
    return "\n".join(refused.value.faults)


def test_the_title_is_neutral_unless_another_is_given():
    assert visit().summary == "Clinic appointment"


def test_an_invitation_cannot_be_changed():
    with pytest.raises(dataclasses.FrozenInstanceError):
        visit().sequence = 3


def test_it_ends_after_its_minutes():
    assert visit().instants == (datetime(2026, 4, 14, 9, 20, tzinfo=UTC), datetime(2026, 4, 14, 9, 40, tzinfo=UTC))
    assert whole_day().instants is None


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"uid": " "}, "needs a UID"),
        ({"dtstamp": datetime(2026, 3, 2)}, "dtstamp"),  # noqa: DTZ001 - the fault itself
        ({"starts_at": datetime(2026, 4, 14, 10, 20)}, "start needs a time zone"),  # noqa: DTZ001 - the fault itself
        ({"sequence": -1}, "-1 is below 0"),
        ({"zone": "Europe/Lundon"}, "“Europe/Lundon” is not a time zone"),
        ({"zone": "../etc/passwd"}, "is not a time zone"),
        ({"minutes": 0}, "at least 1 minute; 0 was given"),
        ({"minutes": None}, "at least 1 minute; None was given"),
        ({"starts_at": date(2026, 4, 14)}, "whole day has no minutes"),
        ({"organiser": Mailbox("Bookings", "bookings")}, "organiser's address “bookings”"),
        ({"attendee": Mailbox("Ann", "ann@example.org\r\nX: 1")}, "attendee's address"),
        ({"attendee": None}, "A request needs somebody"),
        ({"method": Method.PUBLISH}, "names no attendee"),
        ({"method": Method.CANCEL}, "go together"),
        ({"status": Status.CANCELLED}, "go together"),
        ({"summary": "Nail check"}, "The title says “nail”"),
        ({"place": ("Fracture Clinic", "Level 2")}, "The place says “fracture”"),
        ({"organiser": Mailbox("Trauma", "fracture.clinic@example.org")}, "The organiser says “trauma”, “fracture”"),
        ({"uid": "weight-80"}, "The UID says “weight”"),
    ],
)
def test_what_must_not_be_sent_is_refused_with_its_reason(changes, fault):
    assert fault in faults_of(**changes)


def test_all_faults_are_named_at_once():
    said = faults_of(minutes=0, zone="Mars/Olympus", summary="X-ray of the left leg")

    assert "1 minute" in said
    assert "Mars/Olympus" in said
    assert "“x-ray”, “leg”" in said


def test_a_patient_may_be_called_nail():
    assert visit(attendee=Mailbox("Anna Nail", "anna.nail@example.org")).attendee.name == "Anna Nail"
