"""What would be right, for each named place of the course schema."""

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from rehab.files.faults import listed

# The key is the `title` of the place in the schema; the numbers come from the schema beside it.
RIGHT_ANSWERS = {
    "course": gettext_lazy("A course is one object in braces with the keys: %(keys)s."),
    "clinic": gettext_lazy("Give an object in braces with the keys: %(keys)s."),
    "person": gettext_lazy("Give an object in braces with the keys: %(keys)s."),
    "injury": gettext_lazy("Give an object in braces with the keys: %(keys)s."),
    "treatments": gettext_lazy("Give a list in brackets with one treatment or more, in the order of time."),
    "treatment": gettext_lazy("Give an object in braces with the keys: %(keys)s."),
    "history": gettext_lazy("Give a list in brackets of what was recorded; leave the key out when there is nothing."),
    "entry": gettext_lazy("Give an object in braces with “on”, “what” and what belongs to it."),
    "day": gettext_lazy("Give a day as YYYY-MM-DD, such as “2027-02-02”."),
    "day or null": gettext_lazy("Give a day as YYYY-MM-DD, such as “2027-02-02”, or null."),
    "days": gettext_lazy("Give a list in brackets of days, each as YYYY-MM-DD."),
    "moment": gettext_lazy(
        "Give a day and a time, such as “2027-02-02T11:00” (the clinic's time) or “2027-02-02T11:00+01:00”."
    ),
    "moment or null": gettext_lazy(
        "Give a day and a time, such as “2027-02-02T11:00” (the clinic's time) or “2027-02-02T11:00+01:00”, or null."
    ),
    "time of day": gettext_lazy("Give a time of day as HH:MM, such as “09:30”."),
    "time zone": gettext_lazy("Give a name of the time zone database, such as “Europe/London”."),
    "country": gettext_lazy("Give the two letters of the country, such as “GB”."),
    "subdivision": gettext_lazy("Give the code of the part of the country, such as “ENG”, or null."),
    "clinic days": gettext_lazy("Give a list in brackets with at least one weekday, each once, such as “mon”."),
    "weekday": gettext_lazy("Give one of: %(values)s."),
    "weight": gettext_lazy(
        "Give the weight in kilograms: a number from %(minimum)s to %(maximum)s with at most one decimal, such as "
        "72.5, or null when nobody has weighed the person."
    ),
    "side": gettext_lazy("Give “left” or “right”. One course is one leg: two broken legs are two courses."),
    "bone segment": gettext_lazy("Give the two digits of bone and segment in quotes; the tibial shaft is “42”."),
    "fracture class": gettext_lazy(
        "Give A, B or C, with the group 1, 2 or 3 where it is known, such as “A2”; the digits of the bone go in "
        "“bone_segment”."
    ),
    "edition": gettext_lazy("Give the edition of the AO/OTA compendium: %(values)s."),
    "fibula": gettext_lazy("Give one of: %(values)s."),
    "open grade": gettext_lazy("Give one of: %(values)s. It must be known before a plan can be made."),
    "circumstances": gettext_lazy("Give a list in brackets of circumstances, each once."),
    "circumstance": gettext_lazy("Give a circumstance as text in quotes."),
    "treatment kind": gettext_lazy("Give one of: %(values)s."),
    "fixation principle": gettext_lazy("Give one of: %(values)s."),
    "what": gettext_lazy("Give one of: %(values)s."),
    "visit code": gettext_lazy("Give the code of a visit in quotes, such as “N1”."),
    "surgeon": gettext_lazy("Only a surgeon may sign this: give “surgeon”."),
    "coronal": gettext_lazy("Give “degrees” and “toward” (varus or valgus) in braces, or null."),
    "sagittal": gettext_lazy("Give “degrees” and “toward” (apex anterior or apex posterior) in braces, or null."),
    "coronal direction": gettext_lazy("Give “varus” or “valgus”; null only at 0 degrees."),
    "sagittal direction": gettext_lazy("Give “apex anterior” or “apex posterior”; null only at 0 degrees."),
    "degrees": gettext_lazy("Give degrees as a number from %(minimum)s to %(maximum)s, or null when not measured."),
    "rotation": gettext_lazy("Give degrees as a number from %(minimum)s to %(maximum)s, or null when not measured."),
    "shortening": gettext_lazy(
        "Give millimetres as a number from %(minimum)s to %(maximum)s, or null when not measured."
    ),
    "contact": gettext_lazy("Give per cent as a number from %(minimum)s to %(maximum)s, or null when not measured."),
    "yes or no": gettext_lazy("Give true or false, without quotes."),
    "score": gettext_lazy("Give “scale” (RUST or mRUST) and “cortices” in braces, or null."),
    "scale": gettext_lazy("Give “RUST” or “mRUST”."),
    "cortices": gettext_lazy(
        "Give four values in brackets: medial, lateral, anterior, posterior; null for a hidden cortex."
    ),
    "RUST cortex": gettext_lazy("On the RUST scale a cortex is scored 1, 2 or 3, or null when it is hidden."),
    "mRUST cortex": gettext_lazy("On the mRUST scale a cortex is scored 1, 2, 3 or 4, or null when it is hidden."),
    "findings": gettext_lazy("Give the findings in braces: %(keys)s."),
    "pain": gettext_lazy("Give pain as a whole number from %(minimum)s (none) to %(maximum)s (worst)."),
    "count of cortices": gettext_lazy("Give a whole number of cortices from %(minimum)s to %(maximum)s."),
    "stage": gettext_lazy("Give one of: %(values)s."),
    "authoriser": gettext_lazy("Give “surgeon” or “physiotherapist”."),
    "discharge reason": gettext_lazy("Give one of: %(values)s."),
}


def what_would_be_right(schema: Mapping[str, Any]) -> str:
    """Say what may stand at a place of the course schema."""
    sentence = str(RIGHT_ANSWERS[schema["title"]])
    values = ["null" if value is None else value for value in schema.get("enum", ())]
    return sentence % {
        "keys": listed(schema.get("properties", ())),
        "values": listed(f"“{value}”" if isinstance(value, str) and value != "null" else value for value in values),
        "minimum": schema.get("minimum"),
        "maximum": schema.get("maximum"),
    }


def impossible_day(text: str) -> str:
    """Say that a day is written well but is not in the calendar."""
    return _("“%(day)s” is not a day of the calendar. Give a day that exists, as YYYY-MM-DD.") % {"day": text}


def impossible_moment(text: str) -> str:
    """Say that a day and time is written well but does not exist."""
    return _("“%(moment)s” does not exist. Give a day of the calendar and a time from 00:00 to 23:59.") % {
        "moment": text
    }


def year_out_of_range(year: int, first: int, last: int) -> str:
    """Say that a year cannot be planned."""
    return _("The year %(year)d cannot be used. Give a year from %(first)d to %(last)d.") % {
        "year": year,
        "first": first,
        "last": last,
    }
