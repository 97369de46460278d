"""What every clinical record has: a public identifier and the site it belongs to."""

from uuid import uuid4

from django.db import models


class SiteRecord(models.Model):
    """A record of one site. `site_key` is the site's public identifier: rehab knows no sites."""

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    site_key = models.UUIDField(db_index=True, editable=False)

    class Meta:
        abstract = True


def choices_of(words) -> list[tuple[str, str]]:
    """Choices for a field that holds one member of an engine enumeration."""
    return [(member.value, member.value) for member in words]
