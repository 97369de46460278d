"""The Celery application, for web processes that wake workers and for the workers themselves."""

from celery import Celery

app = Celery("clinic")
app.config_from_object("django.conf:settings", namespace="CELERY")
