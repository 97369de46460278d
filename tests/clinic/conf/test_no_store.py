import pytest


@pytest.mark.parametrize("path", ["/", "/patients", "/patients/register", "/sign-in", "/nowhere"])
def test_no_browser_and_no_proxy_keeps_a_page(client, clerk, path):
    client.force_login(clerk.user)

    assert "no-store" in client.get(path)["Cache-Control"]


def test_a_patient_s_papers_are_kept_nowhere_either(client, clerk, booked):
    client.force_login(clerk.user)

    answer = client.get(f"/bookings/{booked.uuid}/appointment.ics")

    assert answer.status_code == 200
    assert answer["Cache-Control"] == "no-store, private"
