"""Child processes that are started again when they die, and never outlive their parent."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence

# The guard waits at a pipe whose other end is the parent's. When the parent goes, by kill -9 or by
# a power cut of its own making, the pipe closes and the guard takes the child with it.
GUARD = """
exec 3<&0 </dev/null
"$@" 3<&- &
child=$!
(
  cat <&3 >/dev/null
  kill -TERM $child
  seconds=0
  while kill -0 $child && [ $seconds -lt {grace} ]; do sleep 1; seconds=$((seconds + 1)); done
  kill -KILL $child
) 2>/dev/null &
watcher=$!
trap 'kill -TERM $child 2>/dev/null' TERM INT
while :; do
  wait $child; code=$?
  kill -0 $child 2>/dev/null || break
done
kill $watcher 2>/dev/null
exit $code
"""
GRACE_SECONDS = 30
SHORT_LIFE_SECONDS = 10  # a child that lives shorter is started again more and more slowly
LONGEST_PAUSE_SECONDS = 60


class Child:
    """One program that shall run as long as we do."""

    def __init__(self, name: str, command: Sequence[str], environment: Mapping[str, str] | None = None) -> None:
        self.name, self.command = name, list(command)
        self.environment = {**os.environ, **(environment or {})}
        self.process: subprocess.Popen[bytes] | None = None
        self.n_starts = 0
        self._n_short_lives, self._started, self._next_start = 0, 0.0, 0.0

    def start(self) -> None:
        """Start the program under its guard, in a process group of its own."""
        guarded = ["/bin/sh", "-c", GUARD.format(grace=GRACE_SECONDS), "guard", *self.command]
        self.process = subprocess.Popen(  # noqa: S603 - our own commands
            guarded, stdin=subprocess.PIPE, env=self.environment, start_new_session=True
        )
        self.n_starts += 1
        self._started = time.monotonic()

    def tend(self) -> None:
        """Start it again if it has died; the more often it dies at once, the longer the pause."""
        if self.process is None:
            if time.monotonic() >= self._next_start:
                self.start()
            return
        if self.process.poll() is None:
            return
        is_short = time.monotonic() - self._started < SHORT_LIFE_SECONDS
        self._n_short_lives = self._n_short_lives + 1 if is_short else 0
        pause = min(LONGEST_PAUSE_SECONDS, 2**self._n_short_lives - 1)
        sys.stderr.write(f"{self.name} ended with {self.process.returncode}; starting it again in {pause} s\n")
        self._close()
        self.process, self._next_start = None, time.monotonic() + pause

    def stop(self) -> None:
        """Ask it to stop."""
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)

    def wait(self, seconds: float) -> None:
        """Wait for its end; after `seconds` it is ended by force."""
        if self.process is None:
            return
        try:
            self.process.wait(timeout=max(0.1, seconds))
        except subprocess.TimeoutExpired:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
        self._close()

    def _close(self) -> None:
        if self.process is not None and self.process.stdin is not None:
            self.process.stdin.close()


def run_together(children: Sequence[Child], *, is_stopping) -> None:
    """Keep every child running until `is_stopping()`, then stop them all cleanly."""
    for child in children:
        child.start()
    while not is_stopping():
        for child in children:
            child.tend()
        time.sleep(0.2)
    for child in children:
        child.stop()
    deadline = time.monotonic() + GRACE_SECONDS
    for child in children:
        child.wait(deadline - time.monotonic())
