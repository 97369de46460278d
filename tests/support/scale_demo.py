"""The clinic as a hospital group runs it, on this machine: `make scale-demo`.

Inside with_services.py, so PostgreSQL and Redis are there. One web server with several
processes, several Celery workers, one clock; all stop together, on Ctrl-C or when one of them ends.
"""

import os
import signal
import subprocess
import sys
import tempfile
import time
from argparse import ArgumentParser
from contextlib import ExitStack
from pathlib import Path

from tests.support.with_services import die_with_parent

ROOT = Path(__file__).resolve().parents[2]
CELERY = [sys.executable, "-m", "celery", "-A", "clinic.conf.celery", "--quiet"]
PORT = os.environ.get("PORT", "8000")
STOP_SECONDS = 20


def main() -> int:
    """Fill the database, start every process and wait for the end of one, or for Ctrl-C."""
    options = read_options()
    os.environ.setdefault("SITE_URL", f"http://127.0.0.1:{PORT}")
    filled = [sys.executable, "manage.py", "demo", "--no-serve", "--port", PORT]  # fills it and says how to sign in
    # The clock's first tick comes half a minute later: until then nobody would know that messages are sent.
    first_sweep = [*CELERY, "call", "clinic.reminders.tasks.sweep_outbox"]
    for command in (filled, first_sweep):
        subprocess.run(command, cwd=ROOT, check=True)
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, stop)
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="ff-beat-")))
        processes = [stack.enter_context(started(command)) for command in commands(options.workers, folder)]
        print(f"Running in {len(processes)} processes; Ctrl-C stops it.", flush=True)
        try:
            wait_for_first_end(processes)
        except KeyboardInterrupt:
            print("\nStopping.", flush=True)
            return 0
        finally:
            stop_all(processes)
    print("One of the processes ended by itself, so all were stopped; its words are above.")
    return 1


def read_options():
    """Read how many workers are wanted."""
    parser = ArgumentParser(prog="scale_demo", description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--workers", type=int, default=2)
    return parser.parse_args()


def commands(workers: int, folder: Path) -> list[list[str]]:
    """Return the command of each process; the clock keeps its notes in the folder."""
    web = [sys.executable, "-m", "gunicorn", "clinic.conf.wsgi:application", "--workers=2"]
    web += [f"--bind=127.0.0.1:{PORT}", "--no-control-socket", "--log-level=warning"]
    hands = [
        [*CELERY, "worker", "--loglevel=WARNING", "--concurrency=1", f"--hostname=worker-{n}@%h"]
        for n in range(1, workers + 1)
    ]
    clock = [*CELERY, "beat", "--loglevel=WARNING", "--pidfile=", f"--schedule={folder / 'schedule'}"]
    return [web, *hands, clock]


def started(command: list[str]) -> subprocess.Popen[bytes]:
    """Start one process that does not outlive us."""
    return subprocess.Popen(command, cwd=ROOT, preexec_fn=die_with_parent)


def stop(_number: int, _frame: object) -> None:
    """Turn a signal into the exception that ends the waiting."""
    raise KeyboardInterrupt


def wait_for_first_end(processes: list[subprocess.Popen[bytes]]) -> None:
    """Return when any of the processes has ended."""
    while all(process.poll() is None for process in processes):
        time.sleep(0.2)


def stop_all(processes: list[subprocess.Popen[bytes]]) -> None:
    """Ask all to stop, then insist."""
    for process in processes:
        process.terminate()
    deadline = time.monotonic() + STOP_SECONDS
    for process in processes:
        try:
            process.wait(timeout=max(0.1, deadline - time.monotonic()))
        except subprocess.TimeoutExpired:
            process.kill()


if __name__ == "__main__":
    sys.exit(main())
