"""From the films read so far to their charts."""

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clinic.web.drawings.angle_chart import AngleChart, Reading, draw_angle_chart
from clinic.web.drawings.callus_chart import ScoredFilm, draw_callus_chart
from clinic.web.episode_rows import Known
from rehab.engine.facts import Film
from rehab.words.measures import DIRECTIONS, reading

NEWEST = 8  # films on one callus chart


def film_charts(known: Known) -> list[tuple[str, SafeString]]:
    """A chart of each plane that was measured and of the callus, with its title; none for what nobody read."""
    films = [known.film(state) for state in known.plan.films]
    limits = known.pathway.shared.alignment
    planes = (
        ("coronal", _("From the front"), limits.coronal_degrees),
        ("sagittal", _("From the side"), limits.sagittal_degrees),
    )
    charts = [_plane(known, films, name, title, limit) for name, title, limit in planes]
    callus = _callus(films)
    return [chart for chart in [*charts, callus] if chart]


def _plane(known: Known, films: list[Film], name: str, title: str, limit) -> tuple[str, SafeString] | None:
    readings = tuple(
        Reading(film.on, getattr(film, name), reading(name, getattr(film, name)), film.on < known.plan.anchor_on)
        for film in films
        if getattr(film, name) is not None
    )
    if not readings:
        return None
    negative, positive = (str(word) for word in DIRECTIONS[name])
    return title, draw_angle_chart(AngleChart(title, negative, positive, limit, readings))


def _callus(films: list[Film]) -> tuple[str, SafeString] | None:
    scored = [(film.on, film.score) for film in films if film.score is not None][-NEWEST:]
    if not scored:
        return None
    rows = (ScoredFilm(on, score.scale.value, score.cortices, score.total) for on, score in scored)
    return _("Callus on each cortex"), draw_callus_chart(tuple(rows))
