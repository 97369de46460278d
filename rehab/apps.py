"""The clinical domain as a Django app."""

from django.apps import AppConfig


class RehabConfig(AppConfig):
    """Injuries, their history and their plans."""

    name = "rehab"
    default_auto_field = "django.db.models.BigAutoField"
