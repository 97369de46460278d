"""Sessions, the room in them, bookings, and the days the clinic is shut."""

from uuid import uuid4

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from clinic.people.models import Episode, Site, StaffMember
from rehab.models import PlannedVisit


class Station(models.TextChoices):
    """A place in a session where something is done that a limited number of people can have."""

    CONSULTATION = "consultation", _("consultation")
    X_RAY = "x_ray", _("X-ray")
    PLASTER = "plaster", _("plaster")
    PHYSIOTHERAPY = "physiotherapy", _("physiotherapy")


class SessionStatus(models.TextChoices):
    """A session is open until it is called off."""

    OPEN = "open", _("open")
    CALLED_OFF = "called off", _("called off")


class BookingStatus(models.TextChoices):
    """What became of a place. Only `booked` is live."""

    BOOKED = "booked", _("booked")
    CANCELLED = "cancelled", _("cancelled")
    ATTENDED = "attended", _("attended")
    MISSED = "missed", _("missed")


class ClosedDayKind(models.TextChoices):
    """Why the clinic is shut."""

    PUBLIC_HOLIDAY = "public holiday", _("public holiday")
    CLOSED = "closed", _("closed")


class Session(models.Model):
    """A clinic session: people seen on one civil day from one local time on."""

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="sessions")
    on = models.DateField(_("on"))
    starts = models.TimeField(_("starts, clinic time"))
    status = models.CharField(max_length=10, choices=SessionStatus.choices, default=SessionStatus.OPEN)

    class Meta:
        ordering = ["on", "starts", "id"]
        indexes = [models.Index(fields=["site", "status", "on", "starts", "id"], name="sessions_of_a_site")]
        constraints = [
            models.UniqueConstraint(
                fields=["site", "on", "starts"],
                name="session_once_at_a_time",
                violation_error_message=_("There is a session at that time already."),
            ),
            models.CheckConstraint(condition=Q(status__in=SessionStatus.values), name="session_status_is_known"),
        ]

    def __str__(self) -> str:
        return f"{self.on} {self.starts:%H:%M}"


class SessionRoom(models.Model):
    """How many people one station of one session can take, and how many it has taken.

    Only a conditional update ever raises `taken`; the check beneath holds whoever writes.
    """

    session = models.ForeignKey(Session, models.CASCADE, related_name="rooms")
    station = models.CharField(max_length=13, choices=Station.choices)
    room_for = models.PositiveSmallIntegerField(_("room for"))
    taken = models.PositiveSmallIntegerField(_("taken"), default=0)

    class Meta:
        ordering = ["session", "station"]
        constraints = [
            models.UniqueConstraint(fields=["session", "station"], name="station_once_in_a_session"),
            models.CheckConstraint(condition=Q(station__in=Station.values), name="station_is_known"),
            models.CheckConstraint(
                condition=Q(taken__gte=0) & Q(taken__lte=F("room_for")),
                name="session_never_over_booked",
                violation_error_message=_("No more people than there is room for."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_station_display()}: {self.taken}/{self.room_for}"

    @property
    def left(self) -> int:
        """How many more people can come."""
        return self.room_for - self.taken


class Booking(models.Model):
    """A planned visit's place in a session.

    Visits that fall on one date are one attendance: the first is the booking that takes the room
    and carries the invitation (`shares_with` empty); the others share with it.
    `sequence` is the invitation's revision: 0 at first, higher at every move and at the end.
    """

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)
    visit = models.ForeignKey(PlannedVisit, models.PROTECT, related_name="bookings")
    episode = models.ForeignKey(Episode, models.PROTECT, related_name="bookings")
    session = models.ForeignKey(Session, models.PROTECT, related_name="bookings")
    shares_with = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="shared_by")
    stations = models.JSONField(default=list)  # the room this booking holds, given back when it ends
    sequence = models.PositiveIntegerField(default=0)
    calendar_uid = models.UUIDField(default=uuid4, unique=True, editable=False)
    status = models.CharField(max_length=9, choices=BookingStatus.choices, default=BookingStatus.BOOKED)
    accepted_by = models.ForeignKey(
        StaffMember,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        help_text=_("The clinician who accepted a place outside the window."),
    )
    booked_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")
    booked_at = models.DateTimeField()
    changed_at = models.DateTimeField()

    class Meta:
        ordering = ["session", "id"]
        indexes = [
            models.Index(fields=["session", "status", "id"], name="bookings_of_a_session"),
            models.Index(fields=["episode", "status", "id"], name="bookings_of_an_episode"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["visit"],
                condition=Q(status=BookingStatus.BOOKED),
                name="one_live_booking_a_visit",
                violation_error_message=_("This visit has a place already. Move it instead."),
            ),
            models.CheckConstraint(condition=Q(status__in=BookingStatus.values), name="booking_status_is_known"),
        ]

    def __str__(self) -> str:
        return f"{self.visit.code} {self.session}"


class ClosedDay(models.Model):
    """A day the clinic is shut: frozen here, so that an upgrade of a package never moves a plan."""

    site = models.ForeignKey(Site, models.CASCADE, related_name="closed_days")
    on = models.DateField()
    kind = models.CharField(max_length=14, choices=ClosedDayKind.choices, default=ClosedDayKind.CLOSED)
    name = models.CharField(max_length=120, blank=True)
    source = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["site", "on"]
        constraints = [
            models.UniqueConstraint(fields=["site", "on", "kind"], name="closed_once_a_day"),
            models.CheckConstraint(condition=Q(kind__in=ClosedDayKind.values), name="closed_day_kind_is_known"),
        ]

    def __str__(self) -> str:
        return f"{self.on} {self.name}"
