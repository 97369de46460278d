import subprocess
import sys

import pytest

from clinic.conf.production import DEMO_KEY, LOCAL_HOSTS, unsafe_values
from tests.support.other_process import ROOT, clean_environment

SAFE = {
    "SECRET_KEY": "pQ7-mXv2_kLw9zRt4yBn8sHd3fGj6cAe1uIo5tPqWxZaSdFgHjKl",
    "SECRET_KEY_FALLBACKS": [],
    "ALLOWED_HOSTS": ["clinic.example.org"],
    "SITE_URL": "https://clinic.example.org",
    "EMAIL_URL": "smtp+tls://mail.example.org",
    "SMS_URL": "",
}
ENVIRONMENT = {**SAFE, "SECRET_KEY_FALLBACKS": "", "ALLOWED_HOSTS": "clinic.example.org", "DEBUG": "0"}


def manage(*words, **environment):
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env=clean_environment(**environment),
        capture_output=True,
        text=True,
        check=False,
    )


def test_safe_values_pass():
    assert unsafe_values(SAFE) == []


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("SECRET_KEY", DEMO_KEY),
        ("SECRET_KEY", "short"),
        ("SECRET_KEY", "a" * 60),
        ("SECRET_KEY_FALLBACKS", [DEMO_KEY]),
        ("SECRET_KEY_FALLBACKS", ["short"]),
        ("ALLOWED_HOSTS", LOCAL_HOSTS),
        ("ALLOWED_HOSTS", ["*"]),
        ("SITE_URL", "http://clinic.example.org"),
        ("EMAIL_URL", "console://"),
        ("EMAIL_URL", "file:///srv/mail"),
        ("SMS_URL", "http://gateway.example.org/texts"),
    ],
)
def test_an_unsafe_value_is_named(name, value):
    (fault,) = unsafe_values({**SAFE, name: value})

    assert fault.startswith(f"{name}:")


def test_a_real_clinic_does_not_start_on_the_demo_s_values_and_names_all_of_them(tmp_path):
    done = manage("check", DEBUG="0", VAR_DIR=str(tmp_path))

    assert done.returncode != 0
    for name in ("SECRET_KEY:", "ALLOWED_HOSTS:", "SITE_URL:", "EMAIL_URL:"):
        assert name in done.stderr


def test_a_real_clinic_passes_the_framework_s_own_deployment_check(tmp_path):
    done = manage("check", "--deploy", "--fail-level=WARNING", **ENVIRONMENT, VAR_DIR=str(tmp_path))

    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout


def test_serve_refuses_a_demo_s_settings_unless_told_it_is_one(tmp_path):
    done = manage("serve", VAR_DIR=str(tmp_path))

    assert done.returncode != 0
    assert "DEBUG is on" in done.stderr


def test_a_faulty_pathway_file_of_the_clinic_stops_the_start_and_is_named(tmp_path):
    (tmp_path / "intramedullary_nail.toml").write_text("treatment = \n")

    done = manage("check", VAR_DIR=str(tmp_path), FF_PATHWAY_FOLDER=str(tmp_path))

    assert done.returncode != 0
    assert "intramedullary_nail.toml" in done.stderr


def test_every_process_uses_the_pinned_time_zones(tmp_path):
    """Casablanca has no summer time in 2027 by the tables of 2026f; older ones say +01:00 (tzdata, release notes)."""
    words = (
        "import zoneinfo; from datetime import datetime; "
        "print(zoneinfo.TZPATH, datetime(2027, 7, 1, tzinfo=zoneinfo.ZoneInfo('Africa/Casablanca')).utcoffset())"
    )

    done = manage("shell", "--no-imports", "-c", words, VAR_DIR=str(tmp_path), PYTHONTZPATH="/usr/share/zoneinfo")

    assert done.stdout.strip().splitlines()[-1] == "() 0:00:00"
