"""Who looked, who acted, and what was there before and after."""

from uuid import uuid4

from django.conf import settings
from django.db import models


class AppendOnly(Exception):
    """The access log is only added to."""

    def __init__(self) -> None:
        super().__init__(self.__doc__)


class AccessEntryQuerySet(models.QuerySet):
    """Entries, with the two ways of losing them shut."""

    def update(self, **fields):
        """Refuse: an entry is never changed."""
        raise AppendOnly

    def delete(self):
        """Refuse: an entry is never removed."""
        raise AppendOnly


class AccessEntry(models.Model):
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

    objects = AccessEntryQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "access entries"
        ordering = ["-at", "-id"]
        indexes = [models.Index(fields=["site_key", "at", "id"], name="access_of_a_site")]

    def __str__(self) -> str:
        return f"{self.at} {self.who} {self.action}"

    def save(self, *args, **kwargs) -> None:
        """Write a new entry; refuse to write over an old one."""
        if not self._state.adding:
            raise AppendOnly
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        """Refuse: an entry is never removed."""
        raise AppendOnly
