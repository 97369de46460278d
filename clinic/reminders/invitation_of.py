"""The calendar invitation that goes with a message."""

from zoneinfo import ZoneInfo

from clinic.diary.calendar import starts_at
from clinic.invitations.invitation import Invitation, Mailbox, Method, Status
from clinic.reminders.models import Channel, MessageKind, OutboxMessage

INVITING = (MessageKind.CONFIRMATION, MessageKind.CHANGE, MessageKind.CANCELLATION)


def method_of(message: OutboxMessage) -> Method:
    """Say whether a message asks the patient to come or takes that back."""
    return Method.CANCEL if message.kind == MessageKind.CANCELLATION else Method.REQUEST


def invitation_of(message: OutboxMessage) -> Invitation | None:
    """Give the invitation of a message, or None for one that carries none; its stamp is the instant it was owed.

    Raises InvitationFaults when no calendar may show it.
    """
    booking, site, patient = message.booking, message.site, message.episode.patient
    if message.channel != Channel.EMAIL or message.kind not in INVITING or not patient.email:
        return None
    method = method_of(message)
    return Invitation(
        uid=str(booking.calendar_uid),
        dtstamp=message.created_at,
        starts_at=starts_at(booking.session).astimezone(ZoneInfo(site.time_zone)),
        zone=site.time_zone,
        minutes=site.appointment_minutes,
        organiser=Mailbox(site.neutral_name, site.organiser_email),
        attendee=Mailbox(patient.full_name, patient.email),
        place=(site.place_in_messages,),
        phone=site.phone,
        sequence=message.revision,
        method=method,
        status=Status.CANCELLED if method is Method.CANCEL else Status.CONFIRMED,
    )
