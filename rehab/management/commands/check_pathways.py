"""`check_pathways`: are the pathway files whole, in order, and is there a source behind every number?"""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from rehab.engine.pathway_files import SOURCES, PathwayReport, check_folder
from rehab.engine.pathway_kinds import Table, rows
from rehab.engine.pathway_number_checks import count_numbers
from rehab.words.pathway_faults import fault_text


class Command(BaseCommand):
    """Check the pathway files and print what was checked, or every fault."""

    help = gettext_lazy(  # type: ignore[assignment]
        "Check the pathway files: known keys, windows and stages in order, gates and authorisers known, a source "
        "behind every number. Prints what was checked. With faults: prints all of them and exits with status 1."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: Any) -> None:
        """Take the folder of the clinic's own copies."""
        parser.add_argument(
            "--folder",
            metavar="DIR",
            default=settings.FF_PATHWAY_FOLDER,
            help=_("a folder with a clinic's own copies; each replaces the shipped file of the same name"),
        )

    def handle(self, *, folder: str, **_options: Any) -> None:
        """Check, print, and exit with 1 when anything is wrong."""
        report = check_folder(clinic_folder=Path(folder) if folder else None)
        for warning in report.warnings:
            self.stdout.write(_("Warning: %(text)s") % {"text": fault_text(warning)})
        if report.faults:
            self._refuse(report)
        for line in summary(report, Path(folder) if folder else None):
            self.stdout.write(line)

    def _refuse(self, report: PathwayReport) -> None:
        for fault in report.faults:
            self.stderr.write(fault_text(fault), style_func=str)
        count = len(report.faults)
        words = ngettext("%(count)d fault. Nothing was loaded.", "%(count)d faults. Nothing was loaded.", count)
        self.stderr.write(words % {"count": count}, style_func=str)
        sys.exit(1)


def summary(report: PathwayReport, folder: Path | None) -> Iterator[str]:
    """What was checked, file by file, and what that does not mean."""
    for name, document in report.documents.items():
        if name != SOURCES:
            own = _(" (the clinic's own)") if folder and report.paths[name].parent == folder else ""
            yield f"{name}{own}: {_counts(document)}"
    if folder and not any(path.parent == folder for path in report.paths.values()):
        yield _("Warning: %(folder)s holds no pathway file; only the shipped files were checked.") % {"folder": folder}
    sources = len(report.documents[SOURCES])
    yield _("%(file)s: sources %(count)d, each with how it is known") % {"file": SOURCES, "count": sources}
    numbers = sum(count_numbers(document) for name, document in report.documents.items() if name != SOURCES)
    yield _(
        "Checked: files %(files)d, numbers %(numbers)d, each with a source; keys and names known; windows, visits and "
        "stages in order. Faults: 0. Warnings: %(warnings)d."
    ) % {"files": len(report.documents), "numbers": numbers, "warnings": len(report.warnings)}
    yield _("Checked is not approved: each version needs the signature of a named clinician.")


def _counts(document: Table) -> str:
    stages = [*rows(document, "stage"), *rows(document, "stage_without_default")]
    counts = [
        (_("visits %(count)d"), len(rows(document, "visit"))),
        (_("stages %(count)d"), len(stages)),
        (_("gates %(count)d"), sum(len(rows(stage, "gate")) for stage in stages)),
        (_("figures %(count)d"), len(rows(document, "figure"))),
        (_("numbers %(count)d"), count_numbers(document)),
    ]
    return ", ".join(words % {"count": count} for words, count in counts if count)
