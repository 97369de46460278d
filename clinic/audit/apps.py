"""The record of who looked and who acted, as a Django app."""

from django.apps import AppConfig


class AuditConfig(AppConfig):
    """Append-only entries: who, what, before and after."""

    name = "clinic.audit"
    label = "audit"
    default_auto_field = "django.db.models.BigAutoField"
