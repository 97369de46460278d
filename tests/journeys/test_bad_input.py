"""Bad input in the browser: one message by its field, all at once, the focus on the summary, nothing half-saved."""

import pytest

from clinic.people.models import Patient
from rehab.models import HistoryEntry, Injury
from tests.journeys.acts import choose, fill_registration, give_date, sign_in

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_form_with_six_faults_names_each_by_its_field_and_keeps_what_was_typed(clinic, desk):
    sign_in(desk, "clerk")
    desk.goto("/patients/register")
    fill_registration(desk, **{"Weight, in kg": "172 lb", "AO/OTA code of the fracture": "43-C1", "Mobile": "12"})
    give_date(desk, "Date of birth", "31 4 1971")
    give_date(desk, "Operation begun, or cast put on", "1 2 2027 15:00")
    choose(desk, "Confirm the side", "LEFT leg")
    desk.get_by_role("button", name="Register and make the plan").click()

    expected = {
        "id_weight_field": "Give the weight in kilograms. “172 lb” cannot be used.",
        "id_fracture_code_field": "43 is not the tibial shaft. This tool plans 42 only: use the local pathway.",
        "id_mobile_field": "“12” is not a mobile number that can take a text.",
        "id_born_on_field": "There is no 31 April 1971.",
        "id_treated_at_field": "This is before the injury of Tuesday 2 February 2027.",
        "id_side_field": "You typed RIGHT and confirmed LEFT. Look at the note again.",
    }
    for field, words in expected.items():
        assert words in desk.locator(f"#{field}").inner_text()
        assert words in desk.locator("#summary").inner_text()
    assert desk.get_by_label("Weight, in kg").input_value() == "172 lb"
    assert desk.get_by_label("Family name").input_value() == "Rahmani"
    assert not Patient.objects.exists()
    assert not Injury.objects.exists()

    # each line of the summary leads to its field
    desk.get_by_role("link", name="There is no 31 April 1971.").click()
    assert desk.url.endswith("#id_born_on_0")


def test_the_summary_takes_the_focus(clinic, page, live_server):
    page.goto(f"{live_server.url}/sign-in")
    page.get_by_role("button", name="Sign in").click()

    assert page.evaluate("document.activeElement.id") == "summary"


def test_a_film_before_the_injury_and_a_4_on_one_cortex_are_refused_at_once(clinic, desk):
    sign_in(desk, "clerk")
    desk.goto("/patients/register")
    fill_registration(desk)
    desk.get_by_role("button", name="Register and make the plan").click()
    episode = desk.url
    desk.get_by_role("button", name="Sign out").click()
    sign_in(desk, "surgeon")
    desk.goto(f"{episode}/read-film")
    give_date(desk, "Film taken on", "1 2 2027")
    desk.get_by_label("Varus or valgus", exact=True).fill("7")
    choose(desk, "Callus score by", "RUST")
    choose(desk, "Medial", "4")
    for cortex in ("Lateral", "Anterior", "Posterior"):
        choose(desk, cortex, "1")
    desk.get_by_role("button", name="Save this reading").click()

    summary = desk.locator("#summary").inner_text()
    assert "This is before the injury of Tuesday 2 February 2027." in summary
    assert "Choose varus or valgus for 7°." in summary
    assert "On the RUST scale a cortex is 1, 2 or 3." in summary
    assert not HistoryEntry.objects.filter(kind="film").exists()
