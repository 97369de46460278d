"""The invented people that the clinic's tests share. Telephone numbers are those set aside for invention."""

from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any

from django.contrib.auth import get_user_model

from clinic.diary.calendar import freeze_holidays
from clinic.diary.models import Session, SessionRoom
from clinic.followup.services import Registration
from clinic.people.models import Role, Site, StaffMember

# Tuesday 2 February 2027, a quarter past four: the day of the injury and of the nail.
DAY_ZERO = datetime(2027, 2, 2, 16, 15, tzinfo=UTC)


def make_site(name: str = "Harbour Fracture Clinic", **changes) -> Site:
    """A clinic in England, open on Mondays, Wednesdays and Fridays."""
    values: dict[str, Any] = {
        "name": name,
        "neutral_name": "Harbour Clinic",
        "time_zone": "Europe/London",
        "country": "GB",
        "subdivision": "ENG",
        "clinic_days": ["mon", "wed", "fri"],
        "appointment_time": time(9, 30),
        "phone": "07700 900412",
        "phone_hours": "Monday to Friday, 9 to 5",
        "emergency_number": "999",
        "address_lines": ["1 Harbour Road", "Seaborough"],
        "place_in_messages": "East building, floor 2, desk C",
        "organiser_email": "appointments@harbour.example.org",
    }
    site = Site(**values | changes)
    site.full_clean()
    site.save()
    freeze_holidays(site, 2025, 2032, source="tests")
    return site


def make_staff(site: Site, role: Role, name: str) -> StaffMember:
    """A member of staff who can sign in."""
    user = get_user_model().objects.create(username=f"{name} {site.pk}".lower().replace(" ", "."))
    return StaffMember.objects.create(user=user, site=site, role=role, display_name=name)


def make_session(site: Site, on: date, *, starts: time = time(9, 30), **room_for: int) -> Session:
    """A session with room at each station; ten at each when nothing is said."""
    session = Session.objects.create(site=site, on=on, starts=starts)
    rooms = room_for or {"consultation": 10, "x_ray": 10, "plaster": 10, "physiotherapy": 10}
    for station, places in rooms.items():
        SessionRoom.objects.create(session=session, station=station, room_for=places)
    return session


def typed(**changes) -> Registration:
    """A form filled in for Ann Tolliver: right, closed 42-A2, nailed on 2 February 2027 (worked case 1)."""
    values: dict[str, Any] = {
        "given_name": "Ann",
        "family_name": "Tolliver",
        "born_on": date(1993, 1, 15),
        "hospital_number": "HH 0001",
        "email": "ann.tolliver@example.org",
        "mobile": "07700 900123",
        "injured_at": datetime(2027, 2, 2, 11, 0, tzinfo=UTC),
        "presented_at": datetime(2027, 2, 2, 12, 10, tzinfo=UTC),
        "side": "right",
        "side_again": "right",
        "fracture_class": "A2",
        "fibula": "other level",
        "open_grade": "closed",
        "treatment": "intramedullary_nail",
        "treated_at": datetime(2027, 2, 2, 15, 0, tzinfo=UTC),
        "weight_kg": Decimal("72.0"),
        "weighed_on": date(2027, 2, 2),
    }
    return Registration(**values | changes)
