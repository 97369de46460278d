"""Made-up courses for the benchmark: ninety injuries, a third each in a cast, nailed and plated.

Each has four months of history, so that every rule has something to look at.
"""

from datetime import date, datetime, timedelta
from typing import Any

CLINIC = {
    "time_zone": "Europe/London",
    "country": "GB",
    "subdivision": "ENG",
    "clinic_days": ["mon", "wed", "fri"],
    "appointment_time": "09:30",
    "closed_on": ["2027-05-05"],
    "full_on": ["2027-06-09", "2027-06-11"],
}
KINDS = {"long_leg_cast": "C", "intramedullary_nail": "N", "plate_and_screws": "P"}
FIRST_INJURY = datetime(2027, 1, 4, 11, 0)  # noqa: DTZ001 - clinic time, as a course file writes it
INJURIES_OF_A_KIND = 30


def documents() -> list[dict[str, Any]]:
    """Return the courses as course files would hold them."""
    return [document(kind, n) for n in range(INJURIES_OF_A_KIND) for kind in KINDS]


def document(kind: str, n: int) -> dict[str, Any]:
    """Return the course of the n-th injury treated in this way."""
    injured_at = FIRST_INJURY + timedelta(days=5 * n, hours=n % 7)
    fixation = "relative" if kind == "plate_and_screws" else None
    return {
        "clinic": CLINIC,
        "person": {"born_on": "1980-06-15", "weight_kg": 60.0 + n, "weighed_on": day(injured_at, 0)},
        "injury": {
            "at": minutes(injured_at),
            "presented_at": minutes(injured_at + timedelta(hours=1)),
            "side": "left" if n % 2 else "right",
            "bone_segment": "42",
            "fracture_class": "A2",
            "edition": 2018,
            "fibula": "intact" if n % 3 == 0 else "same level",
            "open_grade": "closed" if n % 5 else "II",
        },
        "treatments": [{"kind": kind, "at": minutes(injured_at + timedelta(hours=4)), "fixation_principle": fixation}],
        "history": history(KINDS[kind], injured_at, n),
    }


def history(letter: str, injured_at: datetime, n: int) -> list[dict[str, Any]]:
    """Return what was recorded: attendances, four films, findings, one order."""
    films = [film(injured_at, days, n) for days in (1, 14, 42, 84)]
    attended = [{"on": day(injured_at, 14), "what": "attended", "visit": f"{letter}1"}]
    findings = {"on": day(injured_at, 42), "what": "gate findings", "visit": f"{letter}2"}
    order = {"on": day(injured_at, 43), "what": "stage ordered", "stage": "PWB25", "by": "surgeon"}
    return [films[0], *attended, films[1], films[2], {**findings, "findings": {"rest_pain": 0}}, order, films[3]]


def film(injured_at: datetime, days: int, n: int) -> dict[str, Any]:
    """Return one film reading."""
    cortex = 1 if days < 42 else 2
    return {
        "on": day(injured_at, days),
        "what": "film",
        "coronal": {"degrees": 2 + n % 3, "toward": "varus"},
        "sagittal": {"degrees": 3, "toward": "apex anterior"},
        "rotation_degrees": 0,
        "shortening_mm": 3,
        "contact_percent": 90,
        "baseline": days == 1,
        "score": {"scale": "RUST", "cortices": [cortex, cortex, 1, None if n % 4 == 0 else 1]},
    }


def day(injured_at: datetime, days: int) -> str:
    """Write the date so many days after the injury."""
    return (injured_at.date() + timedelta(days=days)).isoformat()


def minutes(moment: datetime) -> str:
    """Write a moment to the minute."""
    return moment.isoformat(timespec="minutes")


def first_and_last_day() -> tuple[date, date]:
    """Return a span that holds every plan of these courses."""
    return date(2026, 12, 1), date(2029, 12, 31)
