import re

import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("name", ["long-leg-cast", "intramedullary-nail", "plate-and-screws"])
def test_a_pathway_shows_its_sources_and_that_nobody_has_signed(signed_in, manager, name):
    page = signed_in(manager).get(reverse("pathway", args=[name])).content.decode()

    assert "Not approved until a named clinician has signed" in page
    cited = set(re.findall(r'href="#([^"]+)"', page)) - {"main"}
    assert cited
    assert all(f'id="{key}"' in page for key in cited)


def test_an_unknown_pathway_is_not_there(signed_in, manager):
    assert signed_in(manager).get(reverse("pathway", args=["ring-frame"])).status_code == 404


def test_the_list_says_of_each_whether_it_is_signed(signed_in, manager):
    page = signed_in(manager).get(reverse("pathways")).content.decode()

    assert page.count("Not approved until a named clinician has signed.") == 3
