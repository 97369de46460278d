"""Papers and files of an episode: the sheet as PDF, the calendar file of a place."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET

from clinic.audit.log import note
from clinic.common.clock import now
from clinic.diary.calendar import clinic_days_of, starts_at
from clinic.diary.models import Booking, BookingStatus
from clinic.documents.from_plan import NoSheet, sheet_from_plan
from clinic.documents.page import sheet_pdf
from clinic.documents.pdf import FaultySheet, PdfIsOff
from clinic.documents.sheet import Issue, Paper, Person, Sheet, Site
from clinic.invitations.invitation import Invitation, Mailbox, Method
from clinic.invitations.writing import FILE_NAME, invitation_bytes
from clinic.people.models import Episode, PrintSize, StaffMember
from clinic.web import queries
from clinic.web.access import episode_for, staff_only
from clinic.web.episode import known_of
from clinic.web.episode_rows import Known
from clinic.web.episode_words import orderer
from clinic.web.told import PRINT_SHEET


@require_GET
@staff_only
def show_sheet(request, key: UUID):
    """Give the patient's sheet as PDF, in the patient's print size or the one asked for."""
    episode = episode_for(request.staff, key)
    size = request.GET.get("size", "")
    points = int(size) if size in {str(each) for each in PrintSize.values} else episode.patient.print_size
    known = known_of(episode)
    try:
        pdf = sheet_pdf(sheet_of(known, request.staff, float(points)))
    except (NoSheet, PdfIsOff, FaultySheet) as off:
        messages.error(request, str(off))
        return redirect("episode", key)
    stage = known.plan.stage_now
    printed = {"version": episode.injury.version, "stage": stage.stage.value, "since": stage.since.isoformat()}
    _note(request.staff, PRINT_SHEET, episode, **printed, points=points)
    return _file(pdf, "application/pdf", f"sheet-{points}-point.pdf", as_download="download" in request.GET)


def sheet_of(known: Known, staff: StaffMember, points: float) -> Sheet:
    """The sheet as it stands now. Its version rises with everything recorded of the injury."""
    episode, site, patient = known.episode, known.episode.site, known.episode.patient
    live = [booking for booking in known.bookings if booking.status == BookingStatus.BOOKED]
    return sheet_from_plan(
        known.plan,
        known.course,
        clinic_days_of(site).clinic,
        Person(patient.full_name, patient.born_on, patient.hospital_number),
        Site(
            lines=(site.name, *site.address_lines),
            phone=site.phone,
            hours=site.phone_hours,
            emergency_number=site.emergency_number,
            paper=Paper(site.paper_size),
        ),
        on=known.today,
        issue=Issue(
            version=episode.injury.version,
            replaces=queries.sheet_replaced(episode),
            printed_at=now().astimezone(site.zone),
            ordered_by=orderer(known),
            given_by=f"{staff.display_name}, {staff.get_role_display()}",
        ),
        times={booking.session.on: booking.session.starts for booking in live},
        size=points,
    )


@require_GET
@staff_only
def show_invitation(request, key: UUID):
    """Give the calendar file of a place that is held. It names no clinical matter."""
    bookings = Booking.objects.select_related("session__site", "episode__patient", "shares_with")
    booking = bookings.filter(uuid=key).first()
    if booking is None or booking.episode.site_id != request.staff.site_id or booking.status != BookingStatus.BOOKED:
        raise Http404
    lead = booking.shares_with or booking
    _note(request.staff, "save_invitation", booking.episode)
    written = invitation_bytes(invitation_file(lead, booking))
    return _file(written, "text/calendar; charset=utf-8; method=PUBLISH", FILE_NAME, as_download=True)


def invitation_file(lead: Booking, booking: Booking) -> Invitation:
    """The place as a calendar takes it in without asking anybody to answer: the same entry as the one by e-mail."""
    site = booking.session.site
    return Invitation(
        uid=str(lead.calendar_uid),
        dtstamp=lead.changed_at,
        starts_at=starts_at(booking.session).astimezone(site.zone),
        zone=site.time_zone,
        minutes=site.appointment_minutes,
        organiser=Mailbox(site.neutral_name, site.organiser_email),
        place=(site.place_in_messages,),
        phone=site.phone,
        sequence=lead.sequence,
        method=Method.PUBLISH,
    )


def _file(content: bytes, kind: str, name: str, *, as_download: bool) -> HttpResponse:
    way = "attachment" if as_download else "inline"
    return HttpResponse(content, content_type=kind, headers={"Content-Disposition": f'{way}; filename="{name}"'})


def _note(staff: StaffMember, action: str, episode: Episode, **what: object) -> None:
    """Note in the access log who took a paper out."""
    note(
        site_key=staff.site.uuid,
        user=staff.user,
        who=staff.display_name,
        role=staff.role,
        action=action,
        record="episode",
        record_uuid=episode.uuid,
        after=what,
    )
