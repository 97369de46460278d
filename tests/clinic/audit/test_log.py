import pytest

from clinic.audit.models import AccessEntry
from rehab.models.append_only import AppendOnly


def test_an_entry_is_never_changed_or_removed(ann):
    entry = AccessEntry.objects.get()

    for change in (entry.save, entry.delete, AccessEntry.objects.all().delete):
        with pytest.raises(AppendOnly):
            change()
    with pytest.raises(AppendOnly):
        AccessEntry.objects.update(who="somebody else")


def test_an_act_says_what_was_before_and_after(booked, ann):
    entry = AccessEntry.objects.get(action="book_visit")

    assert entry.before == {"stage": "NWB"}
    assert entry.after["booking"] == str(booked.uuid)
