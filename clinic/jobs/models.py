"""Signs of life of the background work."""

from django.db import models


class Heartbeat(models.Model):
    """When a loop last went round; a silent loop shows on the health page."""

    name = models.CharField(max_length=40, unique=True)
    beat_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.name} {self.beat_at}"
