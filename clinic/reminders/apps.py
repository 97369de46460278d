"""Messages to patients as a Django app."""

from django.apps import AppConfig


class RemindersConfig(AppConfig):
    """The outbox, and what sends it."""

    name = "clinic.reminders"
    label = "reminders"
    default_auto_field = "django.db.models.BigAutoField"
