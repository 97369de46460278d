"""Reads the pathway files, checks them, and returns them as frozen values.

The shipped files lie in rehab/pathways/. A clinic may keep changed copies in a folder of its
own: a file of the same name replaces the shipped one and is checked in the same way.
"""

import hashlib
import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from pathlib import Path

from rehab.engine import pathway_shapes as shapes
from rehab.engine.facts import TreatmentKind
from rehab.engine.figures import Figure, Source
from rehab.engine.pathway import Pathway
from rehab.engine.pathway_building import build_figure, build_pathway, build_shared, build_source
from rehab.engine.pathway_checks import check_treatment, check_visits
from rehab.engine.pathway_faults import (
    NO_FOLDER,
    NOT_A_PATHWAY_FILE,
    NOT_A_PATHWAY_FILE_MEANT,
    NOT_FOUND,
    NOT_TEXT,
    NOT_TOML,
    Fault,
    PathwayFaults,
    did_you_mean,
)
from rehab.engine.pathway_kinds import Shape, Table, check_shape, rows
from rehab.engine.pathway_number_checks import check_figures, check_shared, check_sources, unused_sources

SHIPPED = Path(__file__).resolve().parent.parent / "pathways"
MODIFIER, SHARED, SOURCES = "open_fracture.toml", "shared_rules.toml", "sources.toml"
FIGURE_FILES = ("classification.toml", "milestones.toml", "published_figures.toml")
SHAPES: Mapping[str, Shape] = {
    **{f"{kind.value}.toml": shapes.TREATMENT for kind in TreatmentKind},
    MODIFIER: shapes.OPEN_FRACTURE,
    SHARED: shapes.SHARED,
    FIGURE_FILES[0]: shapes.CLASSIFICATION,
    FIGURE_FILES[1]: shapes.MILESTONES,
    FIGURE_FILES[2]: shapes.PUBLISHED_FIGURES,
}

Signatures = Mapping[tuple[str, str, str], str]  # (treatment, version, digest) -> clinician


@dataclass(frozen=True, slots=True, eq=False)
class PathwayReport:
    """What was read, and all that is wrong with it. `documents` holds the files that are TOML."""

    documents: Mapping[str, Table]
    paths: Mapping[str, Path]
    faults: tuple[Fault, ...]
    warnings: tuple[Fault, ...]


def load_pathways(
    folder: Path | None = None, clinic_folder: Path | None = None, signed: Signatures | None = None
) -> dict[TreatmentKind, Pathway]:
    """Every treatment's pathway, by treatment.

    `signed` says who signed which content: (treatment, version, digest) to the clinician's
    name. Without a signature of exactly this content `approved_by` is None.

    Raises PathwayFaults with every fault of every file.
    """
    pathways = _built(folder, clinic_folder).pathways
    return {kind: replace(pathway, approved_by=_signer(pathway, signed or {})) for kind, pathway in pathways.items()}


def load_figures(folder: Path | None = None, clinic_folder: Path | None = None) -> dict[str, Figure]:
    """Figures to compare with (milestones, published figures, classification), by name.

    Raises PathwayFaults with every fault of every file.
    """
    return dict(_built(folder, clinic_folder).figures)


def load_sources(folder: Path | None = None, clinic_folder: Path | None = None) -> dict[str, Source]:
    """The entries of sources.toml, by key.

    Raises PathwayFaults with every fault of every file.
    """
    return dict(_built(folder, clinic_folder).sources)


def pathway_digest(
    treatment: TreatmentKind | str, folder: Path | None = None, clinic_folder: Path | None = None
) -> str:
    """SHA-256 of what a signature covers: the treatment's file, the open-fracture modifier, the shared rules.

    It changes when any word or number in them changes, and not when only a comment or a blank does.

    Raises PathwayFaults with every fault of every file.
    """
    return load_pathways(folder, clinic_folder)[TreatmentKind(treatment)].digest


def check_folder(folder: Path | None = None, clinic_folder: Path | None = None) -> PathwayReport:
    """Read and check every file, and report all faults and warnings without raising."""
    shipped = Path(folder) if folder else SHIPPED
    own = Path(clinic_folder) if clinic_folder else None
    return _checked(shipped, own, _stamps(shipped), _stamps(own) if own else ())


def _signer(pathway: Pathway, signed: Signatures) -> str | None:
    return signed.get((pathway.treatment.value, pathway.version, pathway.digest))


# ---------------------------------------------------------------- reading


def _stamps(folder: Path) -> tuple[tuple[str, int, int], ...]:
    """Name, time of change and size of each file: the cache is good while these are the same."""
    found = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    return tuple((path.name, path.stat().st_mtime_ns, path.stat().st_size) for path in found)


