"""`show_pathway`: a pathway as a text fit to be read aloud, with its citations."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from rehab.engine.facts import TreatmentKind
from rehab.engine.pathway import Pathways
from rehab.engine.pathway_faults import PathwayFaults, did_you_mean
from rehab.engine.pathway_files import load_pathways, load_sources
from rehab.words.pathway_faults import fault_text
from rehab.words.spoken_pathway import spoken_pathway
from rehab.words.terms import treatment_name


class Command(BaseCommand):
    """Print one pathway in words."""

    help = gettext_lazy(  # type: ignore[assignment]
        "Print one pathway fit to be read aloud: visits with days and contents, stages with gates and who may order "
        'them, the shared rules, and a numbered note for every source. NAME is a treatment, such as "intramedullary '
        'nail", or a part of its name that fits only one.'
    )
    requires_system_checks = ()

    def add_arguments(self, parser: Any) -> None:
        """Take the name and the folder of the clinic's own copies."""
        parser.add_argument("name", metavar="NAME", nargs="+", help=_("the treatment, for example: nail"))
        parser.add_argument(
            "--folder",
            metavar="DIR",
            default=settings.FF_PATHWAY_FOLDER,
            help=_("a folder with a clinic's own copies; each replaces the shipped file of the same name"),
        )

    def handle(self, *, name: list[str], folder: str, **_options: Any) -> None:
        """Print the pathway, or say which names there are."""
        own = Path(folder) if folder else None
        try:
            pathways, sources = load_pathways(clinic_folder=own), load_sources(clinic_folder=own)
        except PathwayFaults as problem:
            raise CommandError("\n".join(map(fault_text, problem.faults))) from problem
        kind = find_treatment(" ".join(name), pathways)
        self.stdout.write(spoken_pathway(pathways[kind], sources), ending="")


def find_treatment(name: str, pathways: Pathways) -> TreatmentKind:
    """The treatment of this name, or of the only name it is part of.

    Raises CommandError naming the treatments there are, and the nearest one.
    """
    asked = _plain(name)
    names = {kind: _names_of(kind, pathways) for kind in pathways}
    exact = [kind for kind, known in names.items() if asked in known]
    partly = [kind for kind, known in names.items() if asked and any(asked in one for one in known)]
    for found in (exact, partly):
        if len(found) == 1:
            return found[0]
    raise CommandError(_refusal(name, names, partly))


def _names_of(kind: TreatmentKind, pathways: Pathways) -> set[str]:
    return {_plain(kind.value), _plain(pathways[kind].title), _plain(treatment_name(kind))}


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("_", " ").replace("-", " ").split())


def _refusal(name: str, names: dict[TreatmentKind, set[str]], partly: list[TreatmentKind]) -> str:
    words = {"name": name, "known": ", ".join(treatment_name(kind) for kind in names)}
    if partly:
        words["known"] = ", ".join(treatment_name(kind) for kind in partly)
        return _("“%(name)s” fits more than one pathway: %(known)s. Give more of the name.") % words
    # Whole names, and the words they are made of: "nale" is near "nail", not near "intramedullary nail".
    whole = {one: kind for kind, known in names.items() for one in known}
    parts = {part: kind for one, kind in whole.items() for part in one.split()}
    nearest = did_you_mean(_plain(name), whole) or did_you_mean(_plain(name), parts)
    if nearest:
        words["meant"] = treatment_name((parts | whole)[nearest])
        return _("There is no pathway “%(name)s”; did you mean “%(meant)s”? There are: %(known)s.") % words
    return _("There is no pathway “%(name)s”. There are: %(known)s.") % words
