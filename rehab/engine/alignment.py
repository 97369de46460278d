"""Lost alignment: each film against the limits, the first film of its baseline, and the film before it."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum

from rehab.engine.facts import Film
from rehab.engine.pathway import AlignmentLimits
from rehab.engine.planned import Reason

ANGLES = ("coronal", "sagittal")
MEASURES = (*ANGLES, "rotation", "shortening", "contact")


class FilmColour(StrEnum):
    """How a film compares: in limits, changed, over the limit; never printed as a colour."""

    GREEN = "green"
    AMBER = "amber"
    RED = "red"


@dataclass(frozen=True, slots=True)
class FilmJudgement:
    """What one film says. `colour` is None when a needed measurement is missing: then it is not in limits."""

    film: Film
    colour: FilmColour | None
    reasons: tuple[Reason, ...]
    is_new_baseline: bool
    is_first_red: bool


@dataclass(slots=True)
class AlignmentWatch:
    """The films of one treatment as they come in (rules R44 to R47)."""

    limits: AlignmentLimits
    baseline: Film | None = None
    previous: Film | None = None
    wedged_on: date | None = None
    on_baseline: list[FilmJudgement] = field(default_factory=list)
    has_red: bool = False

    def wedge(self, on: date) -> None:
        """Note that the cast was wedged: the next film, if taken at once, is the new first film."""
        self.wedged_on = on

    def read(self, film: Film) -> FilmJudgement:
        """Judge a film and remember it.

        The first film after wedging becomes the baseline only if dated within the days the
        pathway gives (the same or the next day); a later one is judged against the old
        baseline, so that a slip in between is not hidden (R44).
        """
        is_measured = any(getattr(film, name) is not None for name in MEASURES)
        if is_measured and self._replaces_baseline(film):
            self._start(film=None)
        is_first = self.baseline is None
        colour, reasons = judge(film, self._compared_with(), self.limits)
        judgement = FilmJudgement(
            film, colour, reasons, is_measured and is_first, colour is FilmColour.RED and not self.has_red
        )
        self._remember(judgement, is_measured=is_measured)
        return judgement

    def _compared_with(self) -> list[tuple[str, Film]]:
        """Give the films to compare with: the first and the last of the baseline, once if they are one."""
        if self.baseline is None:
            return []
        if self.previous is None or self.previous is self.baseline:
            return [("first film", self.baseline)]
        return [("first film", self.baseline), ("last film", self.previous)]

    def _replaces_baseline(self, film: Film) -> bool:
        if self.wedged_on is None:
            return False
        days = (film.on - self.wedged_on).days
        self.wedged_on = None
        return days <= self.limits.new_baseline_within_days

    def _start(self, film: Film | None) -> None:
        self.baseline = self.previous = film
        self.on_baseline = []
        self.has_red = False

    def _remember(self, judgement: FilmJudgement, *, is_measured: bool) -> None:
        film = judgement.film
        self.has_red = self.has_red or judgement.colour is FilmColour.RED
        if is_measured and film.is_baseline and self.baseline is not None:
            self._start(film)
        if is_measured:
            self.baseline = self.baseline or film
            self.previous = film
        self.on_baseline.append(judgement)


def judge(
    film: Film, compared_with: list[tuple[str, Film]], limits: AlignmentLimits
) -> tuple[FilmColour | None, tuple[Reason, ...]]:
    """Compare one film with the limits and with older films; the worst finding gives the colour.

    Equal to a limit is acceptable, above is not; a change is in its band as soon as it
    reaches it, growth of shortening only above it (R46). Angles are signed degrees, so
    3 degrees of varus to 3 of valgus is a change of 6. Missing measurements are left out,
    but a film without both angles and the shortening can never be in limits (R47).
    Source: A1 to A3 limits as cited in the pathway's shared rules; bands local.
    """
    over = _over_limits(film, limits)
    changed: list[tuple[FilmColour, Reason]] = []
    for since, old in compared_with:
        changed += _changes(film, old, since, limits)
    found = [(FilmColour.RED, reason) for reason in over] + changed
    reasons = tuple(reason for _, reason in found)
    colours = {colour for colour, _ in found}
    if FilmColour.RED in colours:
        return FilmColour.RED, reasons
    if FilmColour.AMBER in colours:
        return FilmColour.AMBER, reasons
    is_complete = None not in (film.coronal, film.sagittal, film.shortening)
    return (FilmColour.GREEN if is_complete else None), ()


def _over_limits(film: Film, limits: AlignmentLimits) -> list[Reason]:
    measured = (
        ("coronal", film.coronal, limits.coronal_degrees),
        ("sagittal", film.sagittal, limits.sagittal_degrees),
        ("rotation", film.rotation, limits.rotation_degrees),
        ("shortening", film.shortening, limits.shortening_mm),
    )
    reasons = [
        Reason("R46", "over_limit", {"measure": name, "value": value, "limit": limit})
        for name, value, limit in measured
        if value is not None and abs(value) > limit
    ]
    if film.contact is not None and film.contact < limits.contact_percent:
        values = {"measure": "contact", "value": film.contact, "limit": limits.contact_percent}
        reasons.append(Reason("R46", "under_limit", values))
    return reasons


def _changes(film: Film, old: Film, since: str, limits: AlignmentLimits) -> list[tuple[FilmColour, Reason]]:
    found = []
    for name in ANGLES:
        now, before = getattr(film, name), getattr(old, name)
        if now is None or before is None:
            continue
        change = abs(now - before)
        if change >= limits.changed_degrees:
            colour = FilmColour.RED if change >= limits.over_change_degrees else FilmColour.AMBER
            found.append((colour, _changed(name, now, change, since, old)))
    if film.shortening is not None and old.shortening is not None:
        growth = film.shortening - old.shortening
        if growth > limits.changed_shortening_mm:
            colour = FilmColour.RED if growth > limits.over_shortening_mm else FilmColour.AMBER
            found.append((colour, _changed("shortening", film.shortening, growth, since, old)))
    return found


def _changed(measure: str, value: Decimal, change: Decimal, since: str, old: Film) -> Reason:
    return Reason(
        "R46", "changed", {"measure": measure, "value": value, "change": change, "since": since, "since_on": old.on}
    )
