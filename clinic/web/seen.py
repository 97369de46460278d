"""Two people at one episode: a form carries the version it was opened on, and a later one is never written over."""

from dataclasses import dataclass, field

from django.forms import BaseForm
from django.http import HttpRequest

from clinic.followup.refusals import ChangedSince
from clinic.people.models import Episode
from clinic.web.episode_rows import Known, log_rows
from rehab.models import HistoryEntry

FIELD = "seen_version"


@dataclass(slots=True)
class Seen:
    """The version an editor looked at, and what was recorded since."""

    version: int | None
    meanwhile: list[HistoryEntry] = field(default_factory=list)
    has_changed: bool = False

    def take(self, changed: ChangedSince, form: BaseForm) -> None:
        """Tell of the change on top of the form; what was typed stays in it."""
        self.has_changed, self.meanwhile = True, changed.entries
        form.add_error(None, str(changed))

    def context(self, known: Known) -> dict:
        """What parts/_seen.html and parts/_meanwhile.html need: once told, the newest version is the one looked at."""
        new = {entry.pk for entry in self.meanwhile}
        version = known.episode.injury.version if self.has_changed or self.version is None else self.version
        rows = [row for row in log_rows(known) if row[0].pk in new] if new else []
        return {FIELD: version, "meanwhile": rows}


def seen_of(request: HttpRequest) -> Seen:
    """The version that a form was opened on; none for a page that was only opened."""
    typed = request.POST.get(FIELD, "")
    return Seen(int(typed) if typed.isdecimal() and len(typed) < 10 else None)


def afresh(episode: Episode) -> Episode:
    """The episode with its injury as it is now, after somebody else changed it."""
    episode.injury.refresh_from_db()
    return episode
