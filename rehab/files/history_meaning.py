"""What the history of a course means: nothing before the injury, only visits of the treatment in force."""

import re
from datetime import date
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from rehab.engine.facts import TreatmentKind
from rehab.engine.pathway import Pathways
from rehab.files.faults import Path, did_you_mean, listed, path_text, shown
from rehab.files.reading import Reading
from rehab.words.dates import in_words
from rehab.words.terms import treatment_name

EXTRA_VISIT = re.compile(r"X[1-9][0-9]*\Z")  # R26: extra visits are X1, X2 ...
OUTCOMES = ("attended", "missed")
DIRECTIONS = ("coronal", "sagittal")

InForce = list[tuple[date, TreatmentKind]]
Kinds = tuple[TreatmentKind, ...]


def check_history(reading: Reading, injured_on: date | None, zone: ZoneInfo | None, pathways: Pathways) -> None:
    """Note every entry that cannot have happened as written."""
    in_force = _treatments_in_order(reading, zone)
    _check_repeats(reading)
    for path in reading.positions("history"):
        on = reading.day(*path, "on")
        _check_after_injury(reading, path, on, injured_on)
        kinds = _kinds_in_force(reading, in_force, on)
        if on and kinds is not None:
            _check_visit(reading, path, kinds, on, pathways)
            _check_wedged(reading, path, kinds, on, pathways)
        _check_place_on(reading, path, on)
        for key in DIRECTIONS:
            _check_direction(reading, (*path, key))


def _treatments_in_order(reading: Reading, zone: ZoneInfo | None) -> InForce | None:
    """List day 0 and kind of each treatment; None when one of them cannot be read."""
    rows: InForce = []
    for path in reading.positions("treatments"):
        at, kind = reading.moment(*path, "at", zone=zone), reading.value(*path, "kind")
        if at is None or kind is None:
            return None
        rows.append((at.date(), TreatmentKind(kind)))
    return rows or None


def _kinds_in_force(reading: Reading, in_force: InForce | None, on: date | None) -> Kinds | None:
    """Find the treatment an entry belongs to (R2): the latest with day 0 not after it; empty before the first.

    When a day 0 cannot be read, every treatment of the course is possible; when a kind cannot be
    read either, nothing can be judged and the answer is None.
    """
    if in_force is None or on is None:
        kinds = [reading.value(*path, "kind") for path in reading.positions("treatments")]
        return tuple(TreatmentKind(kind) for kind in kinds) if kinds and all(kinds) else None
    return next(((kind,) for day_zero, kind in reversed(in_force) if day_zero <= on), ())


def _check_after_injury(reading: Reading, path: Path, on: date | None, injured_on: date | None) -> None:
    if not (on and injured_on and on < injured_on):
        return
    is_film = reading.value(*path, "what") == "film"
    problem = _("A film cannot be older than the injury") if is_film else _("Nothing is recorded before the injury")
    right = _("which was on %(day)s. Give that day or a later one.") % {"day": in_words(injured_on)}
    reading.faults.add((*path, "on"), f"{problem}, {right}")


def _check_visit(reading: Reading, path: Path, kinds: Kinds, on: date, pathways: Pathways) -> None:
    code = reading.value(*path, "visit")
    if code is None or reading.faults.has((*path, "on")):
        return
    if not kinds:
        message = _("No treatment was in force on %(day)s, so there is no visit %(code)s.")
        reading.faults.add((*path, "visit"), message % {"day": in_words(on), "code": shown(code)})
    elif not EXTRA_VISIT.match(code) and not any(code in pathways[kind].codes for kind in kinds):
        reading.faults.add((*path, "visit"), _not_in_force(code, kinds, on, pathways))


def _not_in_force(code: str, kinds: Kinds, on: date, pathways: Pathways) -> str:
    known = sorted({code for kind in kinds for code in pathways[kind].codes}, key=_code_order)
    words = {
        "code": shown(code),
        "treatment": listed(treatment_name(kind) for kind in kinds),
        "day": in_words(on),
        "codes": listed(known),
    }
    is_of_another = any(code in pathway.codes for pathway in pathways.values())
    hint = "" if is_of_another else did_you_mean(code, known)
    message = _("%(code)s is not a visit of the treatment in force on %(day)s, %(treatment)s.") % words
    return message + hint + " " + _("Its visits are %(codes)s.") % words


def _check_repeats(reading: Reading) -> None:
    """Refuse the same outcome of the same visit twice on one day: it would count as two misses."""
    seen: dict[tuple[object, ...], Path] = {}
    for path in reading.positions("history"):
        what, visit, on = (reading.value(*path, key) for key in ("what", "visit", "on"))
        if what not in OUTCOMES or visit is None or on is None:
            continue
        first = seen.setdefault((what, visit, on), path)
        if first != path:
            message = _("%(first)s says the same of this visit and day already. Keep one of the two.")
            reading.faults.add((*path, "visit"), message % {"first": path_text(first)})


def _code_order(code: str) -> tuple[str, int, str]:
    number = re.search(r"[0-9]+", code)
    return code[:1], int(number.group()) if number else 0, code


def _check_wedged(reading: Reading, path: Path, kinds: Kinds, on: date, pathways: Pathways) -> None:
    if reading.value(*path, "what") == "wedged" and not any(pathways[kind].is_wedgeable for kind in kinds):
        message = _("Only a cast can be wedged, and no cast was in force on %(day)s. Mend the day or take this out.")
        reading.faults.add((*path, "what"), message % {"day": in_words(on)})


def _check_place_on(reading: Reading, path: Path, on: date | None) -> None:
    place_on = reading.day(*path, "place_on")
    if place_on and on and place_on < on:
        message = _("The place is before the day it was booked, %(day)s. Give that day or a later one.")
        reading.faults.add((*path, "place_on"), message % {"day": in_words(on)})


def _check_direction(reading: Reading, path: Path) -> None:
    degrees, toward = reading.value(*path, "degrees"), reading.value(*path, "toward")
    choices = _("varus or valgus") if path[-1] == "coronal" else _("apex anterior or apex posterior")
    if degrees and toward is None:
        words = {"choices": choices, "degrees": degrees}
        reading.faults.add((*path, "toward"), _("Choose %(choices)s for %(degrees)s°.") % words)
    if toward is not None and degrees is None:
        message = _("A direction needs its degrees. Give the degrees toward %(toward)s, or null for both.")
        reading.faults.add((*path, "degrees"), message % {"toward": toward})
