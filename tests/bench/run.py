"""One table of speeds, as ratios to a limit measured in the same run: `make bench`.

Seconds belong to the machine; ratios travel. Every figure is the best of several rounds in
processor time, so that other work on the machine matters little. It is a picture, not a test:
nothing fails here, and a row whose part is missing says so.
"""

import os
import sys

import django

from tests.bench.timing import NotHere


def main() -> int:
    """Print the table."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.conf.settings")
    os.environ.setdefault("FF_LOG_LEVEL", "WARNING")
    django.setup()
    from tests.bench import invitations, plans, sheets

    for measure in (
        plans.whole_plans,
        plans.milestones,
        plans.milestones_in_windows,
        sheets.sheet,
        invitations.invitation,
    ):
        try:
            row = measure()
        except (NotHere, ImportError) as missing:
            print(f"{measure.__name__.replace('_', ' '):<52} skipped: {missing}", flush=True)
        else:
            print(f"{row.what:<52} {row.value:>9,.2f}  {row.verdict:<26} {row.figures}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
