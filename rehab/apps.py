"""The clinical domain as a Django app."""

from django.apps import AppConfig


class RehabConfig(AppConfig):
    """Injuries, their history and their plans."""

    name = "rehab"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Let every start of the program check the pathways it will follow."""
        from rehab import checks  # noqa: F401 - importing registers them
