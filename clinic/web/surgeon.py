"""What a surgeon records and orders: films, stages. A physiotherapist orders within the rules."""

from uuid import UUID

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clinic.followup import refusals
from clinic.followup.services import Outcome, order_stage, record_film_reading
from clinic.web.access import episode_for, for_duty, posted
from clinic.web.drawings.dates import day_month_year
from clinic.web.episode import identity_of, known_of
from clinic.web.episode_rows import Known, score_words, sentences_of
from clinic.web.film_charts import film_charts
from clinic.web.forms.film import CORTICES, FilmForm
from clinic.web.forms.stage import StageForm
from clinic.web.pictures import ladder_of, ladder_parts
from clinic.web.seen import afresh, seen_of
from rehab.engine.facts import Film, Stage
from rehab.engine.plan import Level
from rehab.engine.weight_bearing import cap_kg, has_default
from rehab.words import printed_stage
from rehab.words.measures import amount, reading

UNITS = {"coronal": "°", "sagittal": "°", "rotation": "°", "shortening": "mm", "contact": "%"}


@require_http_methods(["GET", "HEAD", "POST"])
@for_duty("record_film_reading")
def read_film(request, key: UUID):
    """Record what a surgeon reads on a film; the comparison comes after the reading, never before."""
    episode = episode_for(request.staff, key)
    known = known_of(episode)
    form, seen = FilmForm(posted(request), injured_on=known.course.injury.on, today=known.today), seen_of(request)
    if request.method == "POST" and form.is_valid():
        try:
            outcome = record_film_reading(episode, form.film(), by=request.staff, seen_version=seen.version)
        except refusals.CourseFaults as found:
            for fault in found.faults:
                form.add_error("taken_on", fault["message"])
        except refusals.ChangedSince as changed:
            seen.take(changed, form)
            known = known_of(afresh(episode))
        else:
            _say_film(request, outcome, form.film())
            return redirect("episode", episode.uuid)
    context = {"form": form, "rows": _measure_rows(known, form), "cortices": [form[cortex] for cortex in CORTICES]}
    shown = {**identity_of(known), **seen.context(known), **_older_films(known), **context}
    return render(request, "films/page.html", shown)


def _say_film(request, outcome: Outcome, film: Film) -> None:
    """Say what the film raised: the alerts stay on the episode until they are settled."""
    messages.success(request, _("The film of %(on)s is read.") % {"on": day_month_year(film.on)})
    for alert in outcome.difference.new_alerts:
        say = messages.error if alert.level is Level.RED else messages.warning
        say(request, " ".join(sentences_of(alert.reasons)), extra_tags="alert")


def _films_on_baseline(known: Known) -> tuple[Film | None, Film | None]:
    """The film that later ones are compared with, and the newest one."""
    now = [state for state in known.plan.films if known.film(state).on >= known.plan.anchor_on]
    baselines = [known.film(state) for state in now if state.is_new_baseline]
    return (baselines[-1] if baselines else None), (known.film(now[-1]) if now else None)


def _older_films(known: Known) -> dict:
    first, last = _films_on_baseline(known)
    return {
        "first": first,
        "last": last,
        "first_score": score_words(first) if first else "",
        "last_score": score_words(last) if last else "",
        "charts": film_charts(known),
    }


def _measure_rows(known: Known, form: FilmForm) -> list[dict]:
    """One row a measure: its limit, the first film, the last film, the field and its direction."""
    first, last = _films_on_baseline(known)
    limits = known.pathway.shared.alignment
    most = {
        "coronal": limits.coronal_degrees,
        "sagittal": limits.sagittal_degrees,
        "rotation": limits.rotation_degrees,
        "shortening": limits.shortening_mm,
        "contact": limits.contact_percent,
    }
    return [
        {
            "field": form[name],
            "unit": UNITS[name],
            "toward": form[f"{name}_toward"] if f"{name}_toward" in form.fields else None,
            "limit": amount(name, most[name]),
            "is_least": name == "contact",
            "first": _read(name, first),
            "last": _read(name, last),
        }
        for name in UNITS
    ]


def _read(name: str, film: Film | None) -> str:
    value = getattr(film, name) if film else None
    return "–" if value is None else reading(name, value)


@require_http_methods(["GET", "HEAD", "POST"])
@for_duty("order_stage")
def order(request, key: UUID):
    """Order a stage under one's own name; a refusal says what the stage waits for."""
    episode = episode_for(request.staff, key)
    known = known_of(episode)
    form, seen = _stage_form(request, known), seen_of(request)
    if request.method == "POST" and form.is_valid():
        try:
            why = form.cleaned_data["why"]
            order_stage(episode, form.chosen, by=request.staff, reason=why, seen_version=seen.version)
        except refusals.ReasonNeeded as needed:
            form.add_error("why", str(needed))
        except (refusals.StageShut, refusals.CourseFaults) as shut:
            form.add_error("stage", str(shut))
        except refusals.ChangedSince as changed:
            seen.take(changed, form)
            known = known_of(afresh(episode))
        else:
            messages.success(
                request, _("Ordered: %(stage)s. Print the new sheet.") % {"stage": printed_stage(form.chosen)}
            )
            return redirect("episode", episode.uuid)
    parts = ladder_parts(ladder_of(known.course, known.plan, known.pathway))
    context = {**identity_of(known), **seen.context(known), "form": form, "ladder": parts}
    return render(request, "stages/page.html", context)


def _stage_form(request, known: Known) -> StageForm:
    """The form with the load of each stage; the pathway's own stage is filled in until a first order."""
    shared, course = known.pathway.shared, known.course
    caps = {stage: cap_kg(stage, course.weights, known.today, shared) for stage in Stage}
    is_first = known.plan.stage_now.ordered_by is None and has_default(known.pathway, course.injury)
    initial = {"stage": known.pathway.default_stage} if is_first and known.pathway.default_stage else {}
    return StageForm(posted(request), plan=known.plan, caps=caps, initial=initial)
