from datetime import time

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from clinic.people.models import Patient, Site
from tests.support import cast


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"neutral_name": "Fracture Clinic"}, "neutral_name", "fracture"),
        ({"place_in_messages": "Orthopaedic wing"}, "place_in_messages", "orthopaedic"),
        ({"organiser_email": "tibia@harbour.example.org"}, "organiser_email", "tibia"),
        ({"phone": "Fracture clinic 07700 900412"}, "phone", "fracture"),
        ({"phone_hours": "Plaster room, 9 to 5"}, "phone_hours", "plaster"),
        ({"appointment_minutes": 0}, "appointment_minutes", "at least 1 minute"),
        ({"time_zone": "Europe/Londn"}, "time_zone", "Write it like Europe/London"),
        ({"clinic_days": ["mon", "mon"]}, "clinic_days", "each once"),
        ({"clinic_days": []}, "clinic_days", "cannot be blank|each once"),
        ({"clinic_days": ["monday"]}, "clinic_days", "mon, tue"),
        ({"country": "England"}, "country", "at most 2"),
        ({"country": "ZZ", "subdivision": None}, "country", "No public holidays are known"),
        ({"subdivision": "LND"}, "subdivision", "ENG"),
    ],
)
def test_a_site_that_cannot_be_right_is_refused_by_its_field(db, changes, field, words):
    with pytest.raises(ValidationError) as refused:
        cast.make_site(**changes)

    assert set(refused.value.message_dict) == {field}
    assert any(word in " ".join(refused.value.message_dict[field]) for word in words.split("|"))


def test_the_database_itself_refuses_an_appointment_without_length(site):
    with pytest.raises(IntegrityError, match="appointment_lasts_a_minute"), transaction.atomic():
        Site.objects.update(appointment_minutes=0)


def test_two_patients_of_one_site_never_share_a_hospital_number(ann):
    twin = Patient(site=ann.site, given_name="Bo", family_name="Reed", born_on="1980-01-01", hospital_number="HH 0001")

    with pytest.raises(ValidationError, match="already on file"):
        twin.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        twin.save()


def test_the_same_number_at_another_site_is_another_patient(ann):
    elsewhere = cast.make_site("Moor Clinic", appointment_time=time(10, 0))

    Patient.objects.create(
        site=elsewhere, given_name="Bo", family_name="Reed", born_on="1980-01-01", hospital_number="HH 0001"
    )
