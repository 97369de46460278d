import pytest

from clinic.people.duties import DUTIES, NotYourDuty, OtherSite, may, require
from clinic.people.models import Role
from tests.support import cast

# Who signs what (rules R11, R37; hazards H22, H24), typed in by hand.
ONLY_A_SURGEON = {
    "record_film_reading",
    "convert_treatment",
    "confirm_union",
    "close_clot_review",
    "close_antibiotic_review",
    "discharge",
}


@pytest.mark.parametrize("act", sorted(ONLY_A_SURGEON))
@pytest.mark.parametrize("role", [Role.CLERK, Role.PHYSIOTHERAPIST, Role.MANAGER])
def test_only_a_surgeon_signs(act, role):
    assert role not in DUTIES[act]
    assert Role.SURGEON in DUTIES[act]


@pytest.mark.parametrize("act", sorted(DUTIES))
def test_a_clerk_never_touches_what_is_clinical(act):
    desk = {"register_patient", "record_weight", "mark_attended", "mark_missed", "book_visit", "move_booking"}

    assert (Role.CLERK in DUTIES[act]) is (act in desk | {"cancel_booking"})


def test_a_refusal_names_who_may(clerk):
    with pytest.raises(NotYourDuty, match=r"Cora Finch cannot do this\. It takes one of: surgeon"):
        require("confirm_union", clerk)
    assert not may("confirm_union", clerk)


def test_another_site_is_refused(clerk):
    with pytest.raises(OtherSite):
        require("book_visit", clerk, cast.make_site("Moor Clinic").pk)
