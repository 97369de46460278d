"""Send what is due, again and again."""

import logging
import signal
import threading
from collections.abc import Callable

from django.conf import settings
from django.core.management.base import BaseCommand
from django.db import Error, close_old_connections

from clinic.common.clock import now
from clinic.jobs.heartbeat import beat
from clinic.reminders.sending import send_due
from clinic.reminders.tasks import SWEEP

log = logging.getLogger(__name__)


class Command(BaseCommand):
    """The dispatcher: looks every second or so, sends what is due, and stops cleanly when told to."""

    help = "Sends what is due, every FF_DISPATCH_SECONDS, until it is told to stop. Needs no broker."

    def handle(self, *args, **options) -> None:
        """Go round until a signal comes; the message in hand is finished first."""
        stop = threading.Event()
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, lambda *_: stop.set())
        while not stop.is_set():
            if not go_round(stop.is_set):
                stop.wait(settings.FF_DISPATCH_SECONDS)


def go_round(is_stopping: Callable[[], bool]) -> int:
    """Send one batch; say how many messages ended. A database that is away is waited for."""
    try:
        beat(SWEEP, now())
        return sum(send_due(now, at_most=50, is_stopping=is_stopping).values())
    except Error:
        log.exception("the database did not answer; trying again")
        return 0
    finally:
        close_old_connections()
