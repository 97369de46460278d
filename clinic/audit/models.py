"""Who looked, who acted, and what was there before and after."""

from uuid import uuid4

from django.conf import settings
from django.db import models

from rehab.models.append_only import AppendOnlyModel, AppendOnlyQuerySet


class AccessEntry(AppendOnlyModel):
    """One look or one act. `user` is empty for the clinic's own clockwork."""

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    site_key = models.UUIDField(db_index=True)
    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    who = models.CharField(max_length=120)
    role = models.CharField(max_length=16, blank=True)
    action = models.CharField(max_length=60)
    record = models.CharField(max_length=60)
    record_uuid = models.UUIDField(db_index=True)
    before = models.JSONField(default=dict)
    after = models.JSONField(default=dict)
    at = models.DateTimeField()

    objects = AppendOnlyQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "access entries"
        ordering = ["-at", "-id"]
        indexes = [models.Index(fields=["site_key", "at", "id"], name="access_of_a_site")]

    def __str__(self) -> str:
        return f"{self.at} {self.who} {self.action}"
