"""What was found at a visit, for the gate of the next stage."""

from datetime import date

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clinic.web.forms.fields import ChoiceField, StripField, offer
from rehab.engine import facts
from rehab.engine.pathway import PAIN_FINDINGS
from rehab.words import finding_name

COUNTS = {"fading_line_cortices": 4}
PAIN_STEPS = 10
YES_NO = [("yes", gettext_lazy("yes")), ("no", gettext_lazy("no"))]


class FindingsForm(forms.Form):
    """One strip a finding. What nobody looked at stays empty, and counts as not known."""

    visit = ChoiceField(label=gettext_lazy("At which visit?"), choices=[])

    def __init__(self, *args, visits: list[tuple[str, str]], findings: list[str], today: date, **kwargs):
        super().__init__(*args, **kwargs)
        self.names, self.today = findings, today
        offer(self, "visit", visits)
        for name in findings:
            self.fields[name] = _finding_field(name)

    def clean(self) -> dict:
        """At least one finding."""
        super().clean()
        given = self.cleaned_data
        if self.names and not any(given.get(name) for name in self.names) and not self.errors:
            self.add_error(self.names[0], _("Record at least one finding. What was not looked at stays empty."))
        return given

    def gate_findings(self) -> facts.GateFindings:
        """The findings as a fact of today."""
        given = {name: self.cleaned_data[name] for name in self.names if self.cleaned_data[name]}
        values = {name: value == "yes" if value in ("yes", "no") else int(value) for name, value in given.items()}
        return facts.GateFindings(self.today, self.cleaned_data["visit"], values)


def _finding_field(name: str) -> StripField:
    words = finding_name(name)
    most = PAIN_STEPS if name in PAIN_FINDINGS else COUNTS.get(name)
    choices = YES_NO if most is None else [(str(n), str(n)) for n in range(most + 1)]
    return StripField(label=words[:1].upper() + words[1:], choices=choices, required=False)
