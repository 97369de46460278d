"""What an answer does: RFC 5546 sections 2.1.5 and 3.2.3; whom to believe: RFC 6047 section 3."""

from datetime import UTC, datetime
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clinic.invitations.replies import Part, Verdict, Why, accept_reply
from tests.clinic.invitations.cast import ANN, UID, visit

SENT = visit(sequence=2)


def answer(method="REPLY", **changes) -> bytes:
    """Write an answer as a mail program would; a value of None leaves its line out."""
    lines = {
        "UID": UID,
        "SEQUENCE": "2",
        "DTSTAMP": "20260303T100000Z",
        "DTSTART": "20260414T092000Z",
        "ORGANIZER": "mailto:bookings@example.org",
        "ATTENDEE;PARTSTAT=ACCEPTED": f"mailto:{ANN.address}",
    } | changes
    body = "".join(f"{name}:{value}\r\n" for name, value in lines.items() if value is not None)
    head = f"BEGIN:VCALENDAR\r\nPRODID:-//Other//EN\r\nVERSION:2.0\r\nMETHOD:{method}\r\nBEGIN:VEVENT\r\n"
    return f"{head}{body}END:VEVENT\r\nEND:VCALENDAR\r\n".encode()


def answering(part: str, **changes) -> bytes:
    return answer(
        **{"ATTENDEE;PARTSTAT=ACCEPTED": None, f"ATTENDEE;PARTSTAT={part}": f"mailto:{ANN.address}"} | changes
    )


def judge(data: bytes, last=None, sender=ANN.address):
    return accept_reply(data, invitation=SENT, sender=sender, last=last)


def test_an_acceptance_is_taken_and_needs_nobody():
    outcome = judge(answer())

    assert outcome.verdict is Verdict.TAKEN
    assert outcome.answer.part is Part.ACCEPTED
    assert outcome.answer.dtstamp == datetime(2026, 3, 3, 10, 0, tzinfo=UTC)
    assert not outcome.answer.needs_a_person


@pytest.mark.parametrize("part", ["DECLINED", "TENTATIVE"])
def test_a_refusal_and_a_maybe_are_taken_and_need_a_person(part):
    outcome = judge(answering(part))

    assert outcome.verdict is Verdict.TAKEN
    assert outcome.answer.needs_a_person


def test_a_remark_needs_a_person():  # it may be a symptom
    outcome = judge(answer(COMMENT="It hurts more since Friday"))

    assert outcome.answer.comment == "It hurts more since Friday"
    assert outcome.answer.needs_a_person


def test_an_answer_to_an_older_revision_changes_nothing():  # RFC 5546 section 2.1.5
    outcome = judge(answer(SEQUENCE="1"))

    assert (outcome.verdict, outcome.why, outcome.answer) == (Verdict.STALE, Why.OLD_REVISION, None)


@pytest.mark.parametrize("order", list(permutations(["090000", "100000", "110000"])))
def test_of_answers_to_one_revision_the_latest_wins_in_any_order_of_arrival(order):  # RFC 5546 section 2.1.5
    parts = {"090000": "ACCEPTED", "100000": "TENTATIVE", "110000": "DECLINED"}
    last = None
    for time in order:
        outcome = judge(answering(parts[time], DTSTAMP=f"20260303T{time}Z"), last)
        last = outcome.answer or last

    assert last.part is Part.DECLINED


def test_the_same_answer_twice_is_taken_once():
    first = judge(answer())

    assert judge(answer(), first.answer).why is Why.OLD_ANSWER


def test_a_mail_address_is_compared_without_regard_to_case():
    outcome = judge(
        answer(**{"ATTENDEE;PARTSTAT=ACCEPTED": "MAILTO:Ann.Tolliver@EXAMPLE.org"}), sender="Ann.Tolliver@Example.Org"
    )

    assert outcome.verdict is Verdict.TAKEN


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (answer(method="REQUEST"), Why.NOT_AN_ANSWER),
        (answer(method="COUNTER"), Why.COUNTER_PROPOSAL),
        (answer(UID="another"), Why.OTHER_APPOINTMENT),
        (answer(**{"RECURRENCE-ID": "20260414T092000Z"}), Why.OTHER_APPOINTMENT),
        (answer(**{"ATTENDEE;PARTSTAT=ACCEPTED": "mailto:bob@example.org"}), Why.OTHER_PERSON),
        (answer(**{"ATTENDEE;PARTSTAT=ACCEPTED": None}), Why.OTHER_PERSON),
        (answer(**{"ATTENDEE;PARTSTAT=DECLINED": f"mailto:{ANN.address}"}), Why.OTHER_PERSON),  # two attendees
        (answer(SEQUENCE="3"), Why.UNKNOWN_REVISION),
        (answering("DELEGATED"), Why.UNKNOWN_ANSWER),
        (answering("NEEDS-ACTION"), Why.UNKNOWN_ANSWER),
        (answer(DTSTAMP="20260303T100000"), Why.UNREADABLE),  # no zone
        (answer(DTSTAMP="yesterday"), Why.UNREADABLE),
        (answer(DTSTAMP=None), Why.UNREADABLE),
        (answer(SEQUENCE="two"), Why.UNREADABLE),
        (answer(UID=None), Why.OTHER_APPOINTMENT),
        (answer().replace(b"END:VEVENT", b"END:VEVENT\r\nBEGIN:VEVENT\r\nUID:x\r\nEND:VEVENT"), Why.UNREADABLE),
        (answer()[:120], Why.UNREADABLE),
        (b"", Why.UNREADABLE),
        (b"\xff\xfe\x00", Why.UNREADABLE),
        (b"Thank you, I will come", Why.UNREADABLE),
        (answer(COMMENT="x" * 200_000), Why.UNREADABLE),
        (b"BEGIN:VEVENT\r\n" * 3_000, Why.UNREADABLE),
    ],
)
def test_what_is_not_a_plain_answer_goes_to_a_person(data, why):  # RFC 6047 section 3
    outcome = judge(data)

    assert (outcome.verdict, outcome.why, outcome.answer) == (Verdict.REVIEW, why, None)


def test_an_answer_sent_by_somebody_else_goes_to_a_person():  # RFC 6047 section 3
    assert judge(answer(), sender="mallory@example.org").why is Why.OTHER_SENDER


def test_nobody_can_answer_a_published_appointment():
    published = visit(method="PUBLISH", attendee=None)

    assert accept_reply(answer(), invitation=published, sender=ANN.address).verdict is Verdict.REVIEW


def test_a_counter_proposal_shows_the_time_proposed():  # RFC 5546 section 3.2.7
    outcome = judge(answer(method="COUNTER", DTSTART="20260415T130000Z"))

    assert outcome.proposed_start == datetime(2026, 4, 15, 13, 0, tzinfo=UTC)


@given(junk=st.binary(max_size=400), at=st.integers(0, 300), length=st.integers(0, 40))
def test_no_bytes_at_all_raise_or_count_as_an_older_answer(junk, at, length):
    whole = answer()
    outcome = judge(whole[:at] + junk + whole[at + length :])

    assert outcome.verdict in Verdict
    assert (outcome.verdict is Verdict.TAKEN) == (outcome.answer is not None)
