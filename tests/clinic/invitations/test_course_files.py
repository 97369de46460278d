from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from clinic.invitations.course_files import Frame, NoInvitation, invitation_to, visit_to_invite_to
from clinic.invitations.invitation import Method
from rehab.engine.plan import VisitState
from rehab.files import PlannedCourse, plan_course_file
from tests.clinic.invitations.cast import ANN, CLINIC, LONDON

NOW = datetime(2027, 2, 2, 16, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def planned(nailed_course) -> PlannedCourse:
    return plan_course_file(nailed_course)


def with_first_visit(planned: PlannedCourse, **changes):
    """Give the plan with its first visit changed."""
    first, *others = planned.plan.visits
    return replace(planned.plan, visits=(replace(first, **changes), *others))


def invite(planned: PlannedCourse, code="N1", attendee=None):
    frame = Frame(CLINIC, minutes=20, place=("Main building",), phone="07700 900412", attendee=attendee)
    return invitation_to(visit_to_invite_to(code, planned.plan), planned.clinic, frame, now=NOW)


def refusal(code, plan) -> str:
    with pytest.raises(NoInvitation) as refused:
        visit_to_invite_to(code, plan)
    return str(refused.value)


def test_the_first_visit_of_a_nail_is_on_its_day_at_the_clinics_hour(planned):
    invitation = invite(planned)

    assert invitation.starts_at == datetime(2027, 2, 15, 9, 30, tzinfo=LONDON)
    assert (invitation.zone, invitation.minutes, invitation.sequence) == ("Europe/London", 20, 0)


def test_without_an_address_it_is_published_and_with_one_it_is_a_request(planned):
    assert invite(planned).method is Method.PUBLISH
    assert invite(planned, attendee=ANN).method is Method.REQUEST


def test_a_visit_after_the_clock_change_keeps_the_clinics_hour(planned):
    summer = invite(planned, code="N3").starts_at

    assert f"{summer:%H:%M %Z}" == "09:30 BST"


def test_an_unknown_visit_is_answered_with_the_nearest(planned):
    said = refusal("n11", planned.plan)

    assert "There is no visit “n11” in this plan. It has N1, N2," in said
    assert said.endswith("Did you mean “N1”?")


def test_a_visit_without_a_place_says_between_which_days(planned):
    plan = with_first_visit(planned, placed_on=None)

    assert refusal("N1", plan) == (
        "Visit N1 has no place: there is no open day between Friday 12 February 2027 and Thursday 18 February 2027, "
        "or near. "
        "A person must find one before it can be put into a calendar."
    )


@pytest.mark.parametrize(
    ("state", "said"),
    [
        (VisitState.CANCELLED, "Visit N1 was cancelled"),
        (VisitState.ATTENDED, "Visit N1 was attended"),
        (VisitState.MISSED, "Visit N1 was missed"),
    ],
)
def test_a_visit_that_is_over_or_called_off_is_refused(planned, state, said):
    assert said in refusal("N1", with_first_visit(planned, state=state))


def test_a_visit_that_may_not_be_needed_is_not_invited_to(planned):
    assert "not to be booked yet" in refusal("N1", with_first_visit(planned, is_real=False))


def test_after_a_missed_visit_its_new_day_is_taken(planned):
    first, *others = planned.plan.visits
    missed = replace(first, state=VisitState.MISSED)
    again = replace(first, attempt=2, placed_on=date(2027, 2, 22))

    assert visit_to_invite_to("N1", replace(planned.plan, visits=(missed, again, *others))) is again


def test_a_course_out_of_scope_has_no_visit_to_invite_to(planned):
    assert refusal("N1", replace(planned.plan, visits=())).startswith("This course is outside what may be planned")
