"""Background work: a function that a worker runs. Only clinic.jobs and clinic.conf know Celery.

The database row is the truth. Waking is a courtesy: without a broker the dispatcher finds the row
within a second, with a broker that is down the sweep finds it within half a minute.
"""

import logging
from collections.abc import Callable

from django.conf import settings
from django.db import transaction

log = logging.getLogger(__name__)


class Job:
    """A function with ids as arguments, run in this process or by a Celery worker."""

    def __init__(self, function: Callable[..., object]) -> None:
        self.function = function
        self.name = f"{function.__module__}.{function.__name__}"
        self._task = _celery_task(self.name, function) if settings.REDIS_URL else None

    def __call__(self, *ids: int) -> object:
        """Run it here and now."""
        return self.function(*ids)

    def wake(self, *ids: int) -> None:
        """Once the transaction is committed, ask a worker to run it; a rollback asks nobody."""
        if self._task is not None:
            transaction.on_commit(lambda: self.ask(*ids), robust=True)

    def ask(self, *ids: int) -> None:
        """Put the job on the broker; a broker that is down costs time, never a message."""
        assert self._task is not None, "there is no broker to ask: set REDIS_URL"
        try:
            self._task.apply_async(args=ids, retry=False)
        except Exception as broken:
            log.warning("no worker was woken for %s: %s", self.name, type(broken).__name__)


def _celery_task(name: str, function: Callable[..., object]):
    from clinic.jobs.celery_app import app  # only where there is a broker: it takes its time to load

    return app.task(name=name, ignore_result=True)(function)


def job(function: Callable[..., object]) -> Job:
    """Make a function a job. Its docstring says why running it twice or late is safe."""
    return Job(function)
