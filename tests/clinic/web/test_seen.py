"""Two people at one episode: nothing is written over unseen, and nothing that was typed is lost."""

import pytest
from django.urls import reverse

from clinic.followup.services import record_weight
from rehab.models import HistoryEntry
from tests.clinic.web.forms_typed import FILM
from tests.support import cast

pytestmark = pytest.mark.django_db

TOLD = "Somebody else recorded something here a moment ago. Look at it, then decide again."
FORMS = {
    "record-film": ("film", FILM),
    "order-stage": ("stage ordered", {"stage": "WBAT", "why": "walks already"}),
    "record-findings": ("gate findings", {"visit": "N0", "rest_pain": "2"}),
}


@pytest.fixture(params=FORMS)
def form(request, ann, signed_in, surgeon):
    """One acting form of Ann's episode, opened by the surgeon."""
    kind, typed = FORMS[request.param]
    address, browser = reverse(request.param, args=[ann.uuid]), signed_in(surgeon)
    version = browser.get(address).context["seen_version"]
    return kind, address, browser, {**typed, "seen_version": version}


def test_a_form_whose_episode_did_not_change_is_saved(form, ann):
    kind, address, browser, typed = form

    browser.post(address, typed)

    assert HistoryEntry.objects.filter(injury=ann.injury, kind=kind).count() == 1


def test_the_second_editor_is_shown_what_the_first_one_recorded_and_keeps_what_was_typed(form, ann, physiotherapist):
    kind, address, browser, typed = form
    record_weight(ann, 701, on=cast.date(2027, 2, 3), by=physiotherapist)

    answer = browser.post(address, typed)

    assert TOLD in answer.content.decode()
    assert [(words, who) for _, words, who in answer.context["meanwhile"]] == [("Weighed", "Pavel Marsh")]
    assert not HistoryEntry.objects.filter(injury=ann.injury, kind=kind).exists()
    kept = {name: value for name, value in typed.items() if name != "seen_version"}
    assert {name: answer.context["form"].data[name] for name in kept} == kept

    browser.post(address, {**typed, "seen_version": answer.context["seen_version"]})
    assert HistoryEntry.objects.filter(injury=ann.injury, kind=kind).count() == 1


def test_a_fault_does_not_count_as_having_looked(form, ann, physiotherapist):
    _, address, browser, typed = form
    record_weight(ann, 701, on=cast.date(2027, 2, 3), by=physiotherapist)

    wrong = browser.post(address, {"seen_version": typed["seen_version"]})

    assert wrong.context["seen_version"] == typed["seen_version"]


def test_a_place_is_not_booked_on_a_plan_that_has_changed(ann, visit, signed_in, clerk, physiotherapist, sessions):
    address, browser = reverse("book-visit", args=[ann.uuid, visit("N1").uuid]), signed_in(clerk)
    version = browser.get(address).context["seen_version"]
    record_weight(ann, 701, on=cast.date(2027, 2, 3), by=physiotherapist)
    place = next(session for session in sessions if str(session.on) == "2027-02-15")

    answer = browser.post(address, {"session": str(place.uuid), "seen_version": version})

    assert TOLD in answer.content.decode()
    assert f'value="{place.uuid}" id="id_session_0" checked' in answer.content.decode()
    assert not ann.bookings.exists()


def test_a_double_press_saves_once(form, ann):
    kind, address, browser, typed = form

    browser.post(address, typed)
    again = browser.post(address, typed)

    assert TOLD in again.content.decode()
    assert HistoryEntry.objects.filter(injury=ann.injury, kind=kind).count() == 1
