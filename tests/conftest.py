"""What every test may rely on: the pinned time zones, and a clear word when the machine lacks something."""

import os
import zoneinfo

import hypothesis
import pytest

from tests.support.needs import NEEDS, is_required

DATABASE_FIXTURES = {"db", "transactional_db", "django_db_reset_sequences", "live_server", "admin_user", "admin_client"}

# Summer time of 2027 must not depend on how old this machine's own tables are.
zoneinfo.reset_tzpath(to=[])

# Shared cores pause a test for reasons of their own: a deadline would tell of the machine, not of us.
hypothesis.settings.register_profile("here", deadline=None)
hypothesis.settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
hypothesis.settings.load_profile("ci" if os.environ.get("CI") else "here")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Mark every test that asks for the database, so that a leg can choose them: `-m database`."""
    for item in items:
        if item.get_closest_marker("django_db") or DATABASE_FIXTURES & set(item.fixturenames):
            item.add_marker("database")


def pytest_runtest_setup(item):
    """Skip a test whose need is not met, or fail it where the run must be whole."""
    for need, missing in NEEDS.items():
        if item.get_closest_marker(need) and (reason := missing()):
            pytest.fail(reason, pytrace=False) if is_required(need) else pytest.skip(reason)


@pytest.fixture(scope="session")
def browser():
    """One real browser for the whole run; mark its tests `browser`."""
    from tests.support.browser import open_browser

    with open_browser() as browser, pytest.MonkeyPatch.context() as patch:
        # Playwright keeps an event loop in this thread, and Django then refuses plain database calls in it.
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
        yield browser


@pytest.fixture
def page(browser):
    """A desktop page that fails its test when anything on it breaks or leaves this machine."""
    from tests.support.browser import DESKTOP, open_page

    with open_page(browser, DESKTOP) as page:
        yield page


@pytest.fixture
def phone_page(browser):
    """The same at the width of a small telephone."""
    from tests.support.browser import PHONE, open_page

    with open_page(browser, PHONE) as page:
        yield page


@pytest.fixture
def celery_worker_process(transactional_db):
    """A real Celery worker on the test database; mark its tests `services`."""
    from django.db import connection

    from tests.support.celery_worker import running_worker

    url = database_url_of(connection.settings_dict)
    with running_worker(url, os.environ["REDIS_URL"]) as worker:
        yield worker


def database_url_of(settings):
    """Write the address of the PostgreSQL test database that this run made."""
    host = settings["OPTIONS"].get("host") or settings["HOST"]
    return f"postgresql://{settings['USER']}@/{settings['NAME']}?host={host}"
