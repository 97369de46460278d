import os

import pytest

from tests.support.databases import postgres_url, sqlite_url
from tests.support.other_process import call_elsewhere

pytestmark = pytest.mark.slow

ROUNDS = 5
ONE_EACH = {
    "booked": ROUNDS,
    "full": ROUNDS * 7,
    "over_booked": 0,
    "consultations_taken": ROUNDS,
    "physiotherapy_taken": ROUNDS,  # what the losers took at the other station was given back
    "bookings": ROUNDS,
    "facts": ROUNDS,
    "confirmations": ROUNDS,
}


def test_of_eight_clerks_in_eight_processes_one_gets_the_last_place_on_sqlite(tmp_path):
    counted = call_elsewhere("tests.support.last_place", "race", ROUNDS, DATABASE_URL=sqlite_url(tmp_path))

    assert counted == ONE_EACH


@pytest.mark.services
def test_of_eight_clerks_in_eight_processes_one_gets_the_last_place_on_postgresql():
    with postgres_url(os.environ["DATABASE_URL"]) as url:
        counted = call_elsewhere("tests.support.last_place", "race", ROUNDS, DATABASE_URL=url)

    assert counted == ONE_EACH
