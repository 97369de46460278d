"""What was recorded of an injury, entry by entry; nothing here is ever changed or removed."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from rehab.models.append_only import AppendOnlyModel, AppendOnlyQuerySet
from rehab.models.injury import Injury
from rehab.models.site_record import SiteRecord


class EntryKind(models.TextChoices):
    """What an entry says. The values are the words of the course file, plus the diary's own three."""

    ATTENDED = "attended", _("attended")
    MISSED = "missed", _("missed")
    BOOKED = "booked", _("booked")
    FILM = "film", _("film")
    GATE_FINDINGS = "gate findings", _("gate findings")
    STAGE_ORDERED = "stage ordered", _("stage ordered")
    WEDGED = "wedged", _("wedged")
    CLINICAL_UNION = "clinical union", _("clinical union")
    UNION_CONFIRMED = "union confirmed", _("union confirmed")
    CLOT_REVIEW_CLOSED = "clot review closed", _("clot review closed")
    ANTIBIOTIC_REVIEW_CLOSED = "antibiotic review closed", _("antibiotic review closed")
    DISCHARGED = "discharged", _("discharged")
    WEIGHED = "weighed", _("weighed")
    WITHDRAWN = "withdrawn", _("withdrawn")  # takes back the entry it supersedes, and says why


class HistoryEntryQuerySet(AppendOnlyQuerySet):
    """The history of injuries."""

    def standing(self):
        """Only what still counts: not corrected since, and not itself a taking back."""
        return self.filter(superseded_by=None).exclude(kind=EntryKind.WITHDRAWN)


class HistoryEntry(AppendOnlyModel, SiteRecord):
    """One thing recorded of one injury on one day.

    A correction is a new entry that supersedes the old one; both stay readable.
    `injury_version` is the injury's version from this entry on.
    """

    injury = models.ForeignKey(Injury, models.PROTECT, related_name="history")
    kind = models.CharField(max_length=24, choices=EntryKind.choices)
    on = models.DateField()
    payload = models.JSONField(default=dict)
    note = models.CharField(max_length=400, blank=True)  # why, in the words of whoever recorded it
    supersedes = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="superseded_by", editable=False
    )
    injury_version = models.PositiveIntegerField(default=0, editable=False)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()

    objects = HistoryEntryQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "history entries"
        ordering = ["on", "id"]
        indexes = [models.Index(fields=["injury", "on", "id"], name="history_in_order")]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(kind__in=EntryKind.values),
                name="history_kind_is_known",
                violation_error_message=_("This kind of entry is not known."),
            ),
            models.CheckConstraint(
                condition=~models.Q(kind=EntryKind.WITHDRAWN) | models.Q(supersedes__isnull=False),
                name="history_withdrawal_names_its_entry",
                violation_error_message=_("Say which entry is taken back."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.on} {self.kind}"