@lru_cache(maxsize=16)
def _checked(shipped: Path, own: Path | None, *_stamped: object) -> PathwayReport:
    faults = _strangers(own) if own else []
    paths = {name: _path_of(name, shipped, own) for name in (*SHAPES, SOURCES)}
    documents: dict[str, Table] = {}
    for name, path in paths.items():
        document = _read(name, path, faults)
        if document is not None:
            documents[name] = document
    sources = documents.get(SOURCES)
    numbered = {name: document for name, document in documents.items() if name != SOURCES}
    for name, document in numbered.items():
        faults += check_shape(name, "", document, SHAPES[name])
    faults += _check_source_entries(sources or {})
    faults += [fault for fault in _check_relations(numbered, sources) if fault not in faults]
    warnings = unused_sources(numbered, sources or {}, SOURCES)
    return PathwayReport(documents, paths, tuple(faults), tuple(warnings))


def _path_of(name: str, shipped: Path, own: Path | None) -> Path:
    return own / name if own and (own / name).is_file() else shipped / name


def _strangers(own: Path) -> list[Fault]:
    known = sorted((*SHAPES, SOURCES))
    if not own.is_dir():
        return [Fault(str(own), "", NO_FOLDER)]
    faults = []
    for path in sorted(own.glob("*.toml")):
        meant = did_you_mean(path.name, known)
        if path.name not in known:
            words = NOT_A_PATHWAY_FILE_MEANT if meant else NOT_A_PATHWAY_FILE
            faults.append(Fault(path.name, "", words, {"meant": meant, "known": ", ".join(known)}))
    return faults


def _read(name: str, path: Path, faults: list[Fault]) -> Table | None:
    """The file's tables, or None with the reason added to `faults`."""
    try:
        return tomllib.loads(path.read_bytes().decode("utf-8"), parse_float=Decimal)
    except FileNotFoundError:
        faults.append(Fault(name, "", NOT_FOUND, {"folder": path.parent}))
    except UnicodeDecodeError:
        faults.append(Fault(name, "", NOT_TEXT))
    except tomllib.TOMLDecodeError as error:
        faults.append(Fault(name, "", NOT_TOML, {"reason": error}))
    return None


def _check_source_entries(sources: Table) -> list[Fault]:
    shape = Shape({}, tables=dict.fromkeys(sources, shapes.SOURCE))
    return list(check_shape(SOURCES, "", sources, shape))


def _check_relations(documents: Mapping[str, Table], sources: Table | None) -> Iterator[Fault]:
    """What must hold between the values of the files that could be read."""
    modifier = documents.get(MODIFIER, {})
    for file in (f"{kind.value}.toml" for kind in TreatmentKind):
        if file in documents:
            yield from check_treatment(file, documents[file], modifier)
    yield from check_visits(MODIFIER, modifier)
    yield from check_shared(SHARED, documents.get(SHARED, {}))
    for file in FIGURE_FILES:
        yield from check_figures(file, documents.get(file, {}))
    if sources is not None:
        yield from check_sources(documents, sources)


# ---------------------------------------------------------------- building


@dataclass(frozen=True, slots=True)
class _Built:
    """Everything that the checked files say."""

    pathways: Mapping[TreatmentKind, Pathway]
    figures: Mapping[str, Figure]
    sources: Mapping[str, Source]


def _built(folder: Path | None, clinic_folder: Path | None) -> _Built:
    report = check_folder(folder, clinic_folder)
    if report.faults:
        raise PathwayFaults(report.faults)
    return _build(report)


@lru_cache(maxsize=16)
def _build(report: PathwayReport) -> _Built:
    documents = report.documents
    modifier, shared = documents[MODIFIER], documents[SHARED]
    rules = build_shared(shared)
    pathways = {}
    for kind in TreatmentKind:
        document = documents[f"{kind.value}.toml"]
        pathways[kind] = build_pathway(document, modifier, rules, _digest(document, modifier, shared))
    figures = [build_figure(row) for file in FIGURE_FILES for row in rows(documents[file], "figure")]
    sources = {key: build_source(key, row) for key, row in documents[SOURCES].items()}
    return _Built(pathways, {figure.name: figure for figure in figures}, sources)


def _digest(*documents: Table) -> str:
    """SHA-256 of the content in one fixed spelling: keys sorted, numbers and times as written."""
    spelled = json.dumps(documents, sort_keys=True, ensure_ascii=False, separators=(",", ":"), default=str)
    return hashlib.sha256(spelled.encode()).hexdigest()
