"""The pathways as they are followed here: every visit, stage and limit with its source, fit to be read aloud."""

from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.http import Http404
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from clinic.people.models import Site
from clinic.web.access import staff_only
from clinic.web.pictures import load_words, needs_words, split_term
from rehab.engine.facts import OpenGrade, Stage, TreatmentKind
from rehab.engine.figures import Source
from rehab.engine.pathway import Pathway, StageRule, VisitRule
from rehab.engine.pathway_files import load_sources
from rehab.queries import pathways_in_force
from rehab.words.pathways import pathway_text
from rehab.words.spoken_pathway import KNOWN, VERDICTS
from rehab.words.terms import authoriser_name


@dataclass(frozen=True, slots=True)
class VisitLine:
    """One visit of the pathway, and for whom it is when not for everybody."""

    rule: VisitRule
    only: str


@dataclass(frozen=True, slots=True)
class StageLine:
    """One stage of a pathway in words."""

    term: str
    plain: str
    visit: str
    conditions: list[str]
    by: str
    sources: list[str]


@require_safe
@staff_only
def show_pathways(request):
    """List the pathways, and whether a named clinician signed each."""
    return render(request, "pathways/list.html", {"pathways": list(_pathways(request.staff.site).values())})


@require_safe
@staff_only
def show_pathway(request, name: str):
    """Show one pathway with the source behind each line."""
    kinds = {kind.value.replace("_", "-"): kind for kind in TreatmentKind}
    if name not in kinds:
        raise Http404
    pathway = _pathways(request.staff.site)[kinds[name]]
    context = {
        "pathway": pathway,
        "visits": _visit_lines(pathway),
        "stages": [_stage_line(rule, pathway) for rule in pathway.stages],
        "limits": _limits(pathway),
        "sources": _sources(pathway),
    }
    return render(request, "pathways/page.html", context)


def _pathways(site: Site) -> dict[TreatmentKind, Pathway]:
    return dict(pathways_in_force(site.uuid))


def _open_visits(pathway: Pathway) -> list[VisitRule]:
    return [rule.visit for rule in pathway.open_visits if pathway.treatment in rule.treatments]


def _visit_lines(pathway: Pathway) -> list[VisitLine]:
    """The pathway's visits, then those that only some people have, with who they are."""
    usual = [VisitLine(rule, _("only if not healed") if rule.only_if_not_united else "") for rule in pathway.visits]
    opened = [
        VisitLine(
            rule.visit,
            _("only after an open fracture, grade %(grades)s")
            % {"grades": ", ".join(grade.value for grade in OpenGrade if grade in rule.grades)},
        )
        for rule in pathway.open_visits
        if pathway.treatment in rule.treatments
    ]
    return usual + opened


def _stage_line(rule: StageRule, pathway: Pathway) -> StageLine:
    term, plain = split_term(rule.stage)
    if rule.stage in (Stage.PWB25, Stage.PWB50, Stage.PWB75):
        plain = _("at most so many kilograms as ordered")
    return StageLine(
        term=term,
        plain=plain or load_words(rule.stage, None)[1],
        visit=_gate_visit_title(rule.gate_visit, pathway),
        conditions=[needs_words(gate) for gate in rule.gates],
        by=_(" or ").join(authoriser_name(by) for by in rule.authorised_by),
        sources=list(rule.sources),
    )


def _gate_visit_title(code: str, pathway: Pathway) -> str:
    titles = {visit.code: visit.title for visit in pathway.visits}
    return pathway_text(titles[code]) if code in titles else _("On the ward, before going home")


def _limits(pathway: Pathway) -> list[tuple[str, str]]:
    limits = pathway.shared.alignment
    return [
        (_("Varus or valgus"), _("at most %(n)s°") % {"n": limits.coronal_degrees}),
        (_("Apex anterior or posterior"), _("at most %(n)s°") % {"n": limits.sagittal_degrees}),
        (_("Rotation"), _("at most %(n)s°") % {"n": limits.rotation_degrees}),
        (_("Shortening"), _("at most %(n)s mm") % {"n": limits.shortening_mm}),
        (_("Contact of the bone ends"), _("at least %(n)s %%") % {"n": limits.contact_percent}),
        (_("Change since the first or the last film"), _("looked at from %(n)s°") % {"n": limits.changed_degrees}),
    ]


def _sources(pathway: Pathway) -> list[tuple[Source, str, str]]:
    """The sources that the pathway's lines name, with how each is known and what a second look found."""
    folder = settings.FF_PATHWAY_FOLDER
    known = load_sources(clinic_folder=Path(folder) if folder else None)
    visits = [key for visit in [*pathway.visits, *_open_visits(pathway)] for key in visit.sources]
    stages = [key for stage in pathway.stages for key in stage.sources]
    shared = [key for keys in pathway.shared.sources.values() for key in keys]
    keys = dict.fromkeys([*visits, *stages, *shared])
    found = [known[key] for key in keys if key in known]
    return [(source, str(KNOWN.get(source.known, "")), str(VERDICTS.get(source.verdict or "", ""))) for source in found]
