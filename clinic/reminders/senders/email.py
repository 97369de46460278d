"""Sending by e-mail: Django's own mail, with the invitation as a part of the message."""

import smtplib
from email.utils import formataddr

from django.core.mail import EmailMultiAlternatives, get_connection
from django.utils.translation import gettext as _

from clinic.invitations.mail import attach_written
from clinic.reminders.invitation_of import method_of
from clinic.reminders.models import OutboxMessage
from clinic.reminders.senders.failures import CannotSend

TEMPORARY = range(400, 500)


def send_email(message: OutboxMessage) -> None:
    """Hand one message to the mail server. Raises CannotSend.

    The Message-ID comes from the outbox row: a mailbox that gets it twice shows it once.
    """
    try:
        _hand_over(_mail_of(message))
    except ValueError as faulty:  # a header or an address that no further try makes right: a person must look
        raise CannotSend(_("this e-mail cannot be written: %(why)s") % {"why": faulty}, permanent=True) from faulty


def _mail_of(message: OutboxMessage) -> EmailMultiAlternatives:
    """Put the e-mail together from the words that are kept. Raises ValueError."""
    site = message.site
    mail = EmailMultiAlternatives(
        subject=message.subject,
        body=message.text,
        from_email=formataddr((site.neutral_name, site.organiser_email)),
        to=[message.to],
        headers={"Message-ID": message_id(message), "Auto-Submitted": "auto-generated"},
        connection=get_connection(),
    )
    mail.attach_alternative(message.html, "text/html")
    if message.ics:
        attach_written(mail, message.ics, method_of(message))
    return mail


def message_id(message: OutboxMessage) -> str:
    """Give the Message-ID of an outbox row: the same at every try."""
    domain = message.site.organiser_email.rpartition("@")[2]
    return f"<{message.uuid}@{domain}>"


def _hand_over(mail: EmailMultiAlternatives) -> None:
    try:
        mail.send()
    except smtplib.SMTPRecipientsRefused as refused:
        code, words = next(iter(refused.recipients.values()))
        raise CannotSend(_said(code, words), permanent=code not in TEMPORARY) from refused
    except smtplib.SMTPResponseException as answer:
        is_permanent = answer.smtp_code not in TEMPORARY and not isinstance(answer, _OUR_OWN_FAULT)
        raise CannotSend(_said(answer.smtp_code, answer.smtp_error), permanent=is_permanent) from answer
    except (smtplib.SMTPException, OSError) as broken:
        raise CannotSend(
            _("mail server not reached: %(fault)s") % {"fault": type(broken).__name__}, permanent=False
        ) from broken


# A wrong password, a refused greeting or sender is the clinic's to mend: the patient's address may be good.
_OUR_OWN_FAULT = (
    smtplib.SMTPAuthenticationError,
    smtplib.SMTPConnectError,
    smtplib.SMTPHeloError,
    smtplib.SMTPSenderRefused,
)


def _said(code: int, words: bytes | str) -> str:
    text = words.decode("ascii", "replace") if isinstance(words, bytes) else words
    return f"{code} {text}"[:300]
