"""What a physiotherapist finds at a visit."""

from uuid import UUID

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clinic.followup import refusals
from clinic.followup.services import record_gate_findings
from clinic.web.access import episode_for, for_duty, posted
from clinic.web.drawings.dates import weekday_and_day
from clinic.web.episode import identity_of, known_of
from clinic.web.episode_rows import Known, on_the_ward
from clinic.web.forms.findings import FindingsForm
from clinic.web.pictures import ladder_of, ladder_parts
from clinic.web.seen import afresh, seen_of
from rehab.engine.pathway_shapes import RECORDED_FINDINGS
from rehab.words import pathway_text

CONFIRMED_BY_A_SURGEON = ("union_confirmed",)


@require_http_methods(["GET", "HEAD", "POST"])
@for_duty("record_gate_findings")
def record_findings(request, key: UUID):
    """Record what was found; the gate shows at once what it still waits for."""
    episode = episode_for(request.staff, key)
    known = known_of(episode)
    form, seen = findings_form(request, known), seen_of(request)
    if request.method == "POST" and form.is_valid():
        found = form.gate_findings()
        try:
            record_gate_findings(
                episode, found.visit, found.findings, on=found.on, by=request.staff, seen_version=seen.version
            )
        except refusals.CourseFaults as faults:
            for fault in faults.faults:
                form.add_error("visit", fault["message"])
        except refusals.ChangedSince as changed:
            seen.take(changed, form)
            known = known_of(afresh(episode))
        else:
            messages.success(
                request, _("The findings are recorded. The stage stays as it is until somebody orders one.")
            )
            return redirect("episode", episode.uuid)
    parts = ladder_parts(ladder_of(known.course, known.plan, known.pathway))
    context = {"form": form, "ladder": parts, "findings": [form[name] for name in form.names]}
    return render(request, "findings/page.html", {**identity_of(known), **seen.context(known), **context})


def findings_form(request, known: Known) -> FindingsForm:
    """The findings that this pathway's gates and visits ask about."""
    visits = visit_choices(known)
    initial = {"visit": visits[0][0]} if visits else {}
    return FindingsForm(
        posted(request), visits=visits, findings=asked_findings(known), today=known.today, initial=initial
    )


def asked_findings(known: Known) -> list[str]:
    """Names of all that a person can find and write down, each once, in the order the pathway asks."""
    gates = [gate.finding for rule in known.pathway.stages for gate in rule.gates]
    visits = [finding for visit in known.pathway.visits for finding in visit.findings]
    asked = dict.fromkeys([*visits, *gates])
    return [name for name in asked if name in RECORDED_FINDINGS and name not in CONFIRMED_BY_A_SURGEON]


def visit_choices(known: Known) -> list[tuple[str, str]]:
    """Visits up to today, the newest first; before the first of them, the ward's own."""
    visits = known.plan.visits
    newest = max((row.treatment for row in visits), default=1)
    placed = [(row.placed_on, row) for row in visits if row.placed_on is not None and row.treatment == newest]
    due = sorted((pair for pair in placed if pair[0] <= known.today), key=lambda pair: pair[0], reverse=True)
    named = {row.code: f"{pathway_text(row.title)}, {weekday_and_day(on)}" for on, row in due}
    return [*named.items(), (known.pathway.ward_visit, on_the_ward())]
