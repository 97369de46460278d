"""The outbox: every message to a patient, from the moment it is owed to its end."""

from uuid import uuid4

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from clinic.diary.models import Booking
from clinic.people.models import Episode, Site


class MessageKind(models.TextChoices):
    """What a message is for."""

    CONFIRMATION = "confirmation", _("confirmation of a visit")
    CHANGE = "change", _("change of a visit")
    CANCELLATION = "cancellation", _("cancellation of a visit")
    FIRST_REMINDER = "first reminder", _("first reminder")
    SECOND_REMINDER = "second reminder", _("second reminder")


class Channel(models.TextChoices):
    """How it leaves."""

    EMAIL = "email", _("e-mail")
    SMS = "sms", _("text message")


class MessageState(models.TextChoices):
    """Where a message stands. Every message is in exactly one state, so the states add up to all ever made."""

    DUE = "due", _("due")
    CLAIMED = "claimed", _("being sent")
    FAILED = "failed", _("failed, will be tried again")
    UNCERTAIN = "uncertain", _("may have left, will be tried again")
    SENT = "sent", _("sent")
    DEAD = "dead", _("given up: ring the patient")
    SUPERSEDED = "superseded", _("overtaken by a change")


class Untold(models.TextChoices):
    """Why no message reaches a patient, so that somebody must ring or write; an act says it in its answer."""

    NO_ADDRESS = "no address", _("no e-mail, no mobile")
    NO_GATEWAY = "no gateway", _("no e-mail, and this clinic sends no texts")


class OutboxMessage(models.Model):
    """One message on one channel for one revision of one booking.

    The key (booking, kind, channel, revision) is unique, so nothing is owed twice; a visit booked
    afresh after a cancellation is a new booking. The words and the invitation are written at the first
    try and kept, so that a second try, under the same Message-ID, says exactly the same.
    A claim sets `lease_until` and raises `tries`; whoever finishes must still hold that try.
    """

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="messages")
    episode = models.ForeignKey(Episode, models.PROTECT, related_name="messages")
    booking = models.ForeignKey(Booking, models.PROTECT, related_name="messages")
    kind = models.CharField(max_length=16, choices=MessageKind.choices)
    channel = models.CharField(max_length=5, choices=Channel.choices)
    revision = models.PositiveIntegerField(help_text=_("The booking's sequence that this message tells of."))
    state = models.CharField(max_length=10, choices=MessageState.choices, default=MessageState.DUE)
    created_at = models.DateTimeField()
    due_at = models.DateTimeField()
    lease_until = models.DateTimeField(null=True, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    last_error = models.CharField(max_length=300, blank=True)
    leaving_at = models.DateTimeField(null=True, blank=True, help_text=_("Set just before it is handed over."))
    sent_at = models.DateTimeField(null=True, blank=True)
    to = models.CharField(max_length=254, blank=True)
    subject = models.CharField(max_length=200, blank=True)
    text = models.TextField(blank=True)
    html = models.TextField(blank=True)
    ics = models.TextField(blank=True)

    class Meta:
        ordering = ["due_at", "id"]
        indexes = [
            models.Index(fields=["state", "due_at", "id"], name="messages_due"),
            models.Index(fields=["site", "state", "due_at", "id"], name="messages_of_a_site"),
        ]
        constraints = [
            models.UniqueConstraint(fields=["booking", "kind", "channel", "revision"], name="message_owed_once"),
            models.CheckConstraint(condition=Q(state__in=MessageState.values), name="message_state_is_known"),
            models.CheckConstraint(
                condition=~Q(state=MessageState.SENT) | Q(sent_at__isnull=False), name="message_sent_has_an_instant"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.channel} {self.state}"
