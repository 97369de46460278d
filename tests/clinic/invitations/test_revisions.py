"""What changes from one revision to the next: RFC 5546 section 2.1.4, and RFC 5545 sections 3.8.4.7 and 3.8.7.4."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clinic.invitations.faults import faults_in
from clinic.invitations.invitation import Method, Status
from clinic.invitations.revisions import cancel, new_uid, revise
from clinic.invitations.writing import invitation_bytes
from tests.clinic.invitations.cast import UID, visit, whole_day
from tests.clinic.invitations.reading import by_icalendar

NEXT_DAY = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)


@given(minutes=st.integers(-100_000, 100_000).filter(bool))
def test_a_move_by_any_minutes_keeps_the_uid_and_raises_the_sequence(minutes):  # RFC 5546 section 2.1.4
    moved = revise(visit(), now=NEXT_DAY, starts_at=visit().starts_at + timedelta(minutes=minutes))

    assert (moved.uid, moved.sequence, moved.method) == (UID, 1, Method.REQUEST)
    assert moved.dtstamp == NEXT_DAY


@pytest.mark.parametrize("changes", [{"minutes": 40}, {"status": Status.TENTATIVE}])
def test_another_length_or_firmness_raises_the_sequence(changes):  # RFC 5546 section 2.1.4
    assert revise(visit(), now=NEXT_DAY, **changes).sequence == 1


@pytest.mark.parametrize("changes", [{"place": ("Main building", "Desk 9")}, {"phone": "07700 900499"}])
def test_another_room_or_wording_keeps_the_sequence_and_is_newer(changes):  # RFC 5546 section 2.1.4
    changed = revise(visit(), now=NEXT_DAY, **changes)

    assert (changed.uid, changed.sequence, changed.dtstamp) == (UID, 0, NEXT_DAY)


def test_a_site_far_away_raises_the_sequence():  # RFC 5546 section 2.1.4: the answer given is in doubt
    assert revise(visit(), now=NEXT_DAY, is_far_away=True, place=("East site",)).sequence == 1


def test_nothing_changed_is_the_same_revision():
    first = visit()

    assert revise(first, now=NEXT_DAY, minutes=20) is first


def test_the_same_moment_in_another_zone_is_no_move():
    in_utc = visit().starts_at.astimezone(UTC)

    assert revise(visit(), now=NEXT_DAY, starts_at=in_utc) == visit()


def test_two_revisions_in_one_second_differ_by_a_second():  # RFC 5545 section 3.8.7.2: whole seconds
    one = revise(visit(), now=NEXT_DAY, minutes=30)
    two = revise(one, now=NEXT_DAY, minutes=40)

    assert (one.sequence, two.sequence) == (1, 2)
    assert two.dtstamp - one.dtstamp == timedelta(seconds=1)


def test_a_cancellation_raises_the_sequence_and_keeps_the_uid():  # RFC 5546 section 3.2.5
    event_bytes = invitation_bytes(cancel(visit(sequence=4), now=NEXT_DAY))
    event = by_icalendar(event_bytes)

    assert b"\r\nMETHOD:CANCEL\r\n" in event_bytes
    assert (event["UID"], event["SEQUENCE"], event["STATUS"]) == (UID, 5, "CANCELLED")
    assert faults_in(event_bytes) == []


def test_cancelling_twice_changes_nothing():
    gone = cancel(visit(), now=NEXT_DAY)

    assert cancel(gone, now=NEXT_DAY + timedelta(days=1)) is gone


def test_a_published_appointment_can_be_cancelled_without_an_attendee():  # RFC 5546 section 3.2.5
    gone = cancel(visit(method=Method.PUBLISH, attendee=None), now=NEXT_DAY)

    assert faults_in(invitation_bytes(gone)) == []


def test_booking_again_after_a_cancellation_takes_a_new_uid():  # RFC 5545 section 3.8.4.7
    gone = cancel(visit(), now=NEXT_DAY)
    again = revise(gone, now=NEXT_DAY, starts_at=visit().starts_at + timedelta(days=7))

    assert again.uid != UID
    assert (again.sequence, again.method, again.status) == (0, Method.REQUEST, Status.CONFIRMED)
    assert again.dtstamp > gone.dtstamp


def test_a_cancellation_goes_by_cancel_only():
    with pytest.raises(ValueError, match=r"use cancel\(\)"):
        revise(visit(), now=NEXT_DAY, status=Status.CANCELLED)


@pytest.mark.parametrize("field", ["uid", "sequence", "dtstamp", "method"])
def test_what_the_rules_decide_cannot_be_set_by_hand(field):
    with pytest.raises(TypeError, match=field):
        revise(visit(), now=NEXT_DAY, **{field: "x"})


def test_a_day_that_gets_its_hour_is_a_move():
    timed = revise(whole_day(), now=NEXT_DAY, starts_at=visit().starts_at, minutes=20)

    assert timed.sequence == 1


def test_a_first_address_turns_a_published_appointment_into_a_request():
    asked = revise(visit(method=Method.PUBLISH, attendee=None), now=NEXT_DAY, attendee=visit().attendee)

    assert asked.method is Method.REQUEST


def test_a_uid_is_random_and_tells_nothing():  # RFC 7986 section 5.3
    assert UUID(new_uid()).version == 4
    assert new_uid() != new_uid()
