"""The stage ladder: soles on steps that rise to the right, one step a stage, a gate before the next.

Now is solid, plans are dashed. Exactly one step is Now.
"""

from dataclasses import dataclass
from enum import StrEnum

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clinic.web.drawings import gate
from clinic.web.drawings.gate import Bar
from clinic.web.drawings.soles import HEIGHT as SOLE_HEIGHT
from clinic.web.drawings.soles import PAIR_WIDTH, Load, one_sole, standing_soles
from clinic.web.drawings.svg import box, circle, group, line, paragraph, path, picture, tag, text, wrapped
from rehab.engine.facts import Side

WIDTH = 1200
FIRST_STEP, ROOM_ABOVE = 112, 132
PADDING = 18
BAR_LINE, TITLE_LINE = 33, 52  # room that the list of bars takes at the upper left, page zoom allowed for
LIST_WIDTH = 500
ROOMY = 260  # a step wider than this has room for the large figures


class StepState(StrEnum):
    """Where a step stands: behind the person, under them, or planned."""

    PAST = "past"
    NOW = "now"
    COMING = "coming"


@dataclass(frozen=True, slots=True)
class Step:
    """One step: the printed term, a plain line, the load in words and as a filled sole, and its date."""

    state: StepState
    term: str
    plain: str
    load_words: str  # "8 kg", "no limit"
    load_note: str  # "at most", "crutches as needed"
    load: Load
    when: str  # "since 17 February 2027"
    was_stood_on: bool = True  # a past step that was passed over gets no tick


@dataclass(frozen=True, slots=True)
class Ladder:
    """The steps from the least load to the most, and the bars of the gate after Now."""

    side: Side
    steps: tuple[Step, ...]
    bars: tuple[Bar, ...] = ()

    @property
    def now(self) -> int:
        """Index of the one step the person stands on."""
        (index,) = [index for index, step in enumerate(self.steps) if step.state is StepState.NOW]
        return index

    @property
    def has_gate(self) -> bool:
        """True when a step is still to come."""
        return bool(self.bars) and self.now + 1 < len(self.steps)


def step_words(step: Step) -> str:
    """One step as a sentence, for the text that goes with the drawing."""
    load = f"{step.load_words}, {step.load_note}" if step.load_note else step.load_words
    said = f"{step.term}, {step.plain}: {load}, {step.when}." if step.plain else f"{step.term}: {load}, {step.when}."
    return _("Now: %(step)s") % {"step": said} if step.state is StepState.NOW else said


