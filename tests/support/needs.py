"""What a test may need of the machine, and the one sentence that says what is missing and how to get it.

Each function answers None when the need is met. A missing need skips the test with that
sentence; with FF_REQUIRE_SERVICES, FF_REQUIRE_BROWSER or FF_REQUIRE_PDF set to 1 it fails,
so that a run that must be whole cannot be green by leaving something out.
"""

import os
import shutil
from collections.abc import Callable
from functools import cache

APT = "sudo apt-get install -y --no-install-recommends"
BROWSERS = ("chromium", "chromium-browser", "google-chrome")


def missing_services() -> str | None:
    """Say how to get PostgreSQL and Redis for this run."""
    if os.environ.get("DATABASE_URL", "").startswith("postgres") and os.environ.get("REDIS_URL"):
        return None
    return (
        "no PostgreSQL and Redis in DATABASE_URL and REDIS_URL; run it through `make test`, or "
        ".venv/bin/python tests/support/with_services.py -- .venv/bin/pytest -m services"
    )


def browser_program() -> str | None:
    """Return the path of a Chromium: FF_BROWSER, else the first one found, else None."""
    return os.environ.get("FF_BROWSER") or next(filter(None, map(shutil.which, BROWSERS)), None)


def missing_browser() -> str | None:
    """Say how to get a browser for the browser tests."""
    if browser_program():
        return None
    return f"no Chromium on this machine; {APT} chromium (or name one in FF_BROWSER)"


@cache
def missing_pdf() -> str | None:
    """Say how to get the libraries that draw the printed papers."""
    try:
        import weasyprint  # noqa: F401
    except OSError as fault:
        return f"no Pango ({fault.args[0]:.60}...); {APT} libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
    return None


NEEDS: dict[str, Callable[[], str | None]] = {
    "services": missing_services,
    "browser": missing_browser,
    "pdf": missing_pdf,
}


def is_required(need: str) -> bool:
    """Say whether this run must not leave out the tests with this need."""
    return os.environ.get(f"FF_REQUIRE_{need.upper()}") == "1"
