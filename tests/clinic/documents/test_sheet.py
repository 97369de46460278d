import pytest

from clinic.documents.sheet import Load
from tests.clinic.documents.papers import a_sheet


def test_a_text_size_the_sheet_was_not_laid_out_for_is_refused():
    with pytest.raises(ValueError, match=r"Text size 13 is not offered; choose one of 12\.5, 14, 18, 24 points\."):
        a_sheet(size=13.0)


def test_equal_sheets_have_equal_check_letters():
    assert a_sheet().check == a_sheet().check


def test_the_check_letters_change_with_the_load():
    assert a_sheet(cap_kg=42).check != a_sheet(cap_kg=43).check


@pytest.mark.parametrize(("size", "is_large"), [(12.5, False), (14.0, False), (18.0, True), (24.0, True)])
def test_large_print_begins_at_18_points(size, is_large):
    assert a_sheet(size=size).is_large is is_large


def test_only_no_order_and_no_weight_bear_nothing():
    assert [load for load in Load if load.bears_nothing] == [Load.NO_ORDER, Load.NONE]
