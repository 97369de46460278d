"""The clinic's diary as a Django app."""

from django.apps import AppConfig


class DiaryConfig(AppConfig):
    """Sessions, the room in them, and who has a place."""

    name = "clinic.diary"
    label = "diary"
    default_auto_field = "django.db.models.BigAutoField"
