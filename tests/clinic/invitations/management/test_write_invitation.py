"""The command, from a course file to an .ics file; no test here may touch a database."""

import io
import json
import sys
from datetime import date, timedelta

import pytest
from django.core.management import CommandError, call_command

from clinic.common.neutral_words import clinical_words_in
from clinic.invitations.faults import faults_in
from tests.clinic.invitations.reading import by_icalendar, by_vobject, unfolded


@pytest.fixture
def course_file(tmp_path, nailed_course):
    path = tmp_path / "course.json"
    path.write_text(json.dumps(nailed_course))
    return path


def run(course, tmp_path, visit="N1", **options) -> tuple[bytes, str]:
    """Run the command and give the bytes written and what it said."""
    out, said = tmp_path / "out.ics", io.StringIO()
    call_command("write_invitation", str(course), visit=visit, out=str(out), stderr=said, **options)
    return out.read_bytes(), said.getvalue()


def refused(course, tmp_path, **options) -> str:
    """Run the command, which must refuse with exit 2 and write nothing; give what it said."""
    with pytest.raises(CommandError) as refusal:
        run(course, tmp_path, **options)
    assert refusal.value.returncode == 2
    assert not (tmp_path / "out.ics").exists()
    return str(refusal.value)


def test_a_visit_of_a_course_becomes_a_published_appointment(course_file, tmp_path):
    ics, said = run(course_file, tmp_path)

    assert "\r\nMETHOD:PUBLISH\r\n" in unfolded(ics)
    assert "\r\nDTSTART;TZID=Europe/London:20270215T093000\r\n" in unfolded(ics)
    assert faults_in(ics) == []
    assert "visit N1 on Monday 15 February 2027 at 09:30. Method PUBLISH, because no attendee was given" in said


def test_with_an_attendee_it_becomes_a_request(course_file, tmp_path):
    ics, said = run(course_file, tmp_path, attendee="Ann Tolliver <ann@example.org>", organiser="desk@example.org")

    assert "\r\nMETHOD:REQUEST\r\n" in unfolded(ics)
    assert str(by_icalendar(ics)["ATTENDEE"]) == "mailto:ann@example.org"
    assert by_vobject(ics).organizer.value == "mailto:desk@example.org"
    assert "Method REQUEST" in said
    assert "stand-in" not in said


def test_without_an_organiser_a_stand_in_is_used_and_said_to_be_one(course_file, tmp_path):
    ics, said = run(course_file, tmp_path)

    assert str(by_icalendar(ics)["ORGANIZER"]) == "mailto:clinic@example.org"
    assert "The organiser is the stand-in clinic@example.org: give --organiser." in said


def test_place_telephone_and_length_are_taken_over(course_file, tmp_path):
    ics, _said = run(course_file, tmp_path, place=["Main building", "Desk 4"], phone="07700 900412", minutes=45)

    assert by_icalendar(ics)["LOCATION"] == "Main building, Desk 4"
    assert "Ring us on 07700 900412." in by_icalendar(ics)["DESCRIPTION"]
    assert b"DTEND;TZID=Europe/London:20270215T101500" in ics


def test_nothing_of_the_course_itself_gets_into_the_file(course_file, tmp_path):
    ics, _said = run(course_file, tmp_path)

    assert clinical_words_in(unfolded(ics)) == []
    for told in ("1993", "0115", "72.0", "right", "A2", "N1"):  # birth date, weight, side, class, visit code
        assert told not in unfolded(ics)


def test_a_course_may_come_by_standard_input_and_the_file_go_to_standard_output(nailed_course, monkeypatch):
    written = io.BytesIO()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(json.dumps(nailed_course).encode())))
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(written))
    call_command("write_invitation", "-", visit="N1", out="-", stderr=io.StringIO())

    assert faults_in(written.getvalue()) == []


def test_an_unknown_visit_is_refused_with_the_nearest(course_file, tmp_path):
    assert "Did you mean “N2”?" in refused(course_file, tmp_path, visit="n2")


def test_a_visit_without_a_place_is_refused(tmp_path, nailed_course):
    shut = [f"{day:%Y-%m-%d}" for day in (date(2027, 2, 3) + timedelta(days=n) for n in range(180))]
    course = tmp_path / "course.json"
    course.write_text(json.dumps(nailed_course | {"clinic": nailed_course["clinic"] | {"closed_on": shut}}))

    assert "Visit N1 has no place" in refused(course, tmp_path)


def test_a_day_outside_the_window_is_written_and_said_to_need_a_clinician(tmp_path, nailed_course):
    shut = [f"2027-02-{day}" for day in (12, 15, 17)]
    course = tmp_path / "course.json"
    course.write_text(json.dumps(nailed_course | {"clinic": nailed_course["clinic"] | {"closed_on": shut}}))

    assert "This day is outside the visit's window: a clinician must accept it." in run(course, tmp_path)[1]


def test_an_attended_visit_is_refused(tmp_path, nailed_course):
    course = tmp_path / "course.json"
    attended = [{"on": "2027-02-15", "what": "attended", "visit": "N1"}]
    course.write_text(json.dumps(nailed_course | {"history": attended}))

    assert "Visit N1 was attended" in refused(course, tmp_path)


def test_every_fault_of_a_course_is_named_by_its_path(tmp_path, nailed_course):
    course = tmp_path / "course.json"
    injury = nailed_course["injury"] | {"side": "", "bone_segment": "tibia"}
    course.write_text(json.dumps(nailed_course | {"injury": injury}))
    faults = json.loads(refused(course, tmp_path))

    assert [fault["path"] for fault in faults] == ["$.injury.bone_segment", "$.injury.side"]
    assert all(fault["message"] for fault in faults)


@pytest.mark.parametrize("text", ["", "{", "[]", "\ufeff"])
def test_a_file_that_is_no_course_is_refused(tmp_path, text):
    course = tmp_path / "course.json"
    course.write_text(text)

    assert json.loads(refused(course, tmp_path))[0]["path"] == "$"


def test_a_file_that_is_not_there_is_named(tmp_path):
    assert "missing.json cannot be read: No such file" in refused(tmp_path / "missing.json", tmp_path)


def test_a_folder_that_is_not_there_is_named(course_file, tmp_path):
    with pytest.raises(CommandError, match="cannot be written to"):
        call_command("write_invitation", str(course_file), visit="N1", out=str(tmp_path / "no" / "n1.ics"))


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"place": ["Fracture Clinic"]}, "The place says “fracture”"),
        ({"attendee": "ann"}, "The attendee's address “ann” is not an e-mail address."),
        ({"minutes": 0}, "An appointment lasts at least 1 minute; 0 was given."),
    ],
)
def test_a_wrong_option_is_refused(course_file, tmp_path, options, said):
    assert said in refused(course_file, tmp_path, **options)
