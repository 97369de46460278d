"""The broken tibia, and how it was held."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from rehab.engine.facts import Fibula, FixationPrinciple, OpenGrade, Side, TreatmentKind
from rehab.models.site_record import SiteRecord, choices_of


class Injury(SiteRecord):
    """One broken tibia. Bilateral injuries are two rows.

    `born_on` repeats the person's date of birth, so that a plan needs no record of a person;
    the act that corrects one corrects both. `version` rises with every change of what is known:
    an editor who read an older one is told what changed since.
    """

    born_on = models.DateField(_("born on"))
    at = models.DateTimeField(_("injured at"))
    presented_at = models.DateTimeField(_("presented at"))
    side = models.CharField(_("side"), max_length=5, choices=choices_of(Side))
    bone_segment = models.CharField(_("bone segment"), max_length=2)
    fracture_class = models.CharField(_("fracture class"), max_length=2)
    edition = models.PositiveSmallIntegerField(_("edition of the classification"), default=2018)
    fibula = models.CharField(_("fibula"), max_length=11, choices=choices_of(Fibula))
    open_grade = models.CharField(_("open grade"), max_length=6, choices=choices_of(OpenGrade))
    wound_closed_at = models.DateTimeField(_("wound closed at"), null=True, blank=True)
    antibiotic_at = models.DateTimeField(_("first antibiotic at"), null=True, blank=True)
    circumstances = models.JSONField(_("circumstances"), default=list, blank=True)
    version = models.PositiveIntegerField(default=0, editable=False)

    class Meta:
        verbose_name_plural = "injuries"
        constraints = [
            models.CheckConstraint(
                condition=Q(side__in=[side.value for side in Side]),
                name="injury_side_is_left_or_right",
                violation_error_message=_("Say which leg: left or right."),
            ),
            models.CheckConstraint(
                condition=Q(open_grade__in=[grade.value for grade in OpenGrade]),
                name="injury_open_grade_is_known",
                violation_error_message=_("Say whether the fracture is closed, or its open grade: I to IIIC."),
            ),
            models.CheckConstraint(
                condition=Q(fibula__in=[fibula.value for fibula in Fibula]),
                name="injury_fibula_is_known",
                violation_error_message=_("Say whether the fibula is intact, broken at the same level or elsewhere."),
            ),
            models.CheckConstraint(
                condition=Q(presented_at__gte=F("at")),
                name="injury_presented_after_it_happened",
                violation_error_message=_("A person cannot present before the injury happened."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.side} {self.bone_segment}-{self.fracture_class}"


class Treatment(SiteRecord):
    """One definitive treatment; `number` is 1 for the first, 2 after a conversion.

    `pathway_version` is the version that the present plan was made from; `injury_version` is the
    injury's version from this treatment on.
    """

    injury = models.ForeignKey(Injury, models.PROTECT, related_name="treatments")
    number = models.PositiveSmallIntegerField()
    kind = models.CharField(_("treatment"), max_length=20, choices=choices_of(TreatmentKind))
    at = models.DateTimeField(_("treated at"))
    fixation_principle = models.CharField(
        _("fixation principle"), max_length=8, choices=choices_of(FixationPrinciple), null=True, blank=True
    )
    planned_on = models.DateField(_("planned on"), null=True, blank=True)
    pathway_version = models.CharField(max_length=80, blank=True, editable=False)
    injury_version = models.PositiveIntegerField(default=0, editable=False)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()

    class Meta:
        ordering = ["injury", "number"]
        constraints = [
            models.UniqueConstraint(fields=["injury", "number"], name="treatment_number_once_per_injury"),
            models.CheckConstraint(
                condition=Q(kind__in=[kind.value for kind in TreatmentKind]),
                name="treatment_kind_is_known",
                violation_error_message=_("A treatment is a long leg cast, a nail, or a plate and screws."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number}: {self.kind}"
