"""The demo as a Django app; it keeps no records of its own."""

from django.apps import AppConfig


class DemoConfig(AppConfig):
    """Commands that fill and run the invented clinic of fixtures_demo."""

    name = "clinic.demo"
    label = "demo"
    default_auto_field = "django.db.models.BigAutoField"
