"""Say what this machine has for Firm Footing, and what is off without it: `make doctor`.

Runs on any Python from 3.11 on, before anything is installed.
"""

import ctypes
import os
import platform
import shutil
import socket
import sys
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

from tests.support.needs import APT, browser_program, missing_browser
from tests.support.with_services import CannotStart, find_postgresql, find_redis, first_line

ROOT = Path(__file__).resolve().parents[2]
PANGO = ("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0")


def main() -> int:
    """Print one line for each thing looked for."""
    for is_there, thing, words in findings():
        print(f"{'yes' if is_there else ' - '}  {thing:<20} {words}")
    return 0


def findings() -> Iterator[tuple[bool, str, str]]:
    """Yield (is it there, what, in words) for each thing."""
    yield (3, 11) <= sys.version_info[:2] < (3, 15), "Python 3.11 to 3.14", platform.python_version()
    yield python_packages()
    yield find_spec("uv") is not None, "fast installer", "uv in .venv" if find_spec("uv") else "pip is used instead"
    yield pango()
    yield postgresql()
    yield redis()
    yield bool(browser_program()), "browser for tests", browser_program() or missing_browser() or ""
    yield bool(shutil.which("pdftotext")), "pdftotext", "not needed; handy for reading a paper's text"
    yield port()


def python_packages() -> tuple[bool, str, str]:
    """Say how far .venv is filled."""
    if (ROOT / ".venv/.dev.stamp").exists():
        return True, "packages", "all that running and testing needs"
    if (ROOT / ".venv/.run.stamp").exists():
        return True, "packages", "what running needs; `make install` adds the rest"
    return False, "packages", "`make install` brings them"


def pango() -> tuple[bool, str, str]:
    """Say whether the printed papers can be drawn."""
    lacking = [name for name in PANGO if not is_loadable(name)] if sys.platform == "linux" else []
    fix = f"papers (PDF) are off; {APT} libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
    return not lacking, "Pango for papers", fix if lacking else "found"


def is_loadable(library: str) -> bool:
    """Say whether the system finds this library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def postgresql() -> tuple[bool, str, str]:
    """Say which PostgreSQL the tests would use."""
    try:
        found = find_postgresql("auto")
    except CannotStart:
        return False, "PostgreSQL for tests", "`make install` brings one"
    return True, "PostgreSQL for tests", f"{first_line([found.folder / 'postgres', '--version'])}, {found.origin}"


def redis() -> tuple[bool, str, str]:
    """Say which Redis the tests would use."""
    try:
        program, origin = find_redis("auto")
    except CannotStart:
        return False, "Redis for tests", "`make install` brings one"
    return True, "Redis for tests", f"{program.name}, {origin}"


def port() -> tuple[bool, str, str]:
    """Say whether the demo's port is free."""
    number = int(os.environ.get("PORT", "8000"))
    with socket.socket() as probe:
        is_taken = probe.connect_ex(("127.0.0.1", number)) == 0
    words = f"{number} is taken: make demo PORT=8001" if is_taken else f"{number} is free"
    return not is_taken, "port for the demo", words


if __name__ == "__main__":
    sys.exit(main())
