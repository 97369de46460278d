"""What the tests of the pages share, beside the clinic's own cast: a day, sessions, a browser signed in."""

from datetime import date, timedelta

import pytest
import time_machine

from clinic.people.models import Role, StaffMember
from tests.support import cast

THURSDAY = cast.datetime(2027, 2, 4, 10, 0, tzinfo=cast.UTC)


@pytest.fixture
def today():
    """Everything in the test happens on Thursday 4 February 2027, at ten in the morning."""
    with time_machine.travel(THURSDAY, tick=True):
        yield date(2027, 2, 4)


@pytest.fixture
def manager(site):
    return cast.make_staff(site, Role.MANAGER, "Tove Okonjo")


@pytest.fixture
def sessions(site):
    """A session at half past nine on each clinic day of the ten weeks from 3 February 2027."""
    days = [date(2027, 2, 3) + timedelta(days=n) for n in range(70)]
    return [cast.make_session(site, day) for day in days if day.weekday() in (0, 2, 4)]


@pytest.fixture
def signed_in(client, today):
    """Sign somebody in, and give their browser."""

    def sign_in(staff: StaffMember):
        client.force_login(staff.user)
        return client

    return sign_in
