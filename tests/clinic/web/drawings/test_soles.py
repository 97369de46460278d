import re

from clinic.web.drawings.soles import HEIGHT, Load, side_soles, standing_soles
from rehab.engine.facts import Side


def filled(svg: str) -> list[str]:
    return re.findall(r'class="(sole-mark-filled|sole-mark)"( transform="[^"]*")?', svg)


def test_the_left_sole_stands_on_the_left_and_is_filled_when_the_left_leg_is_hurt():
    left, right = filled(str(side_soles(Side.LEFT)))

    assert left == ("sole-mark-filled", "")
    assert right[0] == "sole-mark"
    assert "scale(-1 1)" in right[1]


def test_the_right_sole_is_the_mirrored_one_and_stays_on_the_right():
    left, right = filled(str(side_soles(Side.RIGHT)))

    assert left == ("sole-mark", "")
    assert right[0] == "sole-mark-filled"
    assert "scale(-1 1)" in right[1]


def test_a_quarter_load_fills_the_lowest_quarter_of_the_sole():
    drawn = str(standing_soles(Side.LEFT, Load(25)))

    assert f'y="{HEIGHT * 0.75:.0f}"' in drawn  # 48 of 64 from the toes: the heel quarter is seen


def test_no_load_is_a_dashed_sole_that_hangs_above_the_floor_with_nothing_filled():
    drawn = str(standing_soles(Side.RIGHT, Load(0)))

    assert "sole-off" in drawn
    assert "sole-fill" not in drawn
    assert "translate(38 -9)" in drawn


def test_no_limit_fills_the_whole_sole():
    assert Load(None).share == 1.0


def test_a_planned_load_is_dashed_and_never_solid():
    drawn = str(standing_soles(Side.LEFT, Load(50, is_planned=True)))

    assert "sole-planned" in drawn
    assert 'class="sole-fill"' not in drawn
    assert "sole-injured" not in drawn
