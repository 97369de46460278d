"""What every start of the program checks: the pathway files, the project's own and the clinic's copies."""

from pathlib import Path

from django.conf import settings
from django.core.checks import CheckMessage, Error, register

from rehab.engine.pathway_files import check_folder
from rehab.words.pathway_faults import fault_text


@register("pathways")
def check_pathway_files(**_options) -> list[CheckMessage]:
    """Report every fault of every pathway file; with one, the program does not start."""
    folder = Path(settings.FF_PATHWAY_FOLDER) if settings.FF_PATHWAY_FOLDER else None
    report = check_folder(clinic_folder=folder)
    return [Error(fault_text(fault), id="rehab.E001") for fault in report.faults]
