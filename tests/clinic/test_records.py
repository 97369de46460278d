import pytest
from django.apps import apps
from django.contrib.auth import get_user_model
from django.db import IntegrityError, models, transaction

from rehab.models import HistoryEntry, Injury
from rehab.models.append_only import AppendOnly


def test_rehab_records_point_only_at_rehab_and_at_the_user_who_wrote_them():
    fields = [field for model in apps.get_app_config("rehab").get_models() for field in model._meta.get_fields()]
    targets = {field.related_model for field in fields if field.is_relation and not field.auto_created}

    assert {target for target in targets if target._meta.app_label != "rehab"} <= {get_user_model()}


def test_every_record_of_a_patient_belongs_to_a_site():
    labels = ("rehab", "people", "diary", "reminders", "audit")
    records = [model for label in labels for model in apps.get_app_config(label).get_models()]
    reach = {"site", "site_key", "session"}  # a session's room and a booking belong to the session's site

    homeless = [model.__name__ for model in records if not reach & {field.name for field in model._meta.get_fields()}]

    assert set(homeless) <= {"Site"}


def test_every_public_identifier_is_random_and_unique():
    labels = ("rehab", "people", "diary", "reminders", "audit")
    fields = [
        model._meta.get_field("uuid")
        for label in labels
        for model in apps.get_app_config(label).get_models()
        if model.__name__ not in {"SessionRoom", "ClosedDay"}  # never named in an address
    ]

    assert all(isinstance(field, models.UUIDField) and field.unique for field in fields)


def test_history_is_never_changed_or_removed(booked):
    entry = HistoryEntry.objects.first()

    for change in (entry.save, entry.delete, HistoryEntry.objects.all().delete):
        with pytest.raises(AppendOnly):
            change()
    with pytest.raises(AppendOnly):
        HistoryEntry.objects.update(kind="missed")


@pytest.mark.parametrize(
    ("field", "value", "fence"),
    [
        ("side", "both", "injury_side_is_left_or_right"),
        ("side", "", "injury_side_is_left_or_right"),
        ("open_grade", "", "injury_open_grade_is_known"),
        ("fibula", "gone", "injury_fibula_is_known"),
    ],
)
def test_the_database_itself_refuses_an_injury_that_cannot_be(ann, field, value, fence):
    with pytest.raises(IntegrityError, match=fence), transaction.atomic():
        Injury.objects.update(**{field: value})