def ladder_words(ladder: Ladder) -> list[str]:
    """The drawing as a list, Now first."""
    ordered = sorted(ladder.steps, key=lambda step: step.state is not StepState.NOW)
    return [step_words(step) for step in ordered]


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where everything stands: step width, treads from the top, the floor."""

    width: float
    treads: tuple[float, ...]
    floor: float

    def x(self, index: int) -> float:
        return index * self.width


def _frame(ladder: Ladder) -> _Frame:
    """Treads rise by equal steps; the whole is lowered until the list of bars has its room."""
    count = len(ladder.steps)
    rise = {1: 0, 2: 90, 3: 74, 4: 60, 5: 56}.get(count, 48)
    top = rise * (count - 1) + FIRST_STEP
    treads = [top - FIRST_STEP - rise * index for index in range(count)]
    width = WIDTH / count
    shift = float(max(ROOM_ABOVE - tread if index == ladder.now else 90 - tread for index, tread in enumerate(treads)))
    if ladder.has_gate:
        list_height = TITLE_LINE + BAR_LINE * len(ladder.bars)
        under_list = [i for i in range(count) if i * width < LIST_WIDTH]
        shift = max([shift, *(list_height + _head_room(ladder, i) - treads[i] for i in under_list)])
    return _Frame(width, tuple(tread + shift for tread in treads), top + shift)


def _head_room(ladder: Ladder, index: int) -> float:
    return ROOM_ABOVE - 16 if index == ladder.now else 84


def draw_ladder(ladder: Ladder) -> SafeString:
    """The wide drawing; its words are `ladder_words`, in a list beside it."""
    frame = _frame(ladder)
    order = sorted(range(len(ladder.steps)), key=lambda index: index == ladder.now)
    drawn = [_step(ladder, frame, index) for index in order]
    floor = line(0, frame.floor, WIDTH, frame.floor, "ladder-floor")
    gate_piece = _gate(ladder, frame) if ladder.has_gate else ""
    return picture(WIDTH, round(frame.floor + 2), *drawn, floor, gate_piece, class_="ladder-wide")


def _step(ladder: Ladder, frame: _Frame, index: int) -> SafeString:
    step = ladder.steps[index]
    body = {StepState.PAST: _past, StepState.NOW: _now, StepState.COMING: _coming}[step.state]
    return group(
        body(ladder, frame, index),
        _words_on_step(step, frame, index),
        _standing(ladder.side, step, frame, index),
        class_=f"step step-{step.state}",
    )


def _now(ladder: Ladder, frame: _Frame, index: int) -> SafeString:
    x, y = frame.x(index), frame.treads[index]
    flag_top = y - SOLE_HEIGHT - 54
    flag = path(f"M{x + PADDING:.1f} {flag_top:.1f}h118v29h-104l-12 12v-12h-2z", "flag")
    words = text(x + PADDING + 13, flag_top + 20, _("Now, here"), "flag-words")
    below = frame.treads[index - 1] if index else frame.floor
    block = box(x, y, frame.width, frame.floor - y, "step-body") + box(x, y, frame.width, 7, "step-tread")
    return block + line(x, below, x, y, "step-edge") + flag + words


def _past(ladder: Ladder, frame: _Frame, index: int) -> SafeString:
    x, y = frame.x(index), frame.treads[index]
    below = frame.treads[index - 1] if index else frame.floor
    edge = path(f"M{x:.1f} {below:.1f}V{y:.1f}H{x + frame.width:.1f}", "step-edge")
    body = box(x, y, frame.width, frame.floor - y, "step-body") + edge
    if not ladder.steps[index].was_stood_on:
        return body
    tick = circle(0, 0, 9, "tick-disc") + path("M-4 0.3L-1.1 3.2L4.2 -3", "tick")
    return body + group(tick, x=x + frame.width - 22, y=y + 24)


def _coming(ladder: Ladder, frame: _Frame, index: int) -> SafeString:
    x, y = frame.x(index), frame.treads[index]
    below = frame.treads[index - 1] if index else frame.floor
    body = box(x, y, frame.width, frame.floor - y, "step-body")
    side = line(x + frame.width, y, x + frame.width, frame.floor, "step-side")
    return body + side + path(f"M{x:.1f} {below:.1f}V{y:.1f}H{x + frame.width:.1f}", "step-dashed")


def _words_on_step(step: Step, frame: _Frame, index: int) -> SafeString:
    x, y = frame.x(index) + PADDING, frame.treads[index]
    room = frame.width - 2 * PADDING - (22 if step.state is StepState.PAST else 0)
    term, plain = wrapped(step.term, 17, room, bold=True), wrapped(step.plain, 16, frame.width - 2 * PADDING)
    when = wrapped(step.when, 15.5, frame.width - 2 * PADDING, bold=True)
    return (
        paragraph(x, y + 32, term, 21, "step-term")
        + paragraph(x, y + 32 + 21 * len(term), plain if step.plain else [], 20, "step-plain")
        + paragraph(x, frame.floor - 13 - 19 * (len(when) - 1), when, 19, "step-when")
    )


def _standing(side: Side, step: Step, frame: _Frame, index: int) -> SafeString:
    """The soles on the tread and the load beside them."""
    x, y = frame.x(index) + PADDING, frame.treads[index]
    beside = x + PAIR_WIDTH + (20 if frame.width > ROOMY else 12)
    size = _load_size(step, frame)
    load = tag("text", step.load_words, x=beside, y=y - 26, class_="step-load", font_size=size)
    soles = group(standing_soles(side, step.load), x=x, y=y - SOLE_HEIGHT - 3)
    return soles + load + text(beside, y - 7, step.load_note, "step-note")


def _load_size(step: Step, frame: _Frame) -> int:
    """The load is the largest writing on the ladder; on narrow steps it makes room for the gate."""
    if frame.width > ROOMY:
        return 38 if step.state is StepState.NOW else 31
    return 31 if step.state is StepState.NOW and len(step.load_words) < 6 else 27


def _gate(ladder: Ladder, frame: _Frame) -> SafeString:
    """Stands on the tread of Now, just before the next step."""
    x = frame.x(ladder.now + 1) - gate.WIDTH - 7
    return group(gate.gate_posts(ladder.bars), x=x, y=frame.treads[ladder.now] - gate.HEIGHT)


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the narrow form, top stage above, with the sole drawn."""

    step: Step
    sole: SafeString
    indent: int  # steps from the lowest, 0 upwards


def narrow_rows(ladder: Ladder) -> list[Row]:
    """The narrow form: rows that still make a stair, the top stage first."""
    rows = [Row(step, one_sole(ladder.side, step.load), indent) for indent, step in enumerate(ladder.steps)]
    return rows[::-1]
