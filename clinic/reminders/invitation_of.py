"""The calendar invitation that goes with a message."""

from zoneinfo import ZoneInfo

from clinic.diary.calendar import starts_at
from clinic.invitations.invitation import Invitation, Mailbox, Method, Status
from clinic.reminders.models import Channel, MessageKind, OutboxMessage

INVITING = (MessageKind.CONFIRMATION, MessageKind.CHANGE, MessageKind.CANCELLATION)


def invitation_of(message: OutboxMessage) -> Invitation | None:
    """Give the invitation of a message, or None for one that carries none.

    Its stamp is the instant the message was owed, so that every try says the same.
    """
    if message.channel != Channel.EMAIL or message.kind not in INVITING:
        return None
    booking, site, patient = message.booking, message.site, message.episode.patient
    is_over = message.kind == MessageKind.CANCELLATION
    return Invitation(
        uid=str(booking.calendar_uid),
        dtstamp=message.created_at,
        starts_at=starts_at(booking.session).astimezone(ZoneInfo(site.time_zone)),
        zone=site.time_zone,
        minutes=site.appointment_minutes,
        organiser=Mailbox(site.neutral_name, site.organiser_email),
        attendee=Mailbox(patient.full_name, message.to),
        place=(site.place_in_messages,),
        phone=site.phone,
        sequence=message.revision,
        method=Method.CANCEL if is_over else Method.REQUEST,
        status=Status.CANCELLED if is_over else Status.CONFIRMED,
    )
