"""How the benchmark measures: rows of the table, and the best processor time of several rounds."""

import time
from collections.abc import Callable
from dataclasses import dataclass

ROUNDS = 7


class NotHere(Exception):
    """A part that a row measures is missing; the message says which."""


@dataclass(frozen=True)
class Row:
    """One line of the table. `value` at least (or at most) `aim`; without an aim it only informs."""

    what: str
    figures: str
    value: float
    at_least: float | None = None
    at_most: float | None = None

    @property
    def verdict(self) -> str:
        """Say how the value stands to its aim."""
        if self.at_least is not None:
            return f"aim at least {self.at_least:g}: {'yes' if self.value >= self.at_least else 'NOT YET'}"
        if self.at_most is not None:
            return f"aim at most {self.at_most:g}: {'yes' if self.value <= self.at_most else 'NOT YET'}"
        return "no aim"


def best_seconds(*jobs: Callable[[], object]) -> list[float]:
    """Run the jobs in turn, several rounds, and return the best processor time of each."""
    for job in jobs:
        job()  # warm: imports, caches, compiled patterns
    times = [[seconds(job) for job in jobs] for _ in range(ROUNDS)]
    return [min(column) for column in zip(*times, strict=True)]


def seconds(job: Callable[[], object]) -> float:
    """Return the processor time of one run."""
    started = time.process_time()
    job()
    return time.process_time() - started
