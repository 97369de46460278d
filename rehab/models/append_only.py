"""Records that are only added to: neither changed nor removed through the ORM."""

from django.db import models


class AppendOnly(Exception):
    """This record is only added to. Record a correction that supersedes the entry."""

    def __init__(self) -> None:
        super().__init__(self.__doc__)


class AppendOnlyQuerySet(models.QuerySet):
    """Entries, with the two ways of losing many at once shut."""

    def update(self, **fields):
        """Refuse: an entry is never changed."""
        raise AppendOnly

    def delete(self):
        """Refuse: an entry is never removed."""
        raise AppendOnly


class AppendOnlyModel(models.Model):
    """An entry that is written once."""

    class Meta:
        abstract = True

    def save(self, *args, **kwargs) -> None:
        """Write a new entry; refuse to write over an old one."""
        if not self._state.adding:
            raise AppendOnly
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        """Refuse: an entry is never removed."""
        raise AppendOnly
