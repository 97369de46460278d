"""Short names of the trade's fixed words: treatments, sides, states, levels, tasks."""

from django.utils.translation import gettext_lazy

from rehab.engine.facts import Authoriser, Side, TreatmentKind
from rehab.engine.plan import Level, TaskState, VisitState

_TREATMENTS = {
    TreatmentKind.LONG_LEG_CAST: gettext_lazy("long leg cast"),
    TreatmentKind.INTRAMEDULLARY_NAIL: gettext_lazy("intramedullary nail"),
    TreatmentKind.PLATE_AND_SCREWS: gettext_lazy("plate and screws"),
}
_SIDES = {Side.LEFT: gettext_lazy("left"), Side.RIGHT: gettext_lazy("right")}
_VISIT_STATES = {
    VisitState.PLANNED: gettext_lazy("planned"),
    VisitState.ATTENDED: gettext_lazy("attended"),
    VisitState.MISSED: gettext_lazy("missed"),
    VisitState.CANCELLED: gettext_lazy("cancelled"),
}
_TASK_STATES = {
    TaskState.OPEN: gettext_lazy("open"),
    TaskState.OVERDUE: gettext_lazy("overdue"),
    TaskState.CLOSED: gettext_lazy("closed"),
    TaskState.CANCELLED: gettext_lazy("cancelled"),
}
_AUTHORISERS = {
    Authoriser.SURGEON: gettext_lazy("surgeon"),
    Authoriser.PHYSIOTHERAPIST: gettext_lazy("physiotherapist"),
}
_TASKS = {
    "clot prevention review": gettext_lazy("clot prevention review"),
    "consultant review": gettext_lazy("consultant review of notes and images"),
    "antibiotic review": gettext_lazy("antibiotic review"),
    "clinician must arrange follow-up": gettext_lazy("clinician must arrange follow-up"),
}
_ALERT_KINDS = {
    "alignment": gettext_lazy("alignment"),
    "high risk": gettext_lazy("high risk"),
    "delayed union": gettext_lazy("delayed union"),
    "possible non-union": gettext_lazy("possible non-union"),
    "union suggested": gettext_lazy("union suggested"),
    "missed": gettext_lazy("missed"),
    "scope": gettext_lazy("scope"),
}
_ALIGNMENT_LEVELS = {Level.RED: gettext_lazy("Over the limit"), Level.AMBER: gettext_lazy("Changed")}
_LEVELS = {
    Level.RED: gettext_lazy("Act today"),
    Level.AMBER: gettext_lazy("Look at this"),
    Level.INFO: gettext_lazy("For your information"),
}


def treatment_name(kind: TreatmentKind) -> str:
    """Name a treatment within a sentence."""
    return str(_TREATMENTS[kind])


def side_name(side: Side) -> str:
    """Name the side of the leg, always as a word."""
    return str(_SIDES[side])


def visit_state_name(state: VisitState) -> str:
    """Name what became of a visit."""
    return str(_VISIT_STATES[state])


def task_state_name(state: TaskState) -> str:
    """Name what became of a task."""
    return str(_TASK_STATES[state])


def task_name(kind: str) -> str:
    """Name a task."""
    return str(_TASKS.get(kind, kind))


def authoriser_name(by: Authoriser) -> str:
    """Name who may sign."""
    return str(_AUTHORISERS[by])


def alert_kind_name(kind: str) -> str:
    """Name what an alert is about."""
    return str(_ALERT_KINDS.get(kind, kind))


def alert_level_name(level: Level, kind: str) -> str:
    """Say how urgent an alert is in words: over the limit and changed for alignment, else what to do."""
    return str(_ALIGNMENT_LEVELS.get(level, _LEVELS[level]) if kind == "alignment" else _LEVELS[level])
