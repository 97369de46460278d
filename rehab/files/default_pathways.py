"""The pathways in use: those of the program, or the clinic's own copy where the settings name a folder."""

from functools import cache
from pathlib import Path

from django.conf import settings

from rehab.engine.pathway import Pathways
from rehab.engine.pathway_files import load_pathways


def default_pathways() -> Pathways:
    """Read the pathway files in use, once a process; here nobody has signed them."""
    return _pathways_in(settings.FF_PATHWAY_FOLDER)


@cache
def _pathways_in(clinic_folder: str) -> Pathways:
    return load_pathways(clinic_folder=Path(clinic_folder) if clinic_folder else None)
