"""Gates in words: what is looked at, and what it must be before a stage may begin."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from rehab.engine.pathway import GateRule
from rehab.engine.plan import GateState

FINDINGS = {
    "rest_pain": gettext_lazy("pain at rest (0 to 10)"),
    "touch_pain": gettext_lazy("pain on touch load (0 to 10)"),
    "stress_pain": gettext_lazy("pain on gentle stress (0 to 10)"),
    "walking_pain": gettext_lazy("pain on walking (0 to 10)"),
    "cast_problem": gettext_lazy("a problem with the cast"),
    "implants_unchanged": gettext_lazy("plate, nail and screws unchanged on the film"),
    "gait_without_limp": gettext_lazy("walks without a limp"),
    "wound_dry": gettext_lazy("wound dry"),
    "fixation_stable": gettext_lazy("fixation stable, as the operation note says"),
    "fading_line_cortices": gettext_lazy("cortices where the fracture line fades"),
    "films_in_limits": gettext_lazy("alignment on film"),
    "callus_cortices": gettext_lazy("cortices with callus on the newest film"),
    "callus_or_fading_cortices": gettext_lazy("cortices with callus or a fading fracture line"),
    "union_confirmed": gettext_lazy("union confirmed by a surgeon"),
    "no_new_pain": gettext_lazy("no new pain"),
}
WITHOUT_SCALE = {
    "rest_pain": gettext_lazy("pain at rest"),
    "touch_pain": gettext_lazy("pain on touch load"),
    "stress_pain": gettext_lazy("pain on gentle stress"),
    "walking_pain": gettext_lazy("pain on walking"),
}


def finding_name(finding: str) -> str:
    """Name what is looked at; a finding without words of its own is spelt out."""
    return str(FINDINGS.get(finding, finding.replace("_", " ")))


def short_finding_name(finding: str) -> str:
    """Name what is looked at without its scale, where the value beside it names the scale."""
    return str(WITHOUT_SCALE.get(finding, finding_name(finding)))


def gate_needs(gate: GateRule | GateState) -> str:
    """Say what a gate needs: "3 or less", "yes", "the 2 newest films in limits"."""
    if gate.finding == "films_in_limits" and gate.at_least is not None:
        text = ngettext("the newest film in limits", "the %(count)d newest films in limits", gate.at_least)
        return text % {"count": gate.at_least}
    if gate.at_most is not None:
        return _("%(count)d or less") % {"count": gate.at_most}
    if gate.at_least is not None:
        return _("%(count)d or more") % {"count": gate.at_least}
    return _("yes") if gate.equals else _("no")


def gate_met(met: bool | None) -> str:
    """Say how a gate stands; not recorded counts as not met."""
    if met is None:
        return _("not recorded")
    return _("met") if met else _("not met")
