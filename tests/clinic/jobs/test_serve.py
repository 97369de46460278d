import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from tests.support.other_process import ROOT, clean_environment

pytestmark = pytest.mark.slow
SECONDS = 60


def wait_for(question, seconds=SECONDS):
    """Ask until the answer is yes."""
    deadline = time.monotonic() + seconds
    while not (answer := question()):
        assert time.monotonic() < deadline, f"it did not come true within {seconds} s"
        time.sleep(0.1)
    return answer


def processes_with(words):
    """The processes of this machine whose command line holds these words; guards carry their child's words too."""
    return {int(path.parent.name) for path in Path("/proc").glob("[0-9]*/cmdline") if words in words_of(path)}


def words_of(path):
    try:
        return path.read_bytes().decode(errors="replace")
    except OSError:
        return ""  # it has ended meanwhile


@pytest.fixture
def clinic(tmp_path):
    """A served clinic on a database of its own: its process, its port."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    command = [sys.executable, "manage.py", "serve", "--demo", f"--port={port}", "--workers=1"]
    environment = clean_environment(VAR_DIR=str(tmp_path), DATABASE_URL=f"sqlite:///{tmp_path}/clinic.sqlite3")
    process = subprocess.Popen(command, cwd=ROOT, env=environment, stderr=subprocess.DEVNULL)
    try:
        wait_for(lambda: health(port))
        yield process, port
    finally:
        if process.poll() is None:
            process.terminate()
        process.wait(timeout=40)


def health(port):
    """What the health page says, or None while nobody answers."""
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/healthz", timeout=5) as answer:
            return json.load(answer)
    except urllib.error.HTTPError as answer:
        with answer:
            return json.load(answer)
    except OSError:
        return None


def web_of(port):
    """The processes of the web server, without their guard."""
    found = processes_with(f"--bind=127.0.0.1:{port}")
    return {pid for pid in found if not words_of(Path(f"/proc/{pid}/cmdline")).startswith("/bin/sh")}


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="looks at /proc")
def test_one_command_serves_the_clinic_heals_it_and_stops_cleanly(clinic):
    process, port = clinic
    wait_for(lambda: health(port)["troubles"] == [])  # the dispatcher has gone round

    old = web_of(port)
    for pid in old:
        os.kill(pid, signal.SIGKILL)
    wait_for(lambda: web_of(port) - old)
    wait_for(lambda: health(port))

    process.send_signal(signal.SIGTERM)
    assert process.wait(timeout=40) == 0
    assert processes_with(f"--bind=127.0.0.1:{port}") == set()


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="looks at /proc")
def test_the_children_of_a_killed_clinic_do_not_outlive_it(clinic):
    process, port = clinic

    process.kill()
    process.wait()

    wait_for(lambda: processes_with(f"--bind=127.0.0.1:{port}") == set(), seconds=45)
    assert health(port) is None
