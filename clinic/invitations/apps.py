from django.apps import AppConfig


class InvitationsConfig(AppConfig):
    """Calendar invitations: keeps no records, brings the command `write_invitation`."""

    name = "clinic.invitations"
