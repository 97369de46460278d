"""Registering a patient with a broken tibia: the first act of an episode."""

from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from clinic.common.clock import clinic_today, now
from clinic.diary.calendar import clinic_days_of
from clinic.followup.act import Act, Outcome
from clinic.people.duties import require
from clinic.people.models import Episode, Patient, PrintSize, Site, StaffMember
from clinic.people.phones import mobile_number
from rehab import queries, services
from rehab.engine.pathway import Pathways
from rehab.files import CourseFaults, read_course
from rehab.translate import ClinicDays
from rehab.translate.course_documents import clinic_part


@dataclass(frozen=True, slots=True, kw_only=True)
class Registration:
    """What the form brings, as it was typed. Moments are aware; words are those of the course file.

    `side_again` is the side typed a second time, from the operation note: both must agree (H1).
    """

    given_name: str
    family_name: str
    born_on: date | None
    hospital_number: str
    email: str = ""
    mobile: str = ""
    language: str = "en-gb"
    print_size: int = PrintSize.CLEAR
    injured_at: datetime | None
    presented_at: datetime | None = None
    side: str
    side_again: str
    bone_segment: str = "42"
    fracture_class: str
    edition: int = 2018
    fibula: str
    open_grade: str
    wound_closed_at: datetime | None = None
    antibiotic_at: datetime | None = None
    circumstances: tuple[str, ...] = field(default=())
    treatment: str
    treated_at: datetime | None
    fixation_principle: str | None = None
    weight_kg: Decimal | None = None
    weighed_on: date | None = None


@transaction.atomic
def register_patient(typed: Registration, *, by: StaffMember, at: datetime | None = None) -> Outcome:
    """Put a patient, the injury and its first treatment on file, and make the first plan.

    Raises CourseFaults with every fault of person, injury and treatment at once; nothing is half-saved.
    A course out of scope is put on file as well: it stands on a clinician's list, never nowhere (R6).
    """
    require("register_patient", by)
    at, site = at or now(), by.site
    patient, faults = _patient(typed, site)
    days, pathways = clinic_days_of(site), queries.pathways_in_force(site.uuid)
    document = _document(typed, days)
    faults += _course_faults(document, pathways, site, clinic_today(site.zone, at), typed)
    if faults:
        raise CourseFaults(faults)
    patient.save()
    injury = services.register_injury(document, pathways=pathways, site_key=site.uuid, by=by.user, at=at)
    today = clinic_today(site.zone, at)
    episode = Episode.objects.create(site=site, patient=patient, injury=injury, opened_on=today)
    return Act("register_patient", episode, injury, by, days, at, today, pathways, before=None).finish()


def _patient(typed: Registration, site: Site) -> tuple[Patient, list[dict[str, str]]]:
    """Make the patient's record, not saved yet, and list what is wrong with it."""
    faults = []
    try:
        mobile = mobile_number(typed.mobile, site.country)
    except ValidationError as unusable:
        mobile = ""
        faults.append({"path": "$.patient.mobile", "message": unusable.messages[0]})
    patient = Patient(
        site=site,
        given_name=typed.given_name.strip(),
        family_name=typed.family_name.strip(),
        born_on=typed.born_on,  # type: ignore[misc]  # None is told of by the course's own reader
        hospital_number=typed.hospital_number.strip(),
        email=typed.email.strip(),
        mobile=mobile,
        language=typed.language,
        print_size=typed.print_size,
    )
    try:
        patient.full_clean(exclude=["born_on"])  # the course's own reader speaks of the date of birth
    except ValidationError as wrong:
        faults += [
            {"path": f"$.patient.{name}" if name != "__all__" else "$.patient", "message": " ".join(messages)}
            for name, messages in wrong.message_dict.items()
        ]
    return patient, faults


def _course_faults(
    document: dict, pathways: Pathways, site: Site, today: date, typed: Registration
) -> list[dict[str, str]]:
    faults = []
    try:
        read_course(document, pathways)
    except CourseFaults as found:
        faults += found.faults
    if typed.side != typed.side_again:
        message = _("The two sides do not agree. Look at the operation note and type the side twice.")
        faults.append({"path": "$.injury.side_again", "message": message})
    faults += _still_to_come(document, site, today)
    first_by_path: dict[str, dict[str, str]] = {}
    for fault in faults:
        first_by_path.setdefault(fault["path"], fault)
    return list(first_by_path.values())


def _still_to_come(document: dict, site: Site, today: date) -> list[dict[str, str]]:
    """List days and moments that have not come yet: nothing is recorded ahead."""
    message = _("This is still to come. Record it on the day, or later.")
    moments = {
        "$.injury.at": document["injury"]["at"],
        "$.injury.presented_at": document["injury"].get("presented_at"),
        "$.treatments[0].at": document["treatments"][0]["at"],
    }
    days = {path: datetime.fromisoformat(text).astimezone(site.zone).date() for path, text in moments.items() if text}
    for path in ("born_on", "weighed_on"):
        if text := document["person"][path]:
            days[f"$.person.{path}"] = date.fromisoformat(text)
    return [{"path": path, "message": message} for path, day in days.items() if day > today]


def _document(typed: Registration, days: ClinicDays) -> dict:
    """Write what was typed as the document of a course file: one reader checks pages and files alike."""
    injury = {
        "at": _text(typed.injured_at),
        "side": typed.side,
        "bone_segment": typed.bone_segment,
        "fracture_class": typed.fracture_class,
        "edition": typed.edition,
        "fibula": typed.fibula,
        "open_grade": typed.open_grade,
        "wound_closed_at": _text(typed.wound_closed_at),
        "antibiotic_at": _text(typed.antibiotic_at),
        "circumstances": list(typed.circumstances),
    }
    if typed.presented_at is not None:
        injury["presented_at"] = _text(typed.presented_at)
    treatment = {
        "kind": typed.treatment,
        "at": _text(typed.treated_at),
        "fixation_principle": typed.fixation_principle or None,
    }
    return {
        "clinic": clinic_part(days.clinic),
        "person": {
            "born_on": _text(typed.born_on),
            "weight_kg": typed.weight_kg,
            "weighed_on": _text(typed.weighed_on),
        },
        "injury": injury,
        "treatments": [treatment],
        "history": [],
    }


def _text(moment: date | datetime | None) -> str | None:
    return None if moment is None else moment.isoformat()
