import os
import signal
import subprocess
import sys

import pytest
import redis

from tests.support.celery_worker import running_worker
from tests.support.databases import postgres_url, sqlite_url
from tests.support.other_process import ROOT, call_elsewhere, clean_environment
from tests.support.text_gateway import text_gateway

pytestmark = pytest.mark.slow

N_TEXTS = 30
OWED = "tests.support.owed_texts"


def manage(*words, **environment):
    return subprocess.Popen(
        [sys.executable, "manage.py", *words], cwd=ROOT, env=clean_environment(**environment), stderr=subprocess.DEVNULL
    )


def test_a_dispatcher_killed_while_sending_loses_no_message(tmp_path):
    url = sqlite_url(tmp_path)
    call_elsewhere(OWED, "owe", N_TEXTS, DATABASE_URL=url)
    with text_gateway(seconds=0.05) as gateway:
        dispatcher = manage("dispatch", DATABASE_URL=url, SMS_URL=gateway.url)
        gateway.wait_for(N_TEXTS // 3)
        dispatcher.send_signal(signal.SIGKILL)
        dispatcher.wait()
        n_before = len(gateway.keys)
        call_elsewhere(OWED, "end_leases", DATABASE_URL=url)
        assert manage("send_reminders", DATABASE_URL=url, SMS_URL=gateway.url).wait() == 0

    assert n_before < N_TEXTS
    assert len(gateway.keys) == N_TEXTS
    assert max(gateway.keys.values()) <= 2  # the one in hand may come twice, under the same key
    assert sum(gateway.keys.values()) <= N_TEXTS + 1
    assert call_elsewhere(OWED, "states", DATABASE_URL=url) == {"sent": N_TEXTS}


def test_a_dispatcher_told_to_stop_finishes_what_it_holds(tmp_path):
    url = sqlite_url(tmp_path)
    call_elsewhere(OWED, "owe", 3, DATABASE_URL=url)
    with text_gateway(seconds=0.5) as gateway:
        dispatcher = manage("dispatch", DATABASE_URL=url, SMS_URL=gateway.url)
        gateway.wait_for(1)
        dispatcher.send_signal(signal.SIGTERM)

        assert dispatcher.wait(timeout=20) == 0
    states = call_elsewhere(OWED, "states", DATABASE_URL=url)
    assert states["sent"] == len(gateway.keys)
    assert set(states) == {"sent", "due"}  # nothing is left half done, nothing new was begun


def test_two_dispatchers_on_one_outbox_send_nothing_twice(tmp_path):
    url = sqlite_url(tmp_path)
    call_elsewhere(OWED, "owe", N_TEXTS, DATABASE_URL=url)
    with text_gateway(seconds=0.02) as gateway:
        pair = [manage("dispatch", DATABASE_URL=url, SMS_URL=gateway.url) for _ in range(2)]
        gateway.wait_for(N_TEXTS)
        for dispatcher in pair:
            dispatcher.send_signal(signal.SIGTERM)
        assert [dispatcher.wait(timeout=20) for dispatcher in pair] == [0, 0]

    assert set(gateway.keys.values()) == {1}


def test_a_broker_that_is_down_costs_a_booking_seconds_and_loses_nothing(tmp_path):
    """owe() books through the services with a broker set that nobody listens at."""
    url, nobody = sqlite_url(tmp_path), "redis://127.0.0.1:9/0"
    ids = call_elsewhere(OWED, "owe", 2, DATABASE_URL=url, REDIS_URL=nobody)

    seconds = call_elsewhere(OWED, "ask_workers", ids, DATABASE_URL=url, REDIS_URL=nobody)

    assert seconds < 10
    assert call_elsewhere(OWED, "states", DATABASE_URL=url) == {"due": 2}


@pytest.mark.services
def test_a_real_worker_sends_every_message_once_and_the_broker_never_saw_a_name():
    broker = os.environ["REDIS_URL"]
    with postgres_url(os.environ["DATABASE_URL"]) as url, text_gateway() as gateway:
        ids = call_elsewhere(OWED, "owe", N_TEXTS, DATABASE_URL=url)
        call_elsewhere(OWED, "ask_workers", ids * 2, DATABASE_URL=url, REDIS_URL=broker)
        assert not words_in(broker) & {"Ann", "Tolliver", "7700", "example.org"}
        os.environ["SMS_URL"] = gateway.url
        try:
            with running_worker(url, broker):
                gateway.wait_for(N_TEXTS)
        finally:
            del os.environ["SMS_URL"]
        assert call_elsewhere(OWED, "states", DATABASE_URL=url) == {"sent": N_TEXTS}

    assert set(gateway.keys.values()) == {1}


@pytest.mark.services
def test_a_worker_killed_while_sending_loses_no_message():
    broker = os.environ["REDIS_URL"]
    with postgres_url(os.environ["DATABASE_URL"]) as url, text_gateway(seconds=0.05) as gateway:
        ids = call_elsewhere(OWED, "owe", N_TEXTS, DATABASE_URL=url)
        os.environ["SMS_URL"] = gateway.url
        try:
            with running_worker(url, broker) as worker:
                call_elsewhere(OWED, "ask_workers", ids, DATABASE_URL=url, REDIS_URL=broker)
                gateway.wait_for(N_TEXTS // 3)
                worker.kill()
                worker.wait()
        finally:
            del os.environ["SMS_URL"]
        call_elsewhere(OWED, "end_leases", DATABASE_URL=url)
        assert manage("send_reminders", DATABASE_URL=url, SMS_URL=gateway.url).wait() == 0
        assert call_elsewhere(OWED, "states", DATABASE_URL=url) == {"sent": N_TEXTS}

    assert len(gateway.keys) == N_TEXTS
    assert max(gateway.keys.values()) <= 2


def words_in(broker):
    """Everything that lies in the broker, as one text, cut into the words looked for."""
    client = redis.Redis.from_url(broker)
    found = b""
    for key in client.scan_iter():
        kind = client.type(key)
        if kind == b"list":
            found += b"".join(client.lrange(key, 0, -1))
        elif kind == b"hash":
            found += b"".join(client.hgetall(key).values())
    text = found.decode(errors="replace")
    assert "send_message" in text  # there was something to look through
    return {word for word in ("Ann", "Tolliver", "7700", "example.org") if word in text}
