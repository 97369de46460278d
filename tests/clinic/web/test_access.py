import pytest
from django.contrib.auth import get_user_model
from django.urls import reverse

from clinic.audit.models import AccessEntry
from clinic.people.models import Role
from rehab.models import HistoryEntry, Injury
from tests.clinic.web.forms_typed import FILM, NAILED
from tests.support import cast

pytestmark = pytest.mark.django_db


def addresses(ann, visit):
    """Every page about one person."""
    names = ("episode", "record-film", "order-stage", "record-findings", "sheet")
    return [reverse(name, args=[ann.uuid]) for name in names] + [
        reverse("book-visit", args=[ann.uuid, visit("N1").uuid])
    ]


def test_a_stranger_is_sent_to_the_sign_in_page(client, ann, visit):
    general = [reverse(name) for name in ("front-desk", "patients", "register", "pathways")]

    for address in [*general, *addresses(ann, visit)]:
        answer = client.get(address)
        assert answer.status_code == 302
        assert answer.url.startswith(reverse("sign-in"))


@pytest.mark.parametrize("method", ["put", "patch", "delete"])
def test_a_page_is_read_or_posted_and_nothing_else(signed_in, surgeon, ann, visit, method):
    browser = signed_in(surgeon)

    assert {getattr(browser, method)(address).status_code for address in addresses(ann, visit)} == {405}


def test_a_look_at_the_heads_only_prints_no_sheet(signed_in, surgeon, ann, visit):
    browser = signed_in(surgeon)
    sheet = reverse("sheet", args=[ann.uuid])

    assert browser.head(sheet).status_code == 405
    assert {browser.head(page).status_code for page in addresses(ann, visit) if page != sheet} == {200}
    assert not AccessEntry.objects.filter(action="print_sheet").exists()


def test_an_episode_of_another_site_does_not_exist(signed_in, ann, visit):
    other = cast.make_site("Fellside Clinic", organiser_email="fell@example.org")
    browser = signed_in(cast.make_staff(other, Role.SURGEON, "Odd One"))

    assert [browser.get(address).status_code for address in addresses(ann, visit)] == [404] * 6


def test_a_user_who_works_at_no_site_is_refused(client, site):
    client.force_login(get_user_model().objects.create(username="nobody"))

    assert client.get(reverse("front-desk")).status_code == 403


@pytest.mark.parametrize(
    ("page", "allowed"),
    [
        ("record-film", {"surgeon"}),
        ("order-stage", {"surgeon", "physiotherapist"}),
        ("record-findings", {"surgeon", "physiotherapist"}),
        ("episode", {"clerk", "surgeon", "physiotherapist", "manager"}),
    ],
)
def test_the_server_keeps_each_page_for_its_roles(request, signed_in, ann, page, allowed):
    for role in ("clerk", "surgeon", "physiotherapist", "manager"):
        browser = signed_in(request.getfixturevalue(role))
        status = browser.get(reverse(page, args=[ann.uuid])).status_code
        assert status == (200 if role in allowed else 403), role


def test_a_clerk_cannot_post_a_film_past_the_page(signed_in, clerk, ann):
    answer = signed_in(clerk).post(reverse("record-film", args=[ann.uuid]), FILM)

    assert answer.status_code == 403
    assert not HistoryEntry.objects.filter(injury=ann.injury, kind="film").exists()


def test_a_physiotherapist_cannot_register_a_patient(signed_in, physiotherapist):
    answer = signed_in(physiotherapist).post(reverse("register"), NAILED)

    assert answer.status_code == 403
    assert not Injury.objects.exists()


def test_signing_out_is_a_press_and_never_a_link(signed_in, clerk):
    browser = signed_in(clerk)

    assert browser.get(reverse("sign-out")).status_code == 405
    assert browser.post(reverse("sign-out")).status_code == 302
    assert browser.get(reverse("front-desk")).status_code == 302


def test_a_wrong_password_gives_nothing_away(client, clerk):
    texts = []
    for name in (clerk.user.username, "no such name"):
        answer = client.post(reverse("sign-in"), {"username": name, "password": "wrong"})
        texts.append("This name and password do not belong together" in answer.content.decode())

    assert texts == [True, True]
