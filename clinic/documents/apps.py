"""The clinic's papers as a Django app."""

from django.apps import AppConfig


class DocumentsConfig(AppConfig):
    """Printed sheets; the only home of WeasyPrint."""

    name = "clinic.documents"
    label = "documents"
