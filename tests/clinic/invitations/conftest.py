import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest

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
        _missing("node and npm are not installed (Debian: apt-get install nodejs npm)")
    if not (JS_FOLDER / "node_modules" / "ical.js" / "package.json").exists():
        done = subprocess.run([shutil.which("npm"), "ci"], cwd=JS_FOLDER, capture_output=True, text=True, check=False)
        if done.returncode:
            _missing(f"npm ci did not work: {done.stderr.strip()[-300:]}")
    return JS_FOLDER


def _missing(reason: str):
    if os.environ.get("FF_REQUIRE_NODE") == "1":
        pytest.fail(f"FF_REQUIRE_NODE=1, but {reason}")
    pytest.skip(reason)
