"""The words of a message: from templates/messages/, in the patient's language, safe for any reader."""

from dataclasses import dataclass

from django.template.loader import render_to_string
from django.utils import translation

from clinic.diary.calendar import starts_at
from clinic.invitations.writing import invitation_bytes
from clinic.reminders.invitation_of import invitation_of
from clinic.reminders.models import Channel, MessageKind, OutboxMessage
from rehab.words import in_words

NAMES = {
    MessageKind.CONFIRMATION: "visit_confirmed",
    MessageKind.CHANGE: "visit_changed",
    MessageKind.CANCELLATION: "visit_cancelled",
    MessageKind.FIRST_REMINDER: "visit_reminder",
    MessageKind.SECOND_REMINDER: "visit_reminder",
}


@dataclass(frozen=True, slots=True)
class Words:
    """What a message says, ready to leave."""

    to: str
    subject: str = ""
    text: str = ""
    html: str = ""
    ics: str = ""  # the invitation as it was written, byte for byte


def render(message: OutboxMessage) -> Words:
    """Write a message: subject, text and HTML for e-mail, one line for a text message.

    Raises InvitationFaults when its invitation must not be written.
    """
    patient = message.episode.patient
    name = f"messages/{NAMES[MessageKind(message.kind)]}"
    with translation.override(patient.language):
        context = context_of(message)
        if message.channel == Channel.SMS:
            return Words(patient.mobile, text=_one_line(render_to_string(f"{name}.sms.txt", context)))
        invitation = invitation_of(message)
        return Words(
            to=patient.email,
            subject=_one_line(render_to_string(f"{name}.subject.txt", context)),
            text=render_to_string(f"{name}.txt", context),
            html=render_to_string(f"{name}.html", context),
            ics=invitation_bytes(invitation).decode() if invitation else "",
        )


def context_of(message: OutboxMessage) -> dict[str, object]:
    """Give what the templates may say, and nothing clinical among it."""
    site = message.site
    local = starts_at(message.booking.session).astimezone(site.zone)
    return {
        "given_name": message.episode.patient.given_name,
        "day": in_words(local.date()),
        "time": f"{local:%H:%M}",
        "clinic": site.neutral_name,
        "place": site.place_in_messages,
        "phone": site.phone,
        "phone_hours": site.phone_hours,
        "emergency_number": site.emergency_number,
        "language": message.episode.patient.language,
    }


def _one_line(text: str) -> str:
    return " ".join(text.split())
