"""One injury from the first day to discharge: where the person stands, what comes, and why."""

from uuid import UUID

from django.shortcuts import render
from django.views.decorators.http import require_safe

from clinic.common.clock import clinic_today
from clinic.diary.calendar import clinic_days_of
from clinic.people.duties import may
from clinic.people.models import Episode, StaffMember
from clinic.web import queries
from clinic.web.access import episode_for, staff_only
from clinic.web.episode_rows import (
    Known,
    alert_rows,
    film_rows,
    log_rows,
    next_place,
    task_rows,
    visit_rows,
)
from clinic.web.episode_words import injury_line, ordered_line, stage_sentence, weight_line
from clinic.web.film_charts import film_charts
from clinic.web.pictures import ladder_of, ladder_parts, time_line_of, time_line_parts
from clinic.web.told import print_rows, told_of
from rehab.queries import course_and_plan, pathways_in_force, visit_records
from rehab.translate import effective_treatments

LOG_LENGTH = 12
PRINTS = 3
ACTS = {
    "book_visit": "may_book",
    "record_film_reading": "may_read_films",
    "order_stage": "may_order",
    "record_gate_findings": "may_record_findings",
}


@require_safe
@staff_only
def show_episode(request, key: UUID):
    """Show everything known of an injury, and what each role may do next."""
    episode = episode_for(request.staff, key)
    return render(request, "episodes/page.html", episode_context(episode, request.staff))


def known_of(episode: Episode) -> Known:
    """Gather an episode's course, plan, records and places, as they stand today."""
    days = clinic_days_of(episode.site)
    today = clinic_today(episode.site.zone)
    course, plan = course_and_plan(episode.injury, days, today)
    pathways = pathways_in_force(episode.site.uuid)
    records = visit_records(effective_treatments(episode.injury, episode.site.zone))
    bookings = list(queries.bookings_of(episode))
    entries = list(queries.history_of(episode))
    return Known(episode, course, plan, pathways, today, records, bookings, entries)


def episode_context(episode: Episode, staff: StaffMember) -> dict:
    """What templates/episodes/page.html needs."""
    known = known_of(episode)
    course, plan, pathway, today = known.course, known.plan, known.pathway, known.today
    rows = visit_rows(known)
    alerts = alert_rows(plan)
    return {
        **identity_of(known),
        "plan": plan,
        "pathway": pathway,
        "today": today,
        "sentence": stage_sentence(plan),
        "ordered": ordered_line(known),
        "weight": weight_line(course),
        "next": next_place(known),
        "to_book": next((row for row in rows if row.is_to_book), None),
        "ladder": ladder_parts(ladder_of(course, plan, pathway)),
        "year": time_line_parts(time_line_of(course, plan, pathway, today, known.times())),
        "day": (today - plan.anchor_on).days,
        "healing_day": (today - plan.healing_clock_from).days,
        "red": [row for row in alerts if row.is_red],
        "alerts": [row for row in alerts if not row.is_red],
        "tasks": task_rows(plan, today),
        "told": told_of(queries.messages_of(episode)),
        "prints": print_rows(plan, queries.sheets_printed(episode)[:PRINTS]),
        "films": film_rows(known),
        "charts": film_charts(known),
        "visits": rows,
        "log": log_rows(known)[:LOG_LENGTH],
        **{name: may(act, staff) for act, name in ACTS.items()},
    }


def identity_of(known: Known) -> dict:
    """What the identity bar of every page about a person needs."""
    shaft = known.pathway.shared.bone_segment
    return {"episode": known.episode, "injury_line": injury_line(known.course, known.plan, shaft)}
