"""How to walk and climb, step by step, for each load: the words and the drawing of each step.

Sources: crutch and stair leaflets of UK hospital physiotherapy services. Rule of hazard H15:
for a leg that bears nothing the hurt foot never lands, upstairs or down, and the usual saying
about good and bad legs is printed for nobody.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

from clinic.documents.figures import scenes
from clinic.documents.figures.scenes import Scene
from clinic.documents.sheet import Load

if TYPE_CHECKING:
    from django_stubs_ext import StrPromise


@dataclass(frozen=True)
class Step:
    """One drawing and its words. `{hurt}` and `{good}` are the two sides, `{load}` the kilograms."""

    scene: Scene
    words: StrPromise


@dataclass(frozen=True)
class Lesson:
    """A heading with its steps."""

    title: StrPromise
    steps: tuple[Step, ...]


FORWARD_TOGETHER = Step(scenes.CRUTCHES_AND_HURT_LEG, _("Move both crutches forward with your {hurt} leg."))
STEP_PAST = Step(scenes.STEP_GOOD_LEG, _("Step with your {good} leg."))

WALK_WITHOUT_LOAD = Lesson(
    _("Walking"),
    (
        Step(scenes.STAND_ON_GOOD_LEG, _("Stand on your {good} leg. Your {hurt} foot stays off the floor.")),
        Step(scenes.CRUTCHES_FORWARD, _("Move both crutches forward.")),
        Step(scenes.HOP_GOOD_LEG, _("Lean on your hands. Hop your {good} leg up to the crutches.")),
    ),
)
WALK_WITH_TOUCH = Lesson(
    _("Walking"),
    (
        FORWARD_TOGETHER,
        Step(scenes.TOUCH_HURT_LEG, _("Lean on the crutches. Rest your {hurt} foot on the floor, only for balance.")),
        STEP_PAST,
    ),
)
WALK_WITH_LIMIT = Lesson(
    _("Walking"),
    (
        FORWARD_TOGETHER,
        Step(scenes.PRESS_HURT_LEG, _("Lean on the crutches. Press at most {load} through your {hurt} foot.")),
        STEP_PAST,
    ),
)
WALK_IN_COMFORT = Lesson(
    _("Walking"),
    (
        Step(scenes.CRUTCHES_AND_HURT_LEG, _("With two crutches: move both forward with your {hurt} leg.")),
        Step(scenes.STICK_AND_HURT_LEG, _("With one stick: {good} hand. Move it with your {hurt} leg.")),
        Step(scenes.GOOD_LEG_PAST_STICK, _("Then step with your {good} leg.")),
    ),
)
WALK_FREELY = Lesson(
    _("Walking"),
    (
        Step(scenes.STRIDE_HURT, _("Put your {hurt} heel down first. Roll on to your toes.")),
        Step(scenes.STRIDE_GOOD, _("Step just as far with your {good} leg.")),
    ),
)

UP_GOOD_LEG_FIRST = Lesson(
    _("Up the stairs: {good} leg first"),
    (
        Step(scenes.UP_GOOD_FIRST, _("Your {good} leg goes up first.")),
        Step(scenes.UP_THEN_HURT, _("Then the crutch and your {hurt} leg.")),
    ),
)
DOWN_HURT_LEG_FIRST = Lesson(
    _("Down: {hurt} leg first"),
    (
        Step(scenes.DOWN_HURT_FIRST, _("Crutch and {hurt} leg go down first.")),
        Step(scenes.DOWN_THEN_GOOD, _("Then your {good} leg.")),
    ),
)
UP_ON_GOOD_LEG = Lesson(
    _("Up the stairs: {good} leg first"),
    (
        Step(scenes.UP_GOOD_HOP, _("Push on the rail and the crutch. Your {good} leg goes up first.")),
        Step(scenes.UP_THEN_CRUTCH, _("Then the crutch. Keep your {hurt} foot in the air.")),
    ),
)
DOWN_ON_GOOD_LEG = Lesson(
    _("Down: crutch first"),
    (
        Step(scenes.DOWN_CRUTCH_FIRST, _("The crutch goes down first. Hold your {hurt} leg out in front.")),
        Step(scenes.DOWN_LOWER_ON_GOOD, _("Come down on your {good} leg. Keep your {hurt} foot in the air.")),
    ),
)
UP_FREELY = Lesson(_("Up the stairs"), (Step(scenes.UP_FREE, _("One foot on each step.")),))
DOWN_FREELY = Lesson(_("Down the stairs"), (Step(scenes.DOWN_FREE, _("One foot on each step.")),))

WALKING = {
    Load.NO_ORDER: WALK_WITHOUT_LOAD,
    Load.NONE: WALK_WITHOUT_LOAD,
    Load.TOUCH: WALK_WITH_TOUCH,
    Load.TOUCH_UNTIL_WEIGHED: WALK_WITH_TOUCH,
    Load.LIMITED: WALK_WITH_LIMIT,
    Load.COMFORT: WALK_IN_COMFORT,
    Load.FREE: WALK_FREELY,
}
STAIRS = {
    load: (UP_ON_GOOD_LEG, DOWN_ON_GOOD_LEG)
    if load.bears_nothing
    else (UP_FREELY, DOWN_FREELY)
    if load is Load.FREE
    else (UP_GOOD_LEG_FIRST, DOWN_HURT_LEG_FIRST)
    for load in Load
}
