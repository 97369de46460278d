"""The film form: what a surgeon measured and scored on one pair of films."""

from datetime import date
from decimal import Decimal

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from clinic.web.forms.fields import MeasureField, PastDateField, StripField
from rehab.engine import facts
from rehab.words import in_words

CORTICES = ("medial", "lateral", "anterior", "posterior")
CORTEX_NAMES = {
    "medial": gettext_lazy("Medial"),
    "lateral": gettext_lazy("Lateral"),
    "anterior": gettext_lazy("Anterior"),
    "posterior": gettext_lazy("Posterior"),
}
HIDDEN = "hidden"
SCORES = [("1", "1"), ("2", "2"), ("3", "3"), ("4", "4"), (HIDDEN, pgettext_lazy("cortex", "hidden"))]
TOP_OF_RUST = 3
CORONAL = [("", "–"), ("varus", gettext_lazy("varus")), ("valgus", gettext_lazy("valgus"))]
SAGITTAL = [
    ("", "–"),
    ("apex anterior", gettext_lazy("apex anterior")),
    ("apex posterior", gettext_lazy("apex posterior")),
]
NEGATIVE = {"varus", "apex posterior"}


class FilmForm(forms.Form):
    """One reading. What was not measured stays empty; a direction is never assumed."""

    taken_on = PastDateField(
        label=gettext_lazy("Film taken on"), help_text=gettext_lazy("The day on the film, not the day it is read.")
    )
    coronal = MeasureField(label=gettext_lazy("Varus or valgus"), at_most=90, unit="°")
    coronal_toward = forms.ChoiceField(
        label=gettext_lazy("Varus or valgus: which way"), choices=CORONAL, required=False
    )
    sagittal = MeasureField(label=gettext_lazy("Apex anterior or posterior"), at_most=90, unit="°")
    sagittal_toward = forms.ChoiceField(
        label=gettext_lazy("Apex anterior or posterior: which way"), choices=SAGITTAL, required=False
    )
    rotation = MeasureField(label=gettext_lazy("Rotation"), at_most=180, unit="°")
    shortening = MeasureField(label=gettext_lazy("Shortening"), at_most=100, unit="mm")
    contact = MeasureField(label=gettext_lazy("Contact of the bone ends"), at_most=100, unit="%")
    is_baseline = forms.BooleanField(
        label=gettext_lazy("Compare later films with this one (a new first film)"), required=False
    )
    scale = StripField(
        label=gettext_lazy("Callus score by"), choices=[("RUST", "RUST"), ("mRUST", "mRUST")], required=False
    )
    medial = StripField(label=CORTEX_NAMES["medial"], choices=SCORES, required=False)
    lateral = StripField(label=CORTEX_NAMES["lateral"], choices=SCORES, required=False)
    anterior = StripField(label=CORTEX_NAMES["anterior"], choices=SCORES, required=False)
    posterior = StripField(label=CORTEX_NAMES["posterior"], choices=SCORES, required=False)

    def __init__(self, *args, injured_on: date, today: date, **kwargs):
        super().__init__(*args, **kwargs)
        self.injured_on = injured_on
        taken_on = self.fields["taken_on"]
        assert isinstance(taken_on, PastDateField)
        taken_on.today = today

    def clean_taken_on(self) -> date:
        """A film of this injury cannot be older than the injury."""
        taken_on = self.cleaned_data["taken_on"]
        if taken_on < self.injured_on:
            message = _("This is before the injury of %(on)s. Look at the date on the film.")
            raise forms.ValidationError(message % {"on": in_words(self.injured_on)})
        return taken_on

    def clean(self) -> dict:
        """Directions and scores against each other, and something must have been read."""
        super().clean()
        given = self.cleaned_data
        self._check_direction("coronal", _("varus or valgus"))
        self._check_direction("sagittal", _("apex anterior or apex posterior"))
        self._check_score()
        measures = ("coronal", "sagittal", "rotation", "shortening", "contact")
        read = [given.get(name) for name in measures] + [given.get(cortex) or None for cortex in CORTICES]
        if all(value is None for value in read) and not self.errors:
            self.add_error("coronal", _("Give at least one measurement or a callus score."))
        return given

    def _check_direction(self, name: str, words: str) -> None:
        degrees, toward = self.cleaned_data.get(name), self.cleaned_data.get(f"{name}_toward")
        if degrees and not toward:
            typed = {"words": words, "degrees": self.data.get(self.add_prefix(name), "").strip()}
            self.add_error(f"{name}_toward", _("Choose %(words)s for %(degrees)s°.") % typed)
        if toward and degrees is None and name not in self.errors:
            self.add_error(name, _("Give the degrees, or take the direction away."))

    def _check_score(self) -> None:
        given, scale = self.cleaned_data, self.cleaned_data.get("scale")
        scored = [cortex for cortex in CORTICES if given.get(cortex)]
        if scored and not scale:
            self.add_error("scale", _("Say which scale: RUST or mRUST."))
        if scale or scored:
            for cortex in CORTICES:
                if not given.get(cortex) and cortex not in self.errors:
                    self.add_error(cortex, _("Score this cortex, or choose “hidden”."))
        for cortex in scored:
            if scale == facts.ScoreScale.RUST and given[cortex] != HIDDEN and int(given[cortex]) > TOP_OF_RUST:
                self.add_error(cortex, _("On the RUST scale a cortex is 1, 2 or 3. The 4 is on mRUST only."))

    def film(self) -> facts.Film:
        """The reading as a fact."""
        given = self.cleaned_data
        return facts.Film(
            on=given["taken_on"],
            coronal=self._signed("coronal"),
            sagittal=self._signed("sagittal"),
            rotation=given["rotation"],
            shortening=given["shortening"],
            contact=given["contact"],
            is_baseline=given["is_baseline"],
            score=self._score(),
        )

    def _signed(self, name: str) -> Decimal | None:
        degrees, toward = self.cleaned_data[name], self.cleaned_data[f"{name}_toward"]
        return -degrees if degrees and toward in NEGATIVE else degrees

    def _score(self) -> facts.Score | None:
        given = self.cleaned_data
        if not given["scale"]:
            return None
        medial, lateral, anterior, posterior = (
            None if given[cortex] == HIDDEN else int(given[cortex]) for cortex in CORTICES
        )
        return facts.Score(facts.ScoreScale(given["scale"]), (medial, lateral, anterior, posterior))
