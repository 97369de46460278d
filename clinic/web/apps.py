from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class WebConfig(AppConfig):
    """The pages, their drawings and their static files. No records of its own."""

    name = "clinic.web"
    label = "web"
    verbose_name = _("pages")
