"""A real Celery worker for the services tests, in a process of its own."""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from tests.support.with_services import die_with_parent

ROOT = Path(__file__).resolve().parents[2]
READY = " ready."
START_SECONDS = 60


@contextmanager
def running_worker(database_url: str, redis_url: str, *options: str) -> Iterator[subprocess.Popen[bytes]]:
    """Keep one worker running on this database and this Redis; it is stopped at the end.

    Tests that kill it get the process; a worker killed by a test is not mourned here.
    """
    environment = {**os.environ, "DATABASE_URL": database_url, "REDIS_URL": redis_url}
    command = [sys.executable, "-m", "celery", "-A", "clinic.conf.celery", "worker", "--loglevel=INFO"]
    command += ["--concurrency=1", "--without-gossip", "--without-mingle", *options]
    with tempfile.TemporaryFile() as log:
        worker = subprocess.Popen(
            command, cwd=ROOT, env=environment, stdout=log, stderr=subprocess.STDOUT, preexec_fn=die_with_parent
        )
        try:
            wait_until_ready(worker, log)
            yield worker
        finally:
            worker.terminate()
            worker.wait(timeout=30)


def wait_until_ready(worker: subprocess.Popen[bytes], log: IO[bytes]) -> None:
    """Wait until the worker has said that it is ready, or fail with what it said."""
    deadline = time.monotonic() + START_SECONDS
    while time.monotonic() < deadline:
        said = os.pread(log.fileno(), 1_000_000, 0).decode(errors="replace")
        if READY in said:
            return
        if worker.poll() is not None:
            break
        time.sleep(0.1)
    raise AssertionError(f"the Celery worker did not become ready:\n{said[-3000:]}")
