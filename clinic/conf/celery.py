"""Celery for a hospital group: workers woken through Redis, and a clock that sweeps the outbox.

The database row is the truth; a message of the broker holds an id and nothing else. Due times stay
in the database (no eta, no countdown: on Redis those are delivered again and again).
"""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.conf.settings")

app = Celery("clinic")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["clinic.reminders"])
