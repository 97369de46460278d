from datetime import date, timedelta

import pytest

from clinic.common.clock import now
from clinic.jobs.heartbeat import beat
from clinic.people.models import Site
from clinic.reminders.models import OutboxMessage
from clinic.reminders.tasks import SWEEP


@pytest.fixture
def well(site):
    beat(SWEEP, now())
    site.holidays_until = date(2099, 12, 31)
    site.save()


def test_a_well_clinic_says_so_and_names_its_time_zone_tables(client, well):
    answer = client.get("/healthz")

    assert answer.status_code == 200
    assert answer.json()["troubles"] == []
    assert answer.json()["time_zones"].startswith("20")
    assert "no-cache" in answer["Cache-Control"]


def test_a_silent_sender_is_a_trouble(client, site):
    answer = client.get("/healthz")

    assert answer.status_code == 503
    assert any("nobody sends messages" in trouble for trouble in answer.json()["troubles"])


def test_overdue_messages_are_a_trouble(client, well, booked):
    OutboxMessage.objects.update(due_at=now() - timedelta(hours=1))

    answer = client.get("/healthz")

    assert answer.json()["troubles"] == ["messages are overdue"]
    assert answer.json()["messages"] == {"due": 3}


def test_holidays_about_to_run_out_are_a_trouble(client, well):
    Site.objects.update(holidays_until=now().date() + timedelta(days=89))

    assert "public holidays run out" in client.get("/healthz").json()["troubles"][0]


def test_the_health_page_names_nobody(client, well, booked):
    text = client.get("/healthz").content.decode()

    assert not {"Ann", "Tolliver", "example.org", "7700"} & set(text.replace('"', " ").split())


def test_the_answers_forbid_frames_foreign_scripts_and_guessing(client, well):
    answer = client.get("/healthz")

    assert "default-src 'self'" in answer["Content-Security-Policy"]
    assert "frame-ancestors 'none'" in answer["Content-Security-Policy"]
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Referrer-Policy"] == "same-origin"
