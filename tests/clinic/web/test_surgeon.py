import pytest
from django.urls import reverse

from clinic.followup.services import order_stage
from rehab.engine.facts import Stage
from rehab.models import HistoryEntry
from tests.clinic.web.forms_typed import FILM, date_boxes
from tests.support import cast

pytestmark = pytest.mark.django_db


def entries(ann, kind):
    return HistoryEntry.objects.filter(injury=ann.injury, kind=kind)


def test_a_film_over_the_limit_is_told_at_once_and_stays(signed_in, surgeon, ann):
    browser = signed_in(surgeon)

    answer = browser.post(reverse("record-film", args=[ann.uuid]), FILM, follow=True)

    assert "7° varus. Over the limit of 5°." in answer.content.decode()
    assert entries(ann, "film").get().payload["coronal"] == {"degrees": 7, "toward": "varus"}
    assert [row.is_red for row in browser.get(reverse("episode", args=[ann.uuid])).context["red"]] == [True]


def test_no_comparison_is_shown_before_something_was_read(signed_in, surgeon, ann):
    page = signed_in(surgeon).get(reverse("record-film", args=[ann.uuid])).content.decode()

    assert "Over the limit" not in page
    assert "In limits" not in page
    assert "selected>varus" not in page


def test_a_bad_film_is_told_by_each_field_and_nothing_is_saved(signed_in, surgeon, ann):
    wrong = {**FILM, **date_boxes("taken_on", "1", "2", "2027"), "coronal_toward": "", "rotation": "200"}
    answer = signed_in(surgeon).post(reverse("record-film", args=[ann.uuid]), wrong)

    assert set(answer.context["form"].errors) == {"taken_on", "coronal_toward", "rotation"}
    assert 'href="#id_coronal_toward"' in answer.content.decode()
    assert not entries(ann, "film").exists()


def test_the_first_film_stands_beside_the_next_one(signed_in, surgeon, ann):
    browser = signed_in(surgeon)
    browser.post(reverse("record-film", args=[ann.uuid]), {**FILM, "coronal": "2"})

    rows = browser.get(reverse("record-film", args=[ann.uuid])).context["rows"]

    assert (rows[0]["first"], rows[0]["last"], rows[0]["limit"]) == ("2° varus", "2° varus", "5°")


def test_the_pathways_stage_is_filled_in_until_the_first_order_and_orders_nothing(signed_in, surgeon, ann):
    form = signed_in(surgeon).get(reverse("order-stage", args=[ann.uuid])).context["form"]

    assert form.initial == {"stage": Stage.WBAT}
    assert not entries(ann, "stage ordered").exists()


def test_an_order_holds_from_today_under_the_surgeons_name(signed_in, surgeon, ann):
    answer = signed_in(surgeon).post(reverse("order-stage", args=[ann.uuid]), {"stage": "WBAT"}, follow=True)

    assert "Ordered: Unrestricted weightbearing (as comfort allows)." in answer.content.decode()
    assert answer.context["ordered"] == "Ordered by Sita Rowan, surgeon on Thursday 4 February 2027."


def test_an_order_beside_the_ladder_asks_for_its_reason(signed_in, surgeon, ann):
    browser, address = signed_in(surgeon), reverse("order-stage", args=[ann.uuid])

    refused = browser.post(address, {"stage": "FWB", "why": ""})
    assert set(refused.context["form"].errors) == {"why"}
    assert not entries(ann, "stage ordered").exists()

    browser.post(address, {"stage": "FWB", "why": "walks already"})
    assert entries(ann, "stage ordered").get().payload["stage"] == "FWB"


def test_a_physiotherapist_is_told_what_the_stage_waits_for(signed_in, physiotherapist, surgeon, ann):
    order_stage(ann, Stage.WBAT, by=surgeon, at=cast.DAY_ZERO)

    answer = signed_in(physiotherapist).post(reverse("order-stage", args=[ann.uuid]), {"stage": "FWB"})

    assert set(answer.context["form"].errors) == {"stage"}
    assert entries(ann, "stage ordered").count() == 1


def test_an_order_without_a_choice_is_told(signed_in, surgeon, ann):
    answer = signed_in(surgeon).post(reverse("order-stage", args=[ann.uuid]), {"why": ""})

    assert answer.context["form"].errors == {
        "stage": ["Choose a stage. Until one is ordered the leg is non-weightbearing."]
    }
