"""The clinic's acts as a Django app, for its commands."""

from django.apps import AppConfig


class FollowupConfig(AppConfig):
    """Acts across people, diary, messages and rehab."""

    name = "clinic.followup"
    label = "followup"
