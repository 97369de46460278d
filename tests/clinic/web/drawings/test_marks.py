import pytest

from clinic.web.drawings.marks import SHAPES, WORDS, Mark, state_mark


@pytest.mark.parametrize("mark", list(Mark))
def test_every_state_has_a_word_and_a_shape(mark):
    drawn = str(state_mark(mark))

    assert f"<b>{WORDS[mark]}</b>" in drawn
    assert 'aria-hidden="true"' in drawn


def test_states_of_one_colour_are_told_apart_by_shape_or_by_word():
    seen = {(colour, str(shape), str(WORDS[mark])) for mark, (colour, shape) in SHAPES.items()}

    assert len(seen) == len(Mark)


def test_no_colour_of_a_rule_is_ever_printed():
    assert not {"red", "amber", "green"} & {str(word).lower() for word in WORDS.values()}


def test_other_words_may_stand_beside_the_shape():
    assert "<b>Here, 08:51</b>" in str(state_mark(Mark.HERE, "Here, 08:51"))
