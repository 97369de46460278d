"""Everything that can be said of the code without running the suite: `make check`.

All checks run, two at a time, and the end names those that found something.
"""

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PYTHON = sys.executable
# What a production start would have in its environment; nothing is connected to.
AS_IN_PRODUCTION = {
    "DEBUG": "0",
    "SECRET_KEY": "only-for-the-deployment-check-0123456789-abcdefghijklmnopqrstuvwxyz",
    "ALLOWED_HOSTS": "clinic.example.org",
    "SITE_URL": "https://clinic.example.org",
    "DATABASE_URL": "postgresql://clinic@db.example.org/clinic",
    "REDIS_URL": "redis://redis.example.org:6379/0",
    "EMAIL_URL": "smtp://mail.example.org:25",
}


@dataclass(frozen=True)
class Check:
    """One check: its name, its command, and what it needs in the environment."""

    name: str
    command: list[str]
    environment: dict[str, str] = field(default_factory=dict)


CHECKS = (
    Check("types", [PYTHON, "-m", "mypy"]),
    Check("architecture, lock files and docs", [PYTHON, "-m", "pytest", "-q", "tests/architecture"]),
    Check("format", [PYTHON, "-m", "ruff", "format", "--check", "."]),
    Check("lint", [PYTHON, "-m", "ruff", "check", "."]),
    Check("direction of imports", [PYTHON, str(Path(PYTHON).with_name("lint-imports"))]),
    Check("templates", [PYTHON, "-m", "djlint", "templates", "--lint", "--quiet"]),
    Check("migrations", [PYTHON, "manage.py", "makemigrations", "--check", "--dry-run"]),
    Check("deployment", [PYTHON, "manage.py", "check", "--deploy", "--fail-level", "WARNING"], AS_IN_PRODUCTION),
)


def main() -> int:
    """Run every check; 0 when none found anything."""
    with ThreadPoolExecutor(max_workers=2) as pool:
        outcomes = list(pool.map(run, CHECKS))
    broken = [check.name for check, is_good in zip(CHECKS, outcomes, strict=True) if not is_good]
    print(f"\nmake check: these found something: {'; '.join(broken)}" if broken else "\nmake check: nothing found")
    return 1 if broken else 0


def run(check: Check) -> bool:
    """Run one check and show what it said only when it found something."""
    answer = subprocess.run(
        check.command,
        cwd=ROOT,
        env={**os.environ, **check.environment},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    is_good = answer.returncode == 0
    print(f"{'ok  ' if is_good else 'LOOK'} {check.name}" + ("" if is_good else f"\n{answer.stdout}"), flush=True)
    return is_good


if __name__ == "__main__":
    sys.exit(main())
