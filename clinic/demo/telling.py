"""Telling a story: every act of its script through the clinic's own services, each at its own moment."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from clinic.common.clock import clinic_instant
from clinic.demo.clinic_setup import Staff
from clinic.demo.post import deliver_past
from clinic.demo.script import AFTER_TREATMENT, Moved, Script, ScriptedAct
from clinic.diary.models import Booking, BookingStatus, Session
from clinic.followup import services
from clinic.followup.refusals import OutsideWindow
from clinic.people.models import Episode, Role, Site
from rehab.engine import facts
from rehab.models import PlannedVisit
from rehab.models.planned_visit import VisitRowState

BETWEEN_ACTS = timedelta(minutes=3)
INTO_THE_SESSION = timedelta(minutes=25)


@dataclass(slots=True)
class Telling:
    """One story being told. `turn` shares the work out among the staff; `now` is the moment of loading."""

    script: Script
    site: Site
    staff: Staff
    turn: int
    now: datetime
    at: datetime
    episode: Episode

    def tell(self) -> None:
        """Go through the acts in order; the post arrives in between, as it would have."""
        for act in self.script.acts:
            self._move_clock(act.on)
            self._deliver(self.at)
            _TOLD_BY[type(act.what)](self, act)
        self._deliver(self.now)

    def _deliver(self, until: datetime) -> None:
        deliver_past(self.episode, until, texts_arrive=not self.script.story.person.is_mobile_dead)

    def _move_clock(self, on: date) -> None:
        """Move to a day's first moment, or a few minutes on; never past now."""
        opens = clinic_instant(on, self.site.appointment_time, self.site.zone) + INTO_THE_SESSION
        self.at = min(self.now, max(self.at + BETWEEN_ACTS, opens))

    # -- who

    def member(self, role: Role):
        """Give the member of staff whose turn it is."""
        return self.staff.of(role, self.turn)

    @property
    def surgeon(self) -> dict[str, Any]:
        """Say that the surgeon does it, now."""
        return {"by": self.member(Role.SURGEON), "at": self.at}

    @property
    def physiotherapist(self) -> dict[str, Any]:
        """Say that the physiotherapist does it, now."""
        return {"by": self.member(Role.PHYSIOTHERAPIST), "at": self.at}

    @property
    def clerk(self) -> dict[str, Any]:
        """Say that the clerk does it, now."""
        return {"by": self.member(Role.CLERK), "at": self.at}

    # -- what

    def visit(self, code: str) -> PlannedVisit:
        """Give the newest row of a visit that is still to come."""
        rows = self.episode.injury.planned_visits.filter(code=code, state=VisitRowState.PLANNED)
        return rows.order_by("-treatment__number", "-attempt")[:1].get()

    def session_on(self, day: date) -> Session:
        """Give the session of a day."""
        return Session.objects.select_related("site").get(site=self.site, on=day)

    def book(self, fact: facts.Booked) -> None:
        """Give a visit its place, unless one of the same day has brought it along."""
        visit, session = self.visit(fact.visit), self.session_on(fact.place_on)
        if visit.bookings.filter(status=BookingStatus.BOOKED).exists():
            return
        try:
            services.book_visit(visit, session, **self.clerk)
        except OutsideWindow:
            services.book_visit(visit, session, accepted_by=self.member(Role.SURGEON), **self.clerk)

    def move(self, moved: Moved) -> None:
        """Move a visit's place to another session."""
        booking = Booking.objects.get(visit=self.visit(moved.visit), status=BookingStatus.BOOKED)
        session = self.session_on(moved.place_on)
        try:
            services.move_booking(booking, session, **self.clerk)
        except OutsideWindow:
            services.move_booking(booking, session, accepted_by=self.member(Role.SURGEON), **self.clerk)

    def convert(self, treatment: facts.Treatment) -> None:
        """Record a conversion, some time after the operation began."""
        self.at = min(self.now, max(self.at, treatment.at + AFTER_TREATMENT))
        services.convert_treatment(
            self.episode,
            treatment.kind,
            treated_at=treatment.at,
            fixation_principle=treatment.fixation_principle,
            **self.surgeon,
        )


Teller = Callable[[Telling, ScriptedAct], object]
_TOLD_BY: dict[type, Teller] = {
    facts.Attended: lambda t, act: services.mark_attended(t.visit(act.what.visit), on=act.on, **t.clerk),
    facts.Missed: lambda t, act: services.mark_missed(t.visit(act.what.visit), on=act.on, **t.clerk),
    facts.Booked: lambda t, act: t.book(act.what),
    Moved: lambda t, act: t.move(act.what),
    facts.Treatment: lambda t, act: t.convert(act.what),
    facts.Film: lambda t, act: services.record_film_reading(t.episode, act.what, **t.surgeon),
    facts.GateFindings: lambda t, act: services.record_gate_findings(
        t.episode, act.what.visit, act.what.findings, on=act.on, **t.physiotherapist
    ),
    facts.StageOrdered: lambda t, act: services.order_stage(t.episode, act.what.stage, reason=act.reason, **t.surgeon),
    facts.Wedged: lambda t, act: services.record_wedging(t.episode, on=act.on, **t.surgeon),
    facts.ClinicalUnion: lambda t, act: services.record_clinical_union(
        t.episode, act.what.yes, on=act.on, **t.physiotherapist
    ),
    facts.UnionConfirmed: lambda t, act: services.confirm_union(t.episode, on=act.on, **t.surgeon),
    facts.ClotReviewClosed: lambda t, act: services.close_clot_review(t.episode, on=act.on, **t.surgeon),
    facts.AntibioticReviewClosed: lambda t, act: services.close_antibiotic_review(t.episode, on=act.on, **t.surgeon),
    facts.Discharged: lambda t, act: services.discharge(t.episode, reason=act.what.reason, on=act.on, **t.surgeon),
    facts.Weight: lambda t, act: services.record_weight(t.episode, act.what.tenths_kg, on=act.on, **t.clerk),
}


def tell(script: Script, site: Site, staff: Staff, turn: int, now: datetime) -> Episode:
    """Register the person of a script and tell all that happened up to now."""
    at = min(now, script.course.treatments[0].at + AFTER_TREATMENT)
    registered = services.register_patient(_typed(script), by=staff.of(Role.CLERK, turn), at=at)
    Telling(script, site, staff, turn, now, at, registered.episode).tell()
    return registered.episode


def _typed(script: Script) -> services.Registration:
    """Fill in the form as the clerk did on the day."""
    person, course = script.story.person, script.course
    injury, treatment = course.injury, course.treatments[0]
    weight = course.weights[0] if course.weights else None
    return services.Registration(
        given_name=person.given_name,
        family_name=person.family_name,
        born_on=course.born_on,
        hospital_number=person.hospital_number,
        email=person.email,
        mobile=person.mobile,
        print_size=person.print_size,
        injured_at=injury.at,
        presented_at=injury.presented_at,
        side=injury.side.value,
        side_again=injury.side.value,
        bone_segment=injury.bone_segment,
        fracture_class=injury.fracture_class,
        edition=injury.edition,
        fibula=injury.fibula.value,
        open_grade=injury.open_grade.value,
        wound_closed_at=injury.wound_closed_at,
        antibiotic_at=injury.antibiotic_at,
        circumstances=tuple(sorted(injury.circumstances)),
        treatment=treatment.kind.value,
        treated_at=treatment.at,
        fixation_principle=treatment.fixation_principle.value if treatment.fixation_principle else None,
        weight_kg=Decimal(weight.tenths_kg) / 10 if weight else None,
        weighed_on=weight.weighed_on if weight else None,
    )
