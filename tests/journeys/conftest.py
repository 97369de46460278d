"""A clinic that runs, on Thursday 4 February 2027: a live server, a real browser, a real SMTP server."""

import socket
from collections.abc import Iterator
from datetime import date, timedelta
from email import message_from_bytes, policy
from email.message import EmailMessage

import pytest
import time_machine
from aiosmtpd.controller import Controller

from clinic.people.models import Role
from tests.support import cast
from tests.support.browser import DESKTOP

THURSDAY = cast.datetime(2027, 2, 4, 10, 0, tzinfo=cast.UTC)
PASSWORD = "stone-lantern-42"


class Sink:
    """Takes every message a mail server is given, and keeps it."""

    def __init__(self) -> None:
        self.messages: list[EmailMessage] = []

    async def handle_DATA(self, server, session, envelope):  # noqa: N802 - the name aiosmtpd calls
        self.messages.append(message_from_bytes(envelope.content, policy=policy.default))
        return "250 kept"


def free_port() -> int:
    """A port that nobody listens at."""
    with socket.create_server(("127.0.0.1", 0)) as listener:
        return listener.getsockname()[1]


@pytest.fixture
def mailbox(settings) -> Iterator[Sink]:
    """A real SMTP server on this machine; the clinic's mail goes to it."""
    sink = Sink()
    controller = Controller(sink, hostname="127.0.0.1", port=free_port())
    controller.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", controller.port
    try:
        yield sink
    finally:
        controller.stop()


@pytest.fixture
def clinic(transactional_db):
    """An open clinic with ten weeks of sessions, a clerk, a surgeon and a physiotherapist who can sign in."""
    with time_machine.travel(THURSDAY, tick=True):
        site = cast.make_site()
        for role, name in (
            (Role.CLERK, "Cora Finch"),
            (Role.SURGEON, "Sita Rowan"),
            (Role.PHYSIOTHERAPIST, "Pavel Marsh"),
        ):
            staff = cast.make_staff(site, role, name)
            staff.user.username = role.value
            staff.user.set_password(PASSWORD)
            staff.user.save()
        days = [date(2027, 2, 3) + timedelta(days=n) for n in range(70)]
        for day in days:
            if day.weekday() in (0, 2, 4):
                cast.make_session(site, day)
        yield site


@pytest.fixture(params=[True, False], ids=["with scripts", "without scripts"])
def desk(request, browser, live_server):
    """A page at the clinic's address, with and without scripts. Anything that breaks on it breaks the test."""
    context = browser.new_context(
        viewport=DESKTOP, base_url=live_server.url, java_script_enabled=request.param, accept_downloads=True
    )
    context.set_default_timeout(10_000)
    page, troubles = context.new_page(), []
    page.on("pageerror", lambda error: troubles.append(f"script: {error}"))
    page.on("console", lambda message: troubles.append(message.text) if message.type == "error" else None)
    page.on("request", lambda asked: None if asked.url.startswith(live_server.url) else troubles.append(asked.url))
    yield page
    context.close()
    assert troubles == []
