"""Writing the access log."""

from datetime import datetime
from uuid import UUID

from django.contrib.auth.models import User

from clinic.audit.models import AccessEntry
from clinic.common.clock import now


def note(
    *,
    site_key: UUID,
    user: User | None,
    who: str,
    role: str,
    action: str,
    record: str,
    record_uuid: UUID,
    before: dict | None = None,
    after: dict | None = None,
    at: datetime | None = None,
) -> AccessEntry:
    """Note one look or one act. Inside a transaction it stands or falls with what it tells of."""
    return AccessEntry.objects.create(
        site_key=site_key,
        user=user,
        who=who,
        role=role,
        action=action,
        record=record,
        record_uuid=record_uuid,
        before=before or {},
        after=after or {},
        at=at or now(),
    )
