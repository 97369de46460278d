"""Signs of life: when each loop last went round."""

from datetime import datetime, timedelta

from clinic.jobs.models import Heartbeat

EVERY = timedelta(seconds=15)
SILENT_AFTER = timedelta(minutes=3)


def beat(name: str, at: datetime) -> None:
    """Note that a loop has just gone round; a loop that is quicker than this writes only now and then."""
    if Heartbeat.objects.filter(name=name, beat_at__gt=at - EVERY).exists():
        return
    Heartbeat.objects.update_or_create(name=name, defaults={"beat_at": at})


def is_silent(name: str, at: datetime) -> bool:
    """Say whether a loop has not gone round for too long, or never."""
    return not Heartbeat.objects.filter(name=name, beat_at__gt=at - SILENT_AFTER).exists()
