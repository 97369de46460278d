"""Sites, staff, patients and episodes."""

from uuid import uuid4
from zoneinfo import ZoneInfo, available_timezones

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MinValueValidator, RegexValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from clinic.common.neutral_words import clinical_words_in
from rehab.holiday_tables import countries
from rehab.models import Injury

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class Role(models.TextChoices):
    """What a member of staff does; what each may do is written beside each act."""

    CLERK = "clerk", _("clinic clerk")
    PHYSIOTHERAPIST = "physiotherapist", _("physiotherapist")
    SURGEON = "surgeon", _("surgeon")
    MANAGER = "manager", _("clinic manager")


class Paper(models.TextChoices):
    """Paper in the printer."""

    A4 = "A4", "A4"
    LETTER = "Letter", "Letter"


class PrintSize(models.IntegerChoices):
    """Print on the patient's papers, in points: clear print and large print (UKAAF)."""

    CLEAR = 14, _("14 point")
    LARGE = 18, _("18 point (large print)")


def check_time_zone(name: str) -> None:
    """Refuse a name that the time zone database does not hold."""
    if name not in available_timezones():
        raise ValidationError(_("“%(name)s” is not a time zone. Write it like Europe/London."), params={"name": name})


def check_weekdays(days: list[str]) -> None:
    """Refuse anything but a list of one or more of mon … sun, each once."""
    known = isinstance(days, list) and days and set(days) <= set(WEEKDAYS) and len(set(days)) == len(days)
    if not known:
        raise ValidationError(_("Clinic days are one or more of mon, tue, wed, thu, fri, sat, sun, each once."))


def check_neutral(text: str) -> None:
    """Refuse words that would tell a stranger what the clinic treats."""
    if words := clinical_words_in(text):
        raise ValidationError(
            _("Messages may be read by others: write it without “%(words)s”."), params={"words": "”, “".join(words)}
        )


class Site(models.Model):
    """One clinic: where and when it sees people, and what its papers and messages say of it."""

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    name = models.CharField(_("name"), max_length=120, unique=True)
    neutral_name = models.CharField(
        _("name used in messages"),
        max_length=120,
        validators=[check_neutral],
        help_text=_("Must not tell what the clinic treats."),
    )
    time_zone = models.CharField(_("time zone"), max_length=64, validators=[check_time_zone])
    country = models.CharField(_("country"), max_length=2, validators=[RegexValidator(r"^[A-Z]{2}$")])
    subdivision = models.CharField(_("part of the country"), max_length=6, null=True, blank=True)
    clinic_days = models.JSONField(_("clinic days"), validators=[check_weekdays])
    appointment_time = models.TimeField(_("usual appointment time"))
    appointment_minutes = models.PositiveSmallIntegerField(
        _("length of an appointment, minutes"),
        default=30,
        validators=[MinValueValidator(1, _("An appointment lasts at least 1 minute."))],
    )
    phone = models.CharField(_("telephone"), max_length=40, validators=[check_neutral])
    phone_hours = models.CharField(_("telephone hours"), max_length=80, validators=[check_neutral])
    emergency_number = models.CharField(_("emergency number"), max_length=20)
    paper_size = models.CharField(_("paper"), max_length=6, choices=Paper.choices, default=Paper.A4)
    address_lines = models.JSONField(_("address"), default=list)
    place_in_messages = models.CharField(
        _("place as messages name it"),
        max_length=200,
        validators=[check_neutral],
        help_text=_("Building, floor, desk: not the kind of clinic."),
    )
    organiser_email = models.EmailField(_("e-mail address that invitations come from"), validators=[check_neutral])
    language = models.CharField(_("language"), max_length=12, default="en-gb")
    holidays_until = models.DateField(_("public holidays known until"), null=True, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=Q(appointment_minutes__gte=1),
                name="appointment_lasts_a_minute",
                violation_error_message=_("An appointment lasts at least 1 minute."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        """Refuse a country, or a part of one, whose public holidays nobody knows."""
        parts = countries().get(self.country)
        if parts is None:
            raise ValidationError({"country": _("No public holidays are known for it. Write two letters, such as GB.")})
        if self.subdivision and self.subdivision not in parts:
            known = ", ".join(parts) or "–"
            message = _("This part of the country is not known. Known: %(parts)s.")
            raise ValidationError({"subdivision": ValidationError(message, params={"parts": known})})

    @property
    def zone(self) -> ZoneInfo:
        """The site's time zone."""
        return ZoneInfo(self.time_zone)


class StaffMember(models.Model):
    """A user at work: one person, one site, one role."""

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    user = models.OneToOneField(settings.AUTH_USER_MODEL, models.PROTECT, related_name="staff_member")
    site = models.ForeignKey(Site, models.PROTECT, related_name="staff")
    role = models.CharField(max_length=16, choices=Role.choices)
    display_name = models.CharField(_("name as shown and printed"), max_length=120)

    class Meta:
        ordering = ["site", "display_name"]
        constraints = [
            models.CheckConstraint(condition=Q(role__in=Role.values), name="staff_role_is_known"),
        ]

    def __str__(self) -> str:
        return self.display_name


class Patient(models.Model):
    """A person the clinic follows. No e-mail and no mobile means: told on paper and by telephone."""

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="patients")
    given_name = models.CharField(_("given name"), max_length=80)
    family_name = models.CharField(_("family name"), max_length=80)
    born_on = models.DateField(_("born on"))
    hospital_number = models.CharField(_("hospital number"), max_length=40)
    email = models.EmailField(_("e-mail"), blank=True)
    mobile = models.CharField(_("mobile"), max_length=20, blank=True, help_text=_("Stored as +44…"))
    language = models.CharField(_("language"), max_length=12, default="en-gb")
    print_size = models.PositiveSmallIntegerField(_("print size"), choices=PrintSize.choices, default=PrintSize.CLEAR)

    class Meta:
        ordering = ["family_name", "given_name", "id"]
        indexes = [models.Index(fields=["site", "family_name", "given_name", "id"], name="patients_by_name")]
        constraints = [
            models.UniqueConstraint(
                fields=["site", "hospital_number"],
                name="hospital_number_once_per_site",
                violation_error_message=_("This hospital number belongs to a patient already on file."),
            ),
            models.CheckConstraint(
                condition=~Q(hospital_number="") & ~Q(family_name="") & ~Q(given_name=""),
                name="patient_has_two_identifiers",
                violation_error_message=_("A patient needs a given name, a family name and a hospital number."),
            ),
            models.CheckConstraint(
                condition=Q(print_size__in=PrintSize.values),
                name="print_size_is_14_or_18",
                violation_error_message=_("Papers are printed in 14 or 18 point."),
            ),
        ]

    def __str__(self) -> str:
        return self.full_name

    @property
    def full_name(self) -> str:
        """Given name, then family name."""
        return f"{self.given_name} {self.family_name}"


class Episode(models.Model):
    """A patient and one injury, from the first treatment to discharge. Open while `ended_on` is empty."""

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="episodes")
    patient = models.ForeignKey(Patient, models.PROTECT, related_name="episodes")
    injury = models.OneToOneField(Injury, models.PROTECT, related_name="+")
    opened_on = models.DateField()
    ended_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["-opened_on", "-id"]
        indexes = [models.Index(fields=["site", "ended_on", "id"], name="episodes_open_at_a_site")]

    def __str__(self) -> str:
        return f"{self.patient}, {self.injury.side}"
