import pytest
from django.urls import reverse

from rehab.models import HistoryEntry

pytestmark = pytest.mark.django_db


@pytest.fixture
def address(ann):
    return reverse("record-findings", args=[ann.uuid])


def test_findings_are_kept_and_move_no_stage(signed_in, physiotherapist, ann, address):
    typed = {"visit": "N0", "rest_pain": "2", "wound_dry": "yes"}

    answer = signed_in(physiotherapist).post(address, typed, follow=True)

    entry = HistoryEntry.objects.get(injury=ann.injury, kind="gate findings")
    assert entry.payload == {"visit": "N0", "findings": {"rest_pain": 2, "wound_dry": True}}
    assert answer.context["sentence"].startswith("No order on file")


def test_what_was_not_looked_at_is_not_written_down(signed_in, physiotherapist, ann, address):
    answer = signed_in(physiotherapist).post(address, {"visit": "N0"})

    assert "Record at least one finding." in answer.content.decode()
    assert not HistoryEntry.objects.filter(injury=ann.injury, kind="gate findings").exists()


def test_pain_runs_from_0_to_10(signed_in, physiotherapist, address):
    answer = signed_in(physiotherapist).post(address, {"visit": "N0", "rest_pain": "11"})

    assert set(answer.context["form"].errors) == {"rest_pain"}


def test_union_is_not_a_physiotherapists_finding(signed_in, physiotherapist, address):
    form = signed_in(physiotherapist).get(address).context["form"]

    assert "union_confirmed" not in form.fields
    assert {"rest_pain", "walking_pain", "gait_without_limp", "wound_dry"} <= set(form.fields)
