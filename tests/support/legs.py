"""Run the whole suite in its legs and close with one line that counts them: `make test`.

Leg 1 runs on SQLite and needs nothing. Leg 2 runs on a throw-away PostgreSQL and Redis: every
test that reads or writes the database once more, and those that need the services or a browser.
Both legs always run, so one run tells of all that is wrong.
"""

import subprocess
import sys
import tempfile
from argparse import ArgumentParser
from collections import Counter
from pathlib import Path
from xml.etree import ElementTree

ROOT = Path(__file__).resolve().parents[2]
PYTEST = [sys.executable, "-m", "pytest", "-q"]
WITH_SERVICES = [sys.executable, str(ROOT / "tests/support/with_services.py")]
# Two cores finish the first leg in little more than half the time; the second waits mostly for its servers.
TWO_AT_A_TIME = ["-n", "2"]
NO_TESTS = 5
USUAL_LEGS = ("sqlite", "services")


def main() -> int:
    """Run the legs asked for; 0 when something ran and nothing failed."""
    options = read_options()
    with tempfile.TemporaryDirectory() as folder:
        reports = [run_leg(leg, Path(folder) / f"{leg}.xml", options.services) for leg in options.legs or USUAL_LEGS]
    counts = sum((count for count, _ in reports), Counter())
    broken = [code for _, code in reports if code not in (0, 1, NO_TESTS)]
    print(f"\n{closing_line(counts)}", flush=True)
    return 1 if broken or counts["failed"] or not counts["passed"] else 0


def read_options():
    """Read which legs to run and where the second takes its servers from."""
    parser = ArgumentParser(prog="legs", description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--services", choices=("auto", "system", "wheels"), default="auto")
    parser.add_argument("--leg", dest="legs", action="append", choices=("sqlite", "services", "short"))
    return parser.parse_args()


def run_leg(leg: str, report: Path, origin: str) -> tuple[Counter, int]:
    """Run one leg and return what it counted and its exit code."""
    print(f"\n== {leg} leg", flush=True)
    code = subprocess.run([*command_of(leg, origin), f"--junitxml={report}"], cwd=ROOT, check=False).returncode
    return (count(report), code) if report.exists() else (Counter(failed=1), code or 1)


def command_of(leg: str, origin: str) -> list[str]:
    """Return the command of a leg. The short one is only a proof that the servers of the wheels serve."""
    if leg == "sqlite":
        return [*PYTEST, *TWO_AT_A_TIME, "-m", "not services and not browser and not long"]
    marks = "services" if leg == "short" else "(services or browser or database) and not long"
    return [*WITH_SERVICES, "--from", origin, "--", *PYTEST, "-m", marks]


def count(report: Path) -> Counter:
    """Count the tests of a JUnit report by how they ended; an error counts as a failure."""
    counts: Counter = Counter()
    for case in ElementTree.parse(report).iter("testcase"):
        ends = {child.tag for child in case}
        counts["failed" if ends & {"failure", "error"} else "skipped" if "skipped" in ends else "passed"] += 1
    return counts


def closing_line(counts: Counter) -> str:
    """Write the line that tells the whole run."""
    skipped = f", {counts['skipped']} skipped" if counts["skipped"] else ""
    return f"{counts['passed']} passed, {counts['failed']} failed{skipped}"


if __name__ == "__main__":
    sys.exit(main())
