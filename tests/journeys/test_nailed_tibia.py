"""The first fortnight of a nailed tibia, as clerk and surgeon live it in the browser."""

import re

import pytest
from icalendar import Calendar

from clinic.common.clock import now
from clinic.people.models import Episode
from clinic.reminders.sending import send_due
from tests.journeys.acts import choose, fill_registration, give_date, sign_in, sign_out

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def register_nadia(desk):
    sign_in(desk, "clerk")
    desk.get_by_role("link", name="Register a patient").click()
    fill_registration(desk)
    desk.get_by_role("button", name="Register and make the plan").click()
    desk.get_by_text("Nadia Rahmani is registered.").wait_for()


@pytest.mark.pdf
def test_a_clerk_registers_books_and_prints_and_the_invitation_arrives(clinic, desk, mailbox):
    register_nadia(desk)

    # the plan, with a reason behind each date
    first = desk.get_by_role("row").filter(has_text="2 weeks: wound check")
    assert "Monday 15 February 2027" in first.inner_text()
    assert "The target, Tuesday 16 February 2027, is not open" in first.inner_text()
    assert desk.locator("svg.ladder-wide .step-now").count() == 1
    assert desk.locator("svg.time-line-wide").is_visible()
    assert "No order on file" in desk.get_by_role("heading", level=1).inner_text()

    # a place for the first visit
    first.get_by_role("link", name="Find a place").click()
    desk.get_by_label(re.compile("Monday 15 February 2027, 09:30")).check()
    desk.get_by_role("button", name="Book this place").click()
    desk.get_by_text("Booked for Monday 15 February 2027 at 09:30.").wait_for()

    # the confirmation, through the outbox to a real mail server
    assert send_due(now)["sent"] >= 1
    (mail,) = [message for message in mailbox.messages if message["To"] and "nadia@example.org" in message["To"]]
    (part,) = [part for part in mail.walk() if part.get_content_type() == "text/calendar"]
    (event,) = Calendar.from_ical(part.get_content()).walk("VEVENT")
    assert event["DTSTART"].dt.isoformat() == "2027-02-15T09:30:00+00:00"
    assert mail["Auto-Submitted"] == "auto-generated"

    # the papers
    with desk.expect_download() as calendar_file:
        desk.get_by_role("link", name="Calendar file").first.click()
    assert calendar_file.value.suggested_filename == "appointment.ics"
    address = desk.get_by_role("link", name="Print sheet").get_attribute("href")
    sheet = desk.request.get(address)
    assert sheet.headers["content-type"] == "application/pdf"
    assert sheet.body().startswith(b"%PDF-")


def test_a_surgeon_reads_a_film_sees_the_alert_and_orders_a_stage(clinic, desk):
    register_nadia(desk)
    sign_out(desk)
    sign_in(desk, "surgeon")
    desk.goto(f"/episodes/{Episode.objects.get().uuid}")

    desk.get_by_role("link", name="Read a film").first.click()
    give_date(desk, "Film taken on", "3 2 2027")
    desk.get_by_label("Varus or valgus", exact=True).fill("7")
    desk.get_by_label("Varus or valgus: which way").select_option("varus")
    desk.get_by_label("Shortening").fill("2")
    choose(desk, "Callus score by", "RUST")
    for cortex in ("Medial", "Lateral", "Anterior"):
        choose(desk, cortex, "1")
    choose(desk, "Posterior", "hidden")
    desk.get_by_role("button", name="Save this reading").click()

    alert = desk.get_by_role("region", name="Act today")
    assert "Over the limit" in alert.inner_text()
    assert "7° varus. Over the limit of 5°." in alert.inner_text()
    assert "RUST, no total: 1, 1, 1, hidden" in desk.locator("#films").inner_text()

    desk.get_by_role("link", name="Order a stage").click()
    assert desk.get_by_label(re.compile("as comfort allows")).is_checked()
    desk.get_by_label(re.compile("foot touch for balance")).check(force=True)
    desk.get_by_role("button", name="Order this stage").click()
    assert "Write the reason, then order it." in desk.locator("#summary").inner_text()
    desk.get_by_role("textbox", name="Reason").fill("over the limit, the load goes down")
    desk.get_by_role("button", name="Order this stage").click()

    assert desk.get_by_role("heading", level=1).inner_text() == (
        "Limited weightbearing, at most 8 kg, foot touch for balance."
    )
    assert "Ordered by Sita Rowan, surgeon on Thursday 4 February 2027." in desk.content()
