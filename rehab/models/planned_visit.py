"""The rows of the plan as last computed, kept so that lists can be asked of the database."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from rehab.models.injury import Injury, Treatment
from rehab.models.site_record import SiteRecord


class VisitRowState(models.TextChoices):
    """What became of a row. `dropped`: the plan no longer holds it (kept, because papers named it)."""

    PLANNED = "planned", _("planned")
    ATTENDED = "attended", _("attended")
    MISSED = "missed", _("missed")
    CANCELLED = "cancelled", _("cancelled")
    DROPPED = "dropped", _("dropped")


class PlannedVisit(SiteRecord):
    """One row of one plan. `code`, `treatment` and `attempt` name it for good; the rest follows the facts.

    `why` holds reasons as values: `[{"rule": "S5", "code": "nearest_open_day", "values": {...}}]`.
    """

    injury = models.ForeignKey(Injury, models.PROTECT, related_name="planned_visits")
    treatment = models.ForeignKey(Treatment, models.PROTECT, related_name="planned_visits")
    code = models.CharField(max_length=8)
    attempt = models.PositiveSmallIntegerField(default=1)
    title = models.CharField(max_length=200)
    target_on = models.DateField()
    earliest_on = models.DateField()
    latest_on = models.DateField()
    placed_on = models.DateField(null=True)
    deadline_on = models.DateField(null=True)
    planning_on = models.DateField()
    day = models.IntegerField(null=True)
    healing_day = models.IntegerField(null=True)
    in_window = models.BooleanField()
    contents = models.JSONField(default=list)
    stations = models.JSONField(default=list)
    together_with = models.JSONField(default=list)
    with_film = models.BooleanField(default=False)
    only_if_not_united = models.BooleanField(default=False)
    is_real = models.BooleanField(default=True)
    state = models.CharField(max_length=9, choices=VisitRowState.choices, default=VisitRowState.PLANNED)
    why = models.JSONField(default=list)

    class Meta:
        ordering = ["placed_on", "target_on", "id"]
        indexes = [
            models.Index(fields=["site_key", "state", "placed_on", "id"], name="visits_of_a_site_by_day"),
            models.Index(fields=["site_key", "state", "latest_on", "id"], name="visits_of_a_site_by_limit"),
        ]
        constraints = [
            models.UniqueConstraint(fields=["treatment", "code", "attempt"], name="visit_once_in_a_plan"),
            models.CheckConstraint(
                condition=Q(earliest_on__lte=models.F("latest_on")),
                name="visit_window_runs_forward",
                violation_error_message=_("A window begins before it ends."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.placed_on or _('no place')}"
