from dataclasses import replace

import pytest

from clinic.web.drawings.gate import Bar, gate_words, shut_bars
from clinic.web.drawings.ladder import StepState, draw_ladder, ladder_words, narrow_rows
from clinic.web.style import CAST, NO_ORDER, PLATE


def test_exactly_one_step_is_now():
    assert [CAST.now, PLATE.now, NO_ORDER.now] == [2, 0, 0]
    with pytest.raises(ValueError, match="not enough values"):
        replace(PLATE, steps=PLATE.steps[1:]).now  # noqa: B018


def test_the_words_name_now_first_and_then_every_other_step():
    words = ladder_words(CAST)

    assert len(words) == 5
    assert words[0] == "Now: Limited weightbearing, press what you practised: 32 kg, at most, since 17 March 2027."
    assert not any(line.startswith("Now") for line in words[1:])


def test_only_the_step_stood_on_is_solid_and_what_is_to_come_is_dashed():
    drawn = str(draw_ladder(PLATE))

    assert drawn.count("step step-now") == 1
    assert drawn.count("step step-coming") == 3
    assert drawn.count("step-dashed") == 3
    assert drawn.count("step-tread") == 1


def test_a_condition_that_nobody_recorded_keeps_its_bar_shut():
    bars = (Bar("Alignment in limits", True), Bar("Walking pain 4/10 or less", None), Bar("A surgeon’s order", False))

    assert shut_bars(bars) == 2
    assert gate_words(bars) == "The next step is behind this gate: 2 bars still shut"


def test_an_open_gate_still_waits_for_a_named_person():
    assert gate_words((Bar("Alignment in limits", True),)) == ("The gate is open. A named person begins the next step.")


def test_no_gate_stands_after_the_last_step():
    last = replace(CAST.steps[-1], state=StepState.NOW)
    steps = (*(replace(step, state=StepState.PAST) for step in CAST.steps[:-1]), last)

    assert "gate-post" not in str(draw_ladder(replace(CAST, steps=steps)))


def test_the_narrow_form_has_the_top_stage_first_and_each_row_further_in():
    rows = narrow_rows(CAST)

    assert [row.step.load_words for row in rows] == ["no limit", "no limit", "32 kg", "6 kg", "0 kg"]
    assert [row.indent for row in rows] == [4, 3, 2, 1, 0]


def test_what_a_name_holds_is_written_and_never_run():
    steps = (replace(PLATE.steps[0], term="<script>"), *PLATE.steps[1:])

    assert "<script>" not in str(draw_ladder(replace(PLATE, steps=steps)))
