"""What holds on every page: 320 px without sideways scrolling, a way past the top bar, a title, a language."""

import pytest

from clinic.followup.services import register_patient
from clinic.people.models import StaffMember
from tests.journeys.acts import main_width
from tests.support import cast

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PAGES = (
    "",
    "patients",
    "patients?q=nobody",
    "patients/register",
    "episodes/{episode}",
    "episodes/{episode}/visits/{visit}/book",
    "episodes/{episode}/read-film",
    "episodes/{episode}/order-stage",
    "episodes/{episode}/record-findings",
    "pathways",
    "pathways/long-leg-cast",
)


@pytest.fixture
def addresses(clinic, live_server):
    """Every page's address, with one nailed person on file."""
    clerk = StaffMember.objects.get(role="clerk")
    episode = register_patient(cast.typed(), by=clerk, at=cast.DAY_ZERO).episode
    visit = episode.injury.planned_visits.get(code="N1")
    return [f"{live_server.url}/{page.format(episode=episode.uuid, visit=visit.uuid)}" for page in PAGES]


def signed_in(page, live_server):
    page.goto(f"{live_server.url}/sign-in")
    page.get_by_label("Name").fill("surgeon")
    page.get_by_label("Password").fill("stone-lantern-42")
    page.get_by_role("button", name="Sign in").click()
    return page


def test_no_page_scrolls_sideways_at_320_px(phone_page, addresses, live_server):
    page = signed_in(phone_page, live_server)

    widths = {}
    for address in addresses:
        page.goto(address)
        widths[address] = main_width(page)

    assert set(widths.values()) == {320}, widths


def test_no_form_with_faults_scrolls_sideways_at_320_px(phone_page, addresses, live_server):
    page = signed_in(phone_page, live_server)

    for address in (addresses[3], *addresses[5:9]):
        page.goto(address)
        page.locator("main form button").last.click()
        if page.locator("#summary").count():
            assert main_width(page) == 320, address


def test_every_page_has_a_title_a_language_and_a_way_past_the_top_bar(page, addresses, live_server):
    signed_in(page, live_server)

    titles = set()
    for address in addresses:
        page.goto(address)
        titles.add(page.title())
        assert page.locator("html").get_attribute("lang") == "en-gb"
        assert page.locator("h1").count() == 1, address
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.className") == "skip", address
        assert page.locator(page.evaluate("document.activeElement.getAttribute('href')")).count() == 1
    assert len(titles) == len(addresses) - 1  # the list of patients has one name, searched or not


def test_every_control_has_a_name_and_room_for_a_finger(page, addresses, live_server):
    signed_in(page, live_server)

    for address in addresses:
        page.goto(address)
        small = page.evaluate(
            """() => [...document.querySelectorAll("main a.button, main button, main select, main input")]
                .filter(e => e.type !== "hidden" && e.offsetParent)
                .map(e => [e.outerHTML.slice(0, 80), e.closest("label") || e])
                .filter(([, box]) => box.getBoundingClientRect().height < 24)
                .map(([html]) => html)"""
        )
        nameless = page.evaluate(
            """() => [...document.querySelectorAll("input:not([type=hidden]), select, textarea")]
                .filter(e => !e.labels.length && !e.getAttribute("aria-label")).map(e => e.outerHTML.slice(0, 80))"""
        )
        assert (small, nameless) == ([], []), address


def test_the_focus_is_always_seen(page, clinic, live_server):
    page.goto(f"{live_server.url}/sign-in")
    page.get_by_label("Name").focus()
    page.keyboard.press("Tab")

    outline = page.evaluate("getComputedStyle(document.activeElement).outline")
    assert "3px" in outline
    assert "solid" in outline


def test_a_person_signs_in_with_the_keyboard_alone(page, clinic, live_server):
    page.goto(f"{live_server.url}/sign-in")
    page.get_by_label("Name").focus()
    page.keyboard.type("clerk")
    page.keyboard.press("Tab")
    page.keyboard.type("stone-lantern-42")
    page.keyboard.press("Enter")

    page.get_by_role("heading", level=1, name="Thursday 4 February 2027").wait_for()


def test_the_list_of_patients_follows_what_is_typed(page, addresses, live_server):
    signed_in(page, live_server)
    page.goto(f"{live_server.url}/patients")
    search = page.get_by_label("Find a person: name or number")

    search.press_sequentially("zz")
    page.get_by_text("Nobody’s name or number begins with “zz”.").wait_for()
    search.fill("toll")
    page.get_by_text("Ann Tolliver").wait_for()

    assert page.evaluate("document.activeElement.name") == "q"
