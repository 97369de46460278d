"""One table of speeds, as ratios to a limit measured in the same run: `make bench`.

Seconds belong to the machine; ratios travel. Every figure is taken over several rounds in
processor time, so that other work on the machine matters little. It is a picture, not a test:
nothing fails here, and a row whose part is missing says so.
"""

import os
import sys

import django

from tests.bench.timing import NotHere, Row


def main() -> int:
    """Print the table."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.conf.settings")
    os.environ.setdefault("FF_LOG_LEVEL", "WARNING")
    django.setup()
    for measure in (whole_plans, milestones, milestones_in_windows, sheet, invitation):
        try:
            row = measure()
        except (NotHere, ImportError) as missing:
            print(f"{measure.__name__.replace('_', ' '):<52} skipped: {missing}", flush=True)
        else:
            print(f"{row.what:<52} {row.value:>9,.2f}  {row.verdict:<26} {row.figures}", flush=True)
    return 0


# Each measure brings in its part by itself, so that one missing part costs one row.


def whole_plans() -> Row:
    """Full plans a second."""
    from tests.bench import plans

    return plans.whole_plans()


def milestones() -> Row:
    """Twelve milestones moved on to clinic days."""
    from tests.bench import plans

    return plans.milestones()


def milestones_in_windows() -> Row:
    """The same, nearest in a window."""
    from tests.bench import plans

    return plans.milestones_in_windows()


def sheet() -> Row:
    """One sheet beside an empty document."""
    from tests.bench import sheets

    return sheets.sheet()


def invitation() -> Row:
    """One invitation beside a string built by hand."""
    from tests.bench import invitations

    ((what, ours, by_hand),) = invitations.rows()
    figures = f"{ours / by_hand:.1f} times the work of the string"
    return Row(what.replace(" : ", " / "), figures, by_hand / ours, at_least=1 / 25)


if __name__ == "__main__":
    sys.exit(main())
