import pytest

from clinic.followup.services import book_visit, register_patient
from clinic.people.models import Role
from tests.support import cast


@pytest.fixture
def site(db):
    return cast.make_site()


@pytest.fixture
def clerk(site):
    return cast.make_staff(site, Role.CLERK, "Cora Finch")


@pytest.fixture
def physiotherapist(site):
    return cast.make_staff(site, Role.PHYSIOTHERAPIST, "Pavel Marsh")


@pytest.fixture
def surgeon(site):
    return cast.make_staff(site, Role.SURGEON, "Sita Rowan")


@pytest.fixture
def ann(clerk):
    """The episode of Ann Tolliver, nailed on Tuesday 2 February 2027 and registered the same day."""
    return register_patient(cast.typed(), by=clerk, at=cast.DAY_ZERO).episode


@pytest.fixture
def visit(ann):
    """Give a visit of Ann's plan by its code: the newest row of it."""

    def by_code(code, attempt=1):
        return ann.injury.planned_visits.get(code=code, attempt=attempt, treatment__number=1)

    return by_code


@pytest.fixture
def first_session(site):
    """Monday 15 February 2027: where the plan places Ann's first visit."""
    return cast.make_session(site, cast.date(2027, 2, 15))


@pytest.fixture
def booked(ann, visit, clerk, first_session):
    """Ann's first visit, booked on the day of the nail."""
    return book_visit(visit("N1"), first_session, by=clerk, at=cast.DAY_ZERO).booking
