"""Background work as a Django app."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """In-process by default, Celery workers when a broker is set."""

    name = "clinic.jobs"
    label = "jobs"
    default_auto_field = "django.db.models.BigAutoField"
