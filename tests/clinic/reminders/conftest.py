import pytest

from clinic.reminders.models import OutboxMessage


@pytest.fixture
def confirmation(booked):
    return OutboxMessage.objects.get(kind="confirmation")


@pytest.fixture
def reminder(booked):
    return OutboxMessage.objects.get(kind="first reminder")


@pytest.fixture
def gateway(monkeypatch):
    """A text gateway that takes everything and remembers each key; `answers` are given before that."""
    from clinic.reminders import sending

    class Gateway:
        def __init__(self):
            self.taken, self.answers = [], []

        def __call__(self, message):
            if self.answers:
                raise self.answers.pop(0)
            self.taken.append(str(message.uuid))

    gateway = Gateway()
    monkeypatch.setitem(sending.SENDERS, "sms", gateway)
    monkeypatch.setitem(sending.SENDERS, "email", gateway)
    return gateway
