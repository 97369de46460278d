"""The clinic's people as a Django app."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    """Sites, staff, patients and their episodes."""

    name = "clinic.people"
    label = "people"
    default_auto_field = "django.db.models.BigAutoField"
