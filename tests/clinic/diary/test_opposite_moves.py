import os

import pytest

from tests.support.databases import postgres_url, sqlite_url
from tests.support.opposite_moves import N_CLERKS
from tests.support.other_process import call_elsewhere

pytestmark = pytest.mark.slow

ROUNDS = 10
ALL_MOVED = {"moved": N_CLERKS * ROUNDS, "taken": N_CLERKS}


def test_people_moved_in_opposite_directions_at_once_all_arrive_on_sqlite(tmp_path):
    counted = call_elsewhere("tests.support.opposite_moves", "cross", ROUNDS, DATABASE_URL=sqlite_url(tmp_path))

    assert counted == ALL_MOVED


@pytest.mark.services
def test_people_moved_in_opposite_directions_at_once_all_arrive_on_postgresql():
    with postgres_url(os.environ["DATABASE_URL"]) as url:
        counted = call_elsewhere("tests.support.opposite_moves", "cross", ROUNDS, DATABASE_URL=url)

    assert counted == ALL_MOVED
