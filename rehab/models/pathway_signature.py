"""A named clinician's signature under exactly one version of a pathway."""

from django.conf import settings
from django.db import models

from rehab.engine.facts import TreatmentKind
from rehab.models.site_record import SiteRecord, choices_of


class PathwaySignature(SiteRecord):
    """Who signed which version. `digest` is of the file's contents: another comma, another signature."""

    treatment = models.CharField(max_length=20, choices=choices_of(TreatmentKind))
    version = models.CharField(max_length=80)
    digest = models.CharField(max_length=64)
    signed_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    name = models.CharField(max_length=120)
    signed_at = models.DateTimeField()

    class Meta:
        ordering = ["-signed_at", "-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["site_key", "treatment", "version", "digest"], name="pathway_version_signed_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.treatment} {self.version}: {self.name}"
