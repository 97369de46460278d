"""A clinic's own copies of pathway files, made from the shipped ones with something changed."""

from pathlib import Path

from rehab.engine.pathway_faults import PathwayFaults
from rehab.engine.pathway_files import SHIPPED, load_pathways

NAIL, CAST, PLATE = "intramedullary_nail.toml", "long_leg_cast.toml", "plate_and_screws.toml"
OPEN, SHARED, SOURCES = "open_fracture.toml", "shared_rules.toml", "sources.toml"


def own_copy(folder: Path, file: str, *changes: tuple[str, str]) -> Path:
    """Put a copy of a shipped file into `folder`, each change made once; give back the folder."""
    text = (SHIPPED / file).read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text, f"{file} no longer holds: {before}"
        text = text.replace(before, after, 1)
    (folder / file).write_text(text, encoding="utf-8")
    return folder


def faults_of(folder: Path) -> list[str]:
    """The faults of a clinic's folder, as the lines a person reads."""
    try:
        load_pathways(clinic_folder=folder)
    except PathwayFaults as problem:
        return [str(fault) for fault in problem.faults]
    return []
