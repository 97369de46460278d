"""Finding a place for a visit: the sessions with room, the best first, and what each costs."""

from dataclasses import dataclass
from uuid import UUID

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clinic.common.clock import clinic_today, now
from clinic.diary.models import Booking, Session, Station
from clinic.followup import refusals
from clinic.followup.services import Outcome, book_visit, mark_attended, mark_missed
from clinic.people.models import StaffMember
from clinic.web import queries
from clinic.web.access import episode_for, for_duty, posted
from clinic.web.drawings.dates import in_words
from clinic.web.drawings.room_left import RoomLeft, draw_room_left, left_words
from clinic.web.drawings.window_bar import cost_words, draw_window_bar
from clinic.web.episode import identity_of, known_of
from clinic.web.forms.booking import BookingForm
from clinic.web.front_desk import window_of
from clinic.web.seen import Seen, afresh, seen_of
from rehab.models import PlannedVisit

REFUSED = (
    refusals.NotBookable,
    refusals.NotInForce,
    refusals.OutsideWindow,
    refusals.SessionFull,
    refusals.SessionShut,
)


@dataclass(frozen=True, slots=True)
class SessionRow:
    """A session with room, as a row to choose."""

    session: Session
    is_inside: bool
    cost: str
    window: SafeString
    rooms: list[tuple[str, SafeString, str]]


@require_http_methods(["GET", "HEAD", "POST"])
@for_duty("book_visit")
def book(request, key: UUID, visit_key: UUID):
    """Show the sessions with room for a visit, and take a place in one."""
    episode = episode_for(request.staff, key)
    visit = get_object_or_404(PlannedVisit, uuid=visit_key, injury=episode.injury)
    inside, outside = queries.sessions_for(visit, request.staff.site, now())
    form, seen = _form(request, inside, outside), seen_of(request)
    if request.method == "POST" and form.is_valid():
        if answer := _take(request, form, visit, [*inside, *outside], seen):
            return answer
        inside, outside = queries.sessions_for(visit, request.staff.site, now())
    known = known_of(afresh(episode))
    context = {
        **identity_of(known),
        **seen.context(known),
        "visit": visit,
        "form": form,
        "inside": [_row(visit, session, is_inside=True) for session in inside],
        "outside": [_row(visit, session, is_inside=False) for session in outside],
        "window": draw_window_bar(window_of(visit, today=clinic_today(episode.site.zone))),
    }
    return render(request, "booking/page.html", context)


def _form(request, inside: list[Session], outside: list[Session]) -> BookingForm:
    return BookingForm(
        posted(request),
        inside=[str(session.uuid) for session in inside],
        outside=[str(session.uuid) for session in outside],
        clinicians=queries.clinicians_of(request.staff.site),
    )


def _take(request, form: BookingForm, visit: PlannedVisit, sessions: list[Session], seen: Seen):
    """Take the chosen place, or put the refusal beside its field."""
    chosen = next(session for session in sessions if str(session.uuid) == form.cleaned_data["session"])
    clinician = form.cleaned_data["accepted_by"]
    accepted_by = StaffMember.objects.get(uuid=clinician, site=request.staff.site) if clinician else None
    try:
        outcome = book_visit(visit, chosen, by=request.staff, accepted_by=accepted_by, seen_version=seen.version)
    except refusals.ChangedSince as changed:
        seen.take(changed, form)
        return None
    except REFUSED as refused:
        form.add_error("session", str(refused))
        return None
    messages.success(request, _booked_words(outcome))
    return redirect("episode", outcome.episode.uuid)


def _booked_words(outcome: Outcome) -> str:
    assert outcome.booking is not None  # what booking a visit is for
    session = outcome.booking.session
    words = {"on": in_words(session.on), "time": f"{session.starts:%H:%M}"}
    said = _("Booked for %(on)s at %(time)s.") % words
    return f"{said} {_told_words(outcome)}"


def _told_words(outcome: Outcome) -> str:
    if outcome.is_told:
        return _("The confirmation is on its way.")
    if outcome.why_untold is not None:
        return _("Tell the patient: %(why)s.") % {"why": outcome.why_untold.label}
    return _("It joins another visit of that day: the patient has the hour already.")


def _row(visit: PlannedVisit, session: Session, *, is_inside: bool) -> SessionRow:
    bar = window_of(visit, place_on=session.on)
    rooms = [room for room in session.rooms.all() if room.station in visit.stations]
    drawn = [RoomLeft(str(Station(room.station).label), room.room_for, room.taken) for room in rooms]
    return SessionRow(
        session=session,
        is_inside=is_inside,
        cost=cost_words(bar),
        window=draw_window_bar(bar),
        rooms=[(_capital(room.station), draw_room_left(room), left_words(room)) for room in drawn],
    )


def _capital(label: str) -> str:
    return label[:1].upper() + label[1:]


@require_POST
@for_duty("mark_attended")
def mark_came(request, key: UUID):
    """Note that somebody came to their place, or did not."""
    booking = Booking.objects.select_related("visit", "episode__patient").filter(uuid=key).first()
    if booking is None or booking.episode.site_id != request.staff.site_id:
        raise Http404
    acts = {"yes": (mark_attended, _("%(name)s came.")), "no": (mark_missed, _("%(name)s did not come."))}
    if request.POST.get("came") not in acts:
        messages.error(request, _("Say whether the person came or did not come. Nothing was noted."))
        return redirect("front-desk")
    act, words = acts[request.POST["came"]]
    try:
        act(booking.visit, by=request.staff, on=booking.session.on, seen_version=seen_of(request).version)
    except (refusals.NotInForce, refusals.CourseFaults) as refused:
        messages.error(request, str(refused))
    except refusals.ChangedSince as changed:
        messages.error(request, f"{booking.episode.patient.full_name}: {changed}")
    else:
        messages.success(request, words % {"name": booking.episode.patient.full_name})
    return redirect("front-desk")
