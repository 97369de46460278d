import pytest
from django.urls import reverse

from clinic.people.models import Episode, Patient
from rehab.models import Injury
from tests.clinic.web.forms_typed import NAILED, date_boxes

pytestmark = pytest.mark.django_db


def test_a_registered_patient_has_a_plan_with_a_reason_behind_each_date(signed_in, clerk):
    answer = signed_in(clerk).post(reverse("register"), NAILED, follow=True)

    page = answer.content.decode()
    assert answer.redirect_chain == [(reverse("episode", args=[Episode.objects.get().uuid]), 302)]
    assert "Nadia Rahmani is registered." in page
    assert "Monday 15 February 2027" in page  # N1 of worked case 1
    assert "The target, Tuesday 16 February 2027, is not open" in page
    visits = [row for row in answer.context["visits"] if not row.reasons]
    assert visits == []


def test_bad_input_is_told_on_top_and_by_each_field_and_nothing_is_half_saved(signed_in, clerk):
    wrong = {
        **NAILED,
        "weight": "172 lb",
        "side_typed": "",
        "fracture_code": "43-A1",
        **date_boxes("born_on", "30", "2", "1971"),
    }
    answer = signed_in(clerk).post(reverse("register"), wrong)

    page = answer.content.decode()
    assert 'id="summary"' in page
    for field in ("id_weight", "id_side_typed", "id_fracture_code", "id_born_on_0"):
        assert f'<a href="#{field}">' in page
        assert f'id="{field}"' in page
    assert page.count("Give the weight in kilograms. “172 lb” cannot be used.") == 2  # on top, and by its field
    assert 'value="172 lb"' in page
    assert 'value="Rahmani"' in page
    assert not Patient.objects.exists()
    assert not Injury.objects.exists()


def test_who_is_out_of_scope_is_offered_a_place_on_the_list_and_never_lost(signed_in, clerk):
    browser = signed_in(clerk)
    refused = browser.post(reverse("register"), {**NAILED, "fracture_code": "43-A1"}).content.decode()
    assert "Register without a plan: a clinician arranges the follow-up" in refused

    page = browser.post(reverse("register"), {**NAILED, "fracture_code": "43-A1", "without_plan": "on"}, follow=True)

    assert Episode.objects.filter(ended_on=None).count() == 1
    assert "This tool makes no plan here: a clinician must arrange the follow-up." in page.content.decode()


def test_a_hospital_number_on_file_is_refused_by_its_field(signed_in, clerk, ann):
    answer = signed_in(clerk).post(reverse("register"), {**NAILED, "hospital_number": "hh 0001"})

    assert answer.context["form"].errors == {
        "hospital_number": ["This hospital number belongs to a patient already on file. Look them up."]
    }


@pytest.mark.parametrize("words", ["Toll", "tolliver", "ann toll", "HH 0001", "HH"])
def test_a_patient_is_found_by_name_or_number_and_never_chosen(signed_in, clerk, ann, words):
    page = signed_in(clerk).get(reverse("patients"), {"q": words}).content.decode()

    assert "Ann Tolliver" in page
    assert "born 15\N{NO-BREAK SPACE}January\N{NO-BREAK SPACE}1993" in page
    assert "no. HH 0001" in page


def test_a_search_that_finds_nobody_offers_to_drop_it(signed_in, clerk, ann):
    page = signed_in(clerk).get(reverse("patients"), {"q": "<Zed>"}).content.decode()

    assert "Nobody’s name or number begins with “&lt;Zed&gt;”." in page
    assert "Show everybody" in page
