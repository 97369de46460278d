import pytest
from django.urls import reverse

from clinic.audit.models import AccessEntry
from clinic.followup.services import order_stage, register_patient
from clinic.web.episode import known_of
from clinic.web.papers import sheet_of
from rehab.engine.facts import Stage
from tests.support import cast

pytestmark = pytest.mark.django_db


def test_the_calendar_file_of_a_place_names_no_clinical_matter(signed_in, clerk, booked):
    answer = signed_in(clerk).get(reverse("invitation", args=[booked.uuid]))

    text = answer.content.decode()
    assert answer["Content-Type"] == "text/calendar; charset=utf-8; method=PUBLISH"
    assert answer["Content-Disposition"] == 'attachment; filename="appointment.ics"'
    assert "DTSTART;TZID=Europe/London:20270215T093000" in text
    assert f"UID:{booked.calendar_uid}" in text
    assert not {"wound", "tibia", "nail"} & set(text.lower().split())


def test_a_place_given_back_has_no_calendar_file(signed_in, clerk, booked):
    type(booked).objects.filter(pk=booked.pk).update(status="cancelled")

    assert signed_in(clerk).get(reverse("invitation", args=[booked.uuid])).status_code == 404


def test_taking_out_a_paper_is_noted(signed_in, clerk, booked):
    signed_in(clerk).get(reverse("invitation", args=[booked.uuid]))

    assert AccessEntry.objects.filter(action="save_invitation", record_uuid=booked.episode.uuid).count() == 1


@pytest.mark.pdf
def test_the_sheet_is_a_pdf_in_the_size_asked_for(signed_in, clerk, ann):
    for size in ("14", "18"):
        answer = signed_in(clerk).get(reverse("sheet", args=[ann.uuid]), {"size": size})
        assert answer["Content-Type"] == "application/pdf"
        assert answer["Content-Disposition"] == f'inline; filename="sheet-{size}-point.pdf"'
        assert answer.content.startswith(b"%PDF-")


@pytest.mark.pdf
def test_a_sheet_whose_stage_no_longer_holds_is_shown_as_replaced(signed_in, clerk, surgeon, ann):
    browser, episode = signed_in(clerk), reverse("episode", args=[ann.uuid])
    browser.get(reverse("sheet", args=[ann.uuid]))
    assert [row.words for row in browser.get(episode).context["prints"]] == ["Printed"]

    order_stage(ann, Stage.WBAT, by=surgeon)

    answer = browser.get(episode)
    assert [row.words for row in answer.context["prints"]] == ["Replaced"]
    assert "The stage has changed since: print the new sheet." in answer.content.decode()


def test_a_sheet_says_which_version_it_replaces_and_a_second_copy_replaces_nothing_more(ann, surgeon, signed_in):
    first = ann.injury.version
    signed_in(surgeon)
    assert sheet_of(known_of(ann), surgeon, 14.0).issue.replaces is None
    printed = {"record_uuid": ann.uuid, "site_key": ann.site.uuid, "at": cast.DAY_ZERO, "action": "print_sheet"}
    AccessEntry.objects.create(**printed, after={"version": first})
    assert sheet_of(known_of(ann), surgeon, 18.0).issue.replaces is None

    order_stage(ann, Stage.WBAT, by=surgeon)

    issue = sheet_of(known_of(ann), surgeon, 14.0).issue
    assert (issue.version > first, issue.replaces) == (True, first)


def test_who_is_out_of_scope_gets_no_sheet_but_the_reason(signed_in, clerk):
    episode = register_patient(cast.typed(bone_segment="43"), by=clerk, at=cast.DAY_ZERO).episode

    answer = signed_in(clerk).get(reverse("sheet", args=[episode.uuid]), follow=True)

    assert "no sheet is printed" in answer.content.decode()
