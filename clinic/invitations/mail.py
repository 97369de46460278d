"""The invitation as a part of an e-mail (RFC 6047 section 2.4)."""

from email.utils import parseaddr

from django.core.mail import EmailMultiAlternatives

from clinic.invitations.invitation import Invitation, Method
from clinic.invitations.writing import FILE_NAME, invitation_bytes


def attach_invitation(message: EmailMultiAlternatives, invitation: Invitation) -> None:
    """Add the invitation as the last alternative of a message, next to its plain text.

    Call it after the HTML part was added: mail programs take the last alternative that they
    understand. Subject and text are the caller's.

    The charset is not named here: Django adds it, and a second one would make the header
    malformed. The method stands in the header as in the body; mail programs refuse
    the message when the two differ.

    Raises ValueError for a message to anybody but the attendee, or with an invitation in it already.
    """
    if invitation.attendee and not _is_to(message, invitation.attendee.address):
        raise ValueError("The message must go to the attendee and nobody else, or the calendar hides its buttons.")
    attach_written(message, invitation_bytes(invitation).decode(), invitation.method)


def attach_written(message: EmailMultiAlternatives, ics: str, method: Method) -> None:
    """Add an invitation that was written before, as `attach_invitation` does: a second try sends the same bytes.

    Raises ValueError for a message with an invitation in it already.
    """
    if any(mimetype.startswith("text/calendar") for _content, mimetype in message.alternatives):
        raise ValueError("One message carries one invitation: send each visit in its own (RFC 5546 section 3.2).")
    message.attach_alternative(ics, f'text/calendar; method={method}; name="{FILE_NAME}"')


def _is_to(message: EmailMultiAlternatives, address: str) -> bool:
    """Say whether the message goes to this address alone, with or without a name before it."""
    recipients = [parseaddr(recipient)[1].casefold() for recipient in message.recipients()]
    return recipients == [address.casefold()]
