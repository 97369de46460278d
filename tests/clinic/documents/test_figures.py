"""The drawings: what their poses promise, and what a mirrored one keeps."""

import re
from base64 import b64decode

import pytest

from clinic.documents.figures import scenes
from clinic.documents.figures.canvas import Canvas
from clinic.documents.figures.person import SHANK, THIGH, foot, middle_joint
from clinic.documents.figures.scenes import EDGE_DOWN, EDGE_UP, STEP, Words, draw_scene
from clinic.documents.figures.soles import soles_picture
from clinic.documents.sheet import Load
from clinic.documents.steps import STAIRS, WALKING
from rehab.engine.facts import Side

WITHOUT_LOAD = [
    step.scene for lesson in (WALKING[Load.NONE], *STAIRS[Load.NONE]) for step in lesson.steps
]  # crutches, hop, up and down
ALL = [scene for scene in vars(scenes).values() if isinstance(scene, scenes.Scene)]
HALF_A_SOLE = 3.75


def floor_under(scene, x):
    """The height of the floor or step at a place."""
    if scene.floor == "up":
        return STEP if x >= EDGE_UP else 0
    if scene.floor == "down":
        return 0 if x > EDGE_DOWN else STEP
    return 0


def svg_of(picture):
    return b64decode(re.search(r"base64,([^\"]+)", picture)[1]).decode()


def drawn(scene, *, is_mirrored=False, label=12.0):
    hurt, good = ("left", "right") if is_mirrored else ("right", "left")
    return svg_of(draw_scene(scene, Words(hurt, good, "42 kg"), "x", width=150, label=label, is_mirrored=is_mirrored))


@pytest.mark.parametrize("scene", WITHOUT_LOAD)
def test_the_hurt_foot_of_a_leg_without_load_hangs_clear_of_floor_and_step(scene):
    pose = scene.pose

    for x, y in foot(pose.hurt_ankle, pose.hurt_pitch):
        assert y - HALF_A_SOLE - floor_under(scene, x) >= 3


@pytest.mark.parametrize("scene", ALL)
def test_no_foot_sinks_into_the_floor(scene):
    for ankle, pitch in (
        (scene.pose.hurt_ankle, scene.pose.hurt_pitch),
        (scene.pose.good_ankle, scene.pose.good_pitch),
    ):
        for x, y in foot(ankle, pitch)[:1]:
            assert y - HALF_A_SOLE - floor_under(scene, x) >= -2.5


@pytest.mark.parametrize("scene", ALL)
def test_legs_are_as_long_as_legs(scene):
    for ankle in (scene.pose.hurt_ankle, scene.pose.good_ankle):
        reach = ((scene.pose.hip[0] - ankle[0]) ** 2 + (scene.pose.hip[1] - ankle[1]) ** 2) ** 0.5
        assert reach <= THIGH + SHANK + 2.5


@pytest.mark.parametrize("scene", [s for s in ALL if s.pose.near_tip])
def test_a_crutch_stands_on_the_floor_or_is_carried_over_it(scene):
    x, y = scene.pose.near_tip

    assert y >= floor_under(scene, x)


def test_a_knee_bends_forward_and_an_elbow_back():
    assert middle_joint((0, 80), (0, 0), 43, 43, forward=True)[0] > 0
    assert middle_joint((0, 50), (0, 0), 29, 27, forward=False)[0] < 0


@pytest.mark.parametrize("scene", ALL)
def test_the_hurt_leg_has_three_white_bands(scene):
    bands = re.findall(r'stroke="#FFFFFF" stroke-width="3\.18"', drawn(scene))  # 3.6 cm at 150/170 points a centimetre

    assert len(bands) == 3


@pytest.mark.parametrize("scene", ALL)
def test_a_mirrored_drawing_turns_shapes_and_never_words(scene):
    plain, mirrored = drawn(scene), drawn(scene, is_mirrored=True)
    heads = [float(re.search(r'<circle cx="([\d.]+)"', svg)[1]) for svg in (plain, mirrored)]

    assert sum(heads) == pytest.approx(150, abs=0.2)
    assert "scale(-1" not in mirrored
    assert words_in(mirrored) == [{"left": "right", "right": "left"}.get(word, word) for word in words_in(plain)]


def words_in(svg):
    return re.findall(r">([^<>]+)</text>", svg)


@pytest.mark.parametrize("label", [11.0, 18.0])
@pytest.mark.parametrize("scene", ALL)
def test_words_in_a_drawing_have_the_size_that_was_asked_for(scene, label):
    assert set(re.findall(r'font-size="([\d.]+)"', drawn(scene, label=label))) <= {f"{label:g}"}


def test_words_are_escaped():
    canvas = Canvas(10, 10, 1, 1, 12)
    canvas.word((1, 1), "<b>&")

    assert "&lt;b&gt;&amp;" in canvas.shapes[0]


@pytest.mark.parametrize(("side", "names"), [(Side.LEFT, ("LEFT", "right")), (Side.RIGHT, ("left", "RIGHT"))])
def test_the_left_sole_stands_on_the_left_whichever_is_hurt(side, names):
    svg = svg_of(soles_picture(side, 0.5, names, "x", height=100, label=12))
    places = {word: float(x) for x, word in re.findall(r'<text x="([\d.]+)"[^>]*>([^<]+)</text>', svg)}
    by_side = {word.lower(): x for word, x in places.items()}

    assert by_side["left"] < by_side["right"]


@pytest.mark.parametrize(("share", "top"), [(1.0, 2.0), (0.5, 51.0), (0.1, 90.2)])
def test_the_injured_sole_is_filled_from_the_heel(share, top):
    svg = svg_of(soles_picture(Side.RIGHT, share, ("left", "RIGHT"), "x", height=100, label=12))

    assert f'<rect x="0" y="{top:.1f}" width="40" height="{100 - top:.1f}"/>' in svg


def test_a_sole_that_carries_nothing_is_a_dashed_outline():
    svg = svg_of(soles_picture(Side.LEFT, 0, ("LEFT", "right"), "x", height=100, label=12))

    assert svg.count("stroke-dasharray") == 1
