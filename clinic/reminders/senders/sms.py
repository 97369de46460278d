"""Sending by text message: one HTTP POST to the gateway at SMS_URL."""

import json
import urllib.error
import urllib.request

from django.conf import settings
from django.utils.translation import gettext as _

from clinic.reminders.models import OutboxMessage
from clinic.reminders.senders.failures import CannotSend

SECONDS = 20
TRY_LATER = 429


def send_sms(message: OutboxMessage) -> None:
    """Hand one text to the gateway; without a gateway a demo keeps it on the page of messages.

    The key is the outbox row's, the same at every try, so that the gateway sends it once.
    2xx: taken. 429 and 5xx: later. Any other 4xx: never. Raises CannotSend.
    """
    if not settings.SMS_URL and settings.TEXTS_LEAVE:
        return
    if not settings.SMS_URL:
        raise CannotSend(_("no text gateway is set: SMS_URL"), permanent=True)
    key = str(message.uuid)
    body = json.dumps({"to": message.to, "text": message.text, "key": key}).encode()
    request = urllib.request.Request(  # noqa: S310 - the address is the clinic's own setting, http or https only
        settings.SMS_URL,
        data=body,
        headers={"Content-Type": "application/json", "Idempotency-Key": key},
        method="POST",
    )
    try:
        with urllib.request.urlopen(request, timeout=SECONDS):  # noqa: S310
            return
    except urllib.error.HTTPError as answer:
        answer.close()
        is_permanent = 400 <= answer.code < 500 and answer.code != TRY_LATER
        raise CannotSend(
            _("the text gateway answered %(code)s") % {"code": answer.code}, permanent=is_permanent
        ) from answer
    except OSError as broken:
        raise CannotSend(
            _("text gateway not reached: %(fault)s") % {"fault": type(broken).__name__}, permanent=False
        ) from broken
