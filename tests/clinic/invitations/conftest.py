import fcntl
import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.support.needs import APT, is_required

JS_FOLDER = Path(__file__).parent / "js"


@pytest.fixture(scope="session")
def js_reader():
    """Give a function that reads invitations with ical.js: read(list of .ics bytes, TZ=...) -> list of dicts."""
    folder = _installed()

    def read(invitations: list[bytes], reader_zone: str = "UTC") -> list[dict]:
        answer = subprocess.run(
            [shutil.which("node"), "read_invitations.mjs"],
            cwd=folder,
            input=json.dumps([ics.decode() for ics in invitations]),
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "TZ": reader_zone},
        )
        return json.loads(answer.stdout)

    return read


def _installed() -> Path:
    """Install the pinned ical.js beside its lock file, once; skip with the reason where that cannot be done."""
    if not (shutil.which("node") and shutil.which("npm")):
        _missing(f"node and npm are not on this machine; {APT} nodejs npm")
    with (JS_FOLDER / "package-lock.json").open() as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # test processes side by side would install over each other
        if _version("node_modules/ical.js/package.json") != _version("package-lock.json"):
            npm = [shutil.which("npm"), "ci", "--no-audit", "--no-fund"]
            done = subprocess.run(npm, cwd=JS_FOLDER, capture_output=True, text=True, check=False)
            if done.returncode:
                _missing(f"npm ci did not work: {done.stderr.strip()[-300:]}")
    return JS_FOLDER


def _version(file: str) -> str | None:
    """Give the version of ical.js that a lock file or an installed package names."""
    path = JS_FOLDER / file
    if not path.exists():
        return None
    read = json.loads(path.read_text())
    return read["packages"]["node_modules/ical.js"]["version"] if "packages" in read else read["version"]


def _missing(reason: str):
    if is_required("node"):
        pytest.fail(f"FF_REQUIRE_NODE=1, but {reason}")
    pytest.skip(reason)


@pytest.fixture(scope="session")
def nailed_course() -> dict:
    """Give the course of an invented person with a nail put in on Tuesday 2 February 2027."""
    return {
        "clinic": {
            "time_zone": "Europe/London",
            "country": "GB",
            "subdivision": "ENG",
            "clinic_days": ["mon", "wed", "fri"],
            "appointment_time": "09:30",
            "closed_on": [],
            "full_on": [],
        },
        "person": {"born_on": "1993-01-15", "weight_kg": 72.0, "weighed_on": "2027-02-02"},
        "injury": {
            "at": "2027-02-02T11:00",
            "presented_at": "2027-02-02T12:10",
            "side": "right",
            "bone_segment": "42",
            "fracture_class": "A2",
            "edition": 2018,
            "fibula": "other level",
            "open_grade": "closed",
        },
        "treatments": [
            {"kind": "intramedullary_nail", "at": "2027-02-02T15:00", "fixation_principle": "relative"},
        ],
        "history": [],
    }
