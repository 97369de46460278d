"""Callus on the four cortices, film by film: squares filled by thirds; a hidden cortex is a dashed square."""

from dataclasses import dataclass
from datetime import date

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext

from clinic.web.drawings.dates import in_words, weekday_and_day
from clinic.web.drawings.svg import box, picture, text

CORTICES = (gettext_lazy("medial"), gettext_lazy("lateral"), gettext_lazy("anterior"), gettext_lazy("posterior"))
LEFT, COLUMN, ROW, HEAD, SQUARE = 128, 78, 36, 28, 24
WIDTH = LEFT + 4 * COLUMN + 96
THIRDS = 3
NONE = 1  # the score of a cortex without callus


@dataclass(frozen=True, slots=True)
class ScoredFilm:
    """The scores of one film: medial, lateral, anterior, posterior; None is a hidden cortex."""

    on: date
    scale: str
    cortices: tuple[int | None, ...]
    total: int | None


def callus_words(films: tuple[ScoredFilm, ...]) -> str:
    """The chart in words, film by film."""
    return " ".join(_said(film) for film in films)


def _said(film: ScoredFilm) -> str:
    hidden = pgettext("cortex", "hidden")
    scores = zip(CORTICES, film.cortices, strict=True)
    each = ", ".join(f"{name} {hidden if score is None else score}" for name, score in scores)
    total = total_words(film)
    return _("%(on)s: %(each)s; %(total)s.") % {"on": in_words(film.on), "each": each, "total": total}


def total_words(film: ScoredFilm) -> str:
    """The scale with its total, or that there is none."""
    if film.total is None:
        return _("%(scale)s: no total") % {"scale": film.scale}
    return f"{film.scale} {film.total}"


def draw_callus_chart(films: tuple[ScoredFilm, ...]) -> SafeString:
    """One row a film, one column a cortex."""
    heads = [text(LEFT + COLUMN * n, 16, name, "chart-axis") for n, name in enumerate(CORTICES)]
    rows = [piece for n, film in enumerate(films) for piece in _row(film, HEAD + ROW * n)]
    height = HEAD + ROW * len(films)
    return picture(WIDTH, height, *heads, *rows, class_="callus-chart", label=callus_words(films))


def _row(film: ScoredFilm, y: float) -> list[SafeString]:
    squares = [piece for n, score in enumerate(film.cortices) for piece in _square(score, LEFT + COLUMN * n, y)]
    base = y + SQUARE - 6
    on = text(0, base, weekday_and_day(film.on), "chart-date")
    return [on, *squares, text(LEFT + 4 * COLUMN, base, total_words(film), "chart-value")]


def _square(score: int | None, x: float, y: float) -> list[SafeString]:
    if score is None:
        return [box(x, y, SQUARE, SQUARE, "callus-hidden")]
    filled = SQUARE * min(score - NONE, THIRDS) / THIRDS
    return [box(x, y + SQUARE - filled, SQUARE, filled, "callus-fill"), box(x, y, SQUARE, SQUARE, "callus-square")]
