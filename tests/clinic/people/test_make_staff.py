import io

import pytest
from django.core.management import CommandError, call_command

from clinic.people.models import StaffMember


def make(monkeypatch, clinic, password, **changes):
    monkeypatch.setattr("sys.stdin", io.StringIO(password + "\n"))
    values = {"site": clinic.name, "role": "surgeon", "name": "Sita Rowan", "password_from_stdin": True}
    call_command("make_staff", "sita", **values | changes)


def test_a_member_of_staff_can_sign_in(monkeypatch, site, client):
    make(monkeypatch, site, "long-harbour-wall")

    assert StaffMember.objects.get().role == "surgeon"
    assert client.login(username="sita", password="long-harbour-wall")


@pytest.mark.parametrize(
    ("password", "changes", "words"),
    [
        ("short", {}, "too short"),
        ("password1234", {}, "too common"),
        ("long-harbour-wall", {"site": "Nowhere"}, "Known sites: Harbour Fracture Clinic"),
    ],
)
def test_what_cannot_be_right_is_refused_and_nothing_is_saved(monkeypatch, site, password, changes, words):
    with pytest.raises(CommandError, match=words):
        make(monkeypatch, site, password, **changes)
    assert not StaffMember.objects.exists()


def test_a_name_that_signs_in_already_is_refused(monkeypatch, site):
    make(monkeypatch, site, "long-harbour-wall")

    with pytest.raises(CommandError, match="exists already"):
        make(monkeypatch, site, "long-harbour-wall")
