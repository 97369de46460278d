"""Celery for a hospital group: `celery -A clinic.conf.celery worker` and `… beat`.

The database row is the truth; a message of the broker holds an id and nothing else. Due times stay
in the database (no eta, no countdown: on Redis those are delivered again and again).
"""

import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.conf.settings")

from clinic.jobs.celery_app import app

app.autodiscover_tasks(["clinic.reminders"])

__all__ = ["app"]
