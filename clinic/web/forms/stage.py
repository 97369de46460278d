"""The order of a stage: which one, and why when it is not the plan's."""

from django import forms
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clinic.web.drawings.dates import day_month_year
from clinic.web.forms.fields import ChoiceField, offer
from clinic.web.pictures import load_words
from rehab.engine.facts import Stage
from rehab.engine.plan import Plan
from rehab.words import printed_stage


class StageForm(forms.Form):
    """One stage out of all; a stage that the ladder does not hold is the surgeon's own change."""

    stage = ChoiceField(
        label=gettext_lazy("From today, this leg is to be"),
        choices=[],
        error_messages={"required": gettext_lazy("Choose a stage. Until one is ordered the leg is non-weightbearing.")},
    )
    why = forms.CharField(
        label=gettext_lazy("Reason"),
        required=False,
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("Needed for an order that is earlier than the plan, or not in it."),
    )

    def __init__(self, *args, plan: Plan, caps: dict[Stage, int | None], only=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.plan, self.caps = plan, caps
        stages = [stage for stage in Stage if only is None or stage in only]
        offer(self, "stage", [(stage.value, self._choice(stage)) for stage in stages])

    def _choice(self, stage: Stage):
        words, note = load_words(stage, self.caps[stage])
        return format_html(
            '<b>{}</b>, {}, {}<span class="choice-more">{}</span>', printed_stage(stage), words, note, self._when(stage)
        )

    def _when(self, stage: Stage) -> str:
        if stage is self.plan.stage_now.stage and self.plan.stage_now.ordered_by:
            return _("In force now.")
        row = next((row for row in self.plan.stages if row.stage is stage), None)
        if row is None:
            return _("Not in the plan: a reason is needed.")
        if row.not_before is None:
            return _("Its visit has no place yet.")
        shut = sum(gate.met is not True for gate in row.gates)
        when = _("Not before %(date)s.") % {"date": day_month_year(row.not_before)}
        if not shut:
            return when
        return f"{when} " + _("Not met or not known: %(n)d of %(all)d conditions.") % {"n": shut, "all": len(row.gates)}

    @property
    def chosen(self) -> Stage:
        """The stage of a valid form."""
        return Stage(self.cleaned_data["stage"])
