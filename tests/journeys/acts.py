"""What people do at a page, in their own words."""

from playwright.sync_api import Page

from tests.journeys.conftest import PASSWORD


def sign_in(page: Page, name: str) -> None:
    """Sign in as a role."""
    page.goto("/sign-in")
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", level=1, name="Thursday 4 February 2027").wait_for()


def sign_out(page: Page) -> None:
    """Sign out."""
    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("heading", level=1, name="Sign in").wait_for()


def give_date(page: Page, question: str, typed: str) -> None:
    """Fill the boxes of a date, "2 feb 2027" or "2 feb 2027 15:00", under the question it answers."""
    group = page.get_by_role("group", name=question)
    for box, words in zip(("Day", "Month", "Year", "Time"), typed.split(), strict=False):
        group.get_by_label(box).fill(words)


def choose(page: Page, question: str, answer: str) -> None:
    """Choose a radio button or tick a box, by its words, under its question."""
    page.get_by_role("group", name=question).get_by_label(answer, exact=True).check(force=True)


def fill_registration(page: Page, **changes: str) -> None:
    """Fill the whole form for Nadia Rahmani: right tibia, nailed on 2 February 2027."""
    typed = {
        "Given name": "Nadia",
        "Family name": "Rahmani",
        "Hospital number": "W 20 4118",
        "E-mail": "nadia@example.org",
        "Mobile": "07700 900118",
        "Which leg is broken?": "right",
        "AO/OTA code of the fracture": "42-A2",
        "Weight, in kg": "84.5",
        **changes,
    }
    for label, words in typed.items():
        page.get_by_label(label).first.fill(words)
    give_date(page, "Date of birth", "14 may 1971")
    give_date(page, "Injured on", "2 2 2027 11:00")
    give_date(page, "Operation begun, or cast put on", "2 2 2027 15:00")
    give_date(page, "Weight measured on", "2 2 2027")
    choose(page, "Size of print on papers", "14 point")
    choose(page, "Confirm the side", "RIGHT leg")
    choose(page, "Fibula", "Intact")
    choose(page, "Skin and wound (Gustilo-Anderson)", "Closed: the skin is whole")
    choose(page, "Does any of these apply?", "None of these")
    choose(page, "How is the bone held?", "Intramedullary nail")


def main_width(page: Page) -> int:
    """How wide the whole page is."""
    return page.evaluate("document.documentElement.scrollWidth")
