from datetime import UTC, date, datetime

import pytest

from clinic.audit.models import AccessEntry
from clinic.followup.refusals import CourseFaults, NotYourDuty
from clinic.followup.services import register_patient
from clinic.people.models import Episode, Patient
from rehab.models import HistoryEntry, Injury, PlannedVisit, Treatment
from tests.support.cast import DAY_ZERO, typed


def faults_of(clerk, **changes):
    with pytest.raises(CourseFaults) as refused:
        register_patient(typed(**changes), by=clerk, at=DAY_ZERO)
    return {fault["path"]: fault["message"] for fault in refused.value.faults}


def test_a_nailed_patient_gets_the_plan_of_worked_case_1(clerk):
    outcome = register_patient(typed(), by=clerk, at=DAY_ZERO)

    rows = PlannedVisit.objects.filter(is_real=True).values_list("code", "placed_on")
    assert dict(rows) == {
        "N1": date(2027, 2, 15),
        "N2": date(2027, 3, 15),
        "N3": date(2027, 4, 26),
        "N4": date(2027, 7, 19),
        "N6": date(2028, 1, 31),
    }
    assert outcome.plan.stage_now.stage == "NWB"
    assert outcome.episode.ended_on is None


def test_the_rows_keep_the_reason_behind_each_date(ann, visit):
    why = visit("N1").why

    assert why[0]["rule"] == "S5"
    assert why[0]["code"]


def test_the_mobile_number_is_kept_in_international_form(ann):
    assert ann.patient.mobile == "+447700900123"


def test_the_act_is_in_the_access_log_with_who_did_it(ann, clerk):
    entry = AccessEntry.objects.get()

    assert (entry.action, entry.who, entry.role) == ("register_patient", "Cora Finch", "clerk")
    assert entry.record_uuid == ann.uuid


def test_sides_that_do_not_agree_are_refused_and_nothing_is_saved(clerk):
    faults = faults_of(clerk, side_again="left")

    assert set(faults) == {"$.injury.side_again"}
    assert not Patient.objects.exists()
    assert not Injury.objects.exists()


def test_every_fault_is_named_at_once_and_nothing_is_half_saved(clerk):
    faults = faults_of(
        clerk,
        side="",
        side_again="",
        fracture_class="D1",
        open_grade="",
        hospital_number=" ",
        mobile="12",
        email="ann at home",
        treated_at=datetime(2027, 2, 1, 9, 0, tzinfo=UTC),
    )

    assert set(faults) == {
        "$.injury.side",
        "$.injury.fracture_class",
        "$.injury.open_grade",
        "$.patient.hospital_number",
        "$.patient.mobile",
        "$.patient.email",
        "$.treatments[0].at",
    }
    assert not any(
        model.objects.exists() for model in (Patient, Episode, Injury, Treatment, PlannedVisit, HistoryEntry)
    )


def test_a_day_that_is_still_to_come_is_refused(clerk):
    faults = faults_of(clerk, treated_at=datetime(2027, 2, 3, 9, 0, tzinfo=UTC))

    assert set(faults) == {"$.treatments[0].at"}


def test_a_hospital_number_on_file_is_refused(ann, clerk):
    faults = faults_of(clerk)

    assert "on file" in faults["$.patient"]


@pytest.mark.parametrize("changes", [{"bone_segment": "43"}, {"born_on": date(2010, 1, 1)}])
def test_a_person_out_of_scope_is_on_file_with_a_task_and_without_a_plan(clerk, changes):
    outcome = register_patient(typed(**changes), by=clerk, at=DAY_ZERO)

    assert not outcome.plan.scope.is_accepted
    assert [task.state for task in outcome.plan.tasks] == ["open"]
    assert Episode.objects.filter(ended_on=None).count() == 1
    assert not PlannedVisit.objects.exists()


def test_a_physiotherapist_does_not_register_patients(physiotherapist):
    with pytest.raises(NotYourDuty, match="clinic clerk, surgeon"):
        register_patient(typed(), by=physiotherapist, at=DAY_ZERO)
