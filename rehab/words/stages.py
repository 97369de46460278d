"""Weight-bearing stages in the standard's three terms, with a plain description beside each.

The terms are those of the United Kingdom's national consensus (Trompeter and Costa, Bone and Joint
Journal 2024, 106-B, 1016): non-weightbearing, limited weightbearing, unrestricted weightbearing.
"""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from rehab.engine.facts import Stage
from rehab.words.numbers import number

PRINTED = {
    Stage.NWB: gettext_lazy("Non-weightbearing"),
    Stage.TTWB: gettext_lazy("Limited weightbearing (foot touch for balance)"),
    Stage.PWB25: gettext_lazy("Limited weightbearing"),
    Stage.PWB50: gettext_lazy("Limited weightbearing"),
    Stage.PWB75: gettext_lazy("Limited weightbearing"),
    Stage.WBAT: gettext_lazy("Unrestricted weightbearing (as comfort allows)"),
    Stage.FWB: gettext_lazy("Unrestricted weightbearing (no aids needed)"),
}
PLAIN = {
    Stage.NWB: gettext_lazy("The leg carries nothing; the foot is not rested on the floor."),
    Stage.WBAT: gettext_lazy("The leg may carry what is comfortable; crutches or sticks as needed."),
    Stage.FWB: gettext_lazy("The leg may carry everything, without crutches or sticks."),
}


def printed_stage(stage: Stage) -> str:
    """Give the standard term of a stage, as it is printed."""
    return str(PRINTED[stage])


def plain_stage(stage: Stage, cap_kg: int | None) -> str:
    """Say in plain words what the leg may carry; a limited stage without a fresh weight is foot touch only."""
    if stage in PLAIN:
        return str(PLAIN[stage])
    if cap_kg is None:
        return _("Foot touch for balance only until weighed.")
    words = {"kg": number(cap_kg)}
    if stage is Stage.TTWB:
        return _("The foot may touch the floor for balance: at most %(kg)s kg.") % words
    return _("The leg may carry at most %(kg)s kg.") % words
