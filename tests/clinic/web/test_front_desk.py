import pytest
from django.urls import reverse

from clinic.followup.services import book_visit, register_patient
from clinic.reminders.models import MessageState, OutboxMessage
from rehab.models import PlannedVisit
from tests.support import cast

pytestmark = pytest.mark.django_db

BUDGET = 15  # session read and kept (4), user, staff; visits, episodes, count; today; room; messages; open episodes


def people(clerk, count):
    """So many nailed people, registered on one day."""
    return [
        register_patient(
            cast.typed(hospital_number=f"HQ {n:04}", given_name=f"P{n}"), by=clerk, at=cast.DAY_ZERO
        ).episode
        for n in range(count)
    ]


def test_an_empty_front_desk_says_the_good_news(signed_in, clerk):
    page = signed_in(clerk).get(reverse("front-desk")).content.decode()

    assert "Nobody needs a place." in page
    assert "Nobody is expected today." in page
    assert "Thursday 4 February 2027" in page


def test_the_next_visit_without_a_place_is_listed_once_a_person(signed_in, clerk, ann):
    answer = signed_in(clerk).get(reverse("front-desk"))

    assert [due.row.visit.code for due in answer.context["rows"]] == ["N1"]
    assert answer.context["n_now"] == 0


def test_what_is_overdue_stands_first(signed_in, clerk, ann):
    late, soon = people(clerk, 2)
    PlannedVisit.objects.filter(injury=late.injury, code="N1").update(latest_on="2027-02-03", earliest_on="2027-02-01")
    PlannedVisit.objects.filter(injury=soon.injury, code="N1").update(latest_on="2027-02-04", earliest_on="2027-02-01")

    answer = signed_in(clerk).get(reverse("front-desk"))

    assert [(str(due.mark), due.row.episode) for due in answer.context["rows"][:2]] == [
        ("overdue", late),
        ("due today", soon),
    ]
    assert answer.context["n_now"] == 2


def test_who_is_refused_a_plan_stands_above_everything_and_is_never_lost(signed_in, clerk, ann):
    refused = register_patient(cast.typed(hospital_number="HH 0043", bone_segment="43"), by=clerk, at=cast.DAY_ZERO)

    answer = signed_in(clerk).get(reverse("front-desk"))

    assert list(answer.context["without_visit"]) == [refused.episode]
    assert "1 open episode has no visit to come: a clinician must arrange the follow-up." in answer.content.decode()


def test_a_booked_visit_is_no_longer_to_book(signed_in, clerk, booked):
    answer = signed_in(clerk).get(reverse("front-desk"))

    assert "N1" not in [due.row.visit.code for due in answer.context["rows"]]


def test_a_message_that_did_not_arrive_says_whom_to_ring(signed_in, clerk, booked):
    OutboxMessage.objects.filter(booking=booked, kind="confirmation").update(
        state=MessageState.DEAD, last_error="The mailbox does not exist."
    )

    page = signed_in(clerk).get(reverse("front-desk")).content.decode()

    assert "The mailbox does not exist." in page
    assert "Ring 07700\N{NO-BREAK SPACE}900123, or print the letter." in page
    assert "1 e-mail<" in page


def test_what_did_not_arrive_is_one_row_a_person_and_number(signed_in, clerk, booked):
    dead = {"state": MessageState.DEAD, "last_error": "number not in use", "to": "+447700900123"}
    OutboxMessage.objects.filter(booking=booked, channel="sms").update(**dead)
    n = OutboxMessage.objects.filter(booking=booked, channel="sms").count()
    assert n > 1

    answer = signed_in(clerk).get(reverse("front-desk"))

    (row,) = answer.context["not_arrived"]
    assert (row.what, row.visits) == (f"{n} text messages", [cast.date(2027, 2, 15)])
    assert answer.context["n_dead"] == n


def test_the_list_of_today_notes_who_came(signed_in, clerk, ann, visit, site):
    place = cast.make_session(site, cast.date(2027, 2, 4), starts=cast.time(15, 0))
    PlannedVisit.objects.filter(injury=ann.injury, code="N1").update(earliest_on="2027-02-01")
    booking = book_visit(visit("N1"), place, by=clerk, at=cast.DAY_ZERO).booking
    browser = signed_in(clerk)
    assert b"Ann Tolliver" in browser.get(reverse("front-desk")).content

    answer = browser.post(reverse("mark-came", args=[booking.uuid]), {"came": "yes"}, follow=True)

    assert "Ann Tolliver came." in answer.content.decode()
    assert visit("N1").state == "attended"


@pytest.mark.parametrize("typed", [{}, {"came": "maybe"}])
def test_nobody_is_noted_as_missing_unless_somebody_said_so(signed_in, clerk, booked, visit, typed):
    answer = signed_in(clerk).post(reverse("mark-came", args=[booked.uuid]), typed, follow=True)

    assert "Say whether the person came or did not come. Nothing was noted." in answer.content.decode()
    assert visit("N1").state == "planned"


@pytest.mark.parametrize("count", [1, 50])
def test_the_front_desk_asks_the_database_no_more_with_50_rows_than_with_1(
    signed_in, clerk, count, django_assert_max_num_queries
):
    people(clerk, count)
    browser = signed_in(clerk)

    with django_assert_max_num_queries(BUDGET):
        answer = browser.get(reverse("front-desk"))

    assert len(answer.context["rows"]) == count
