"""Texts of the pathway files reach the translators."""

from django.utils import translation
from django.utils.translation import gettext

from rehab.files.default_pathways import default_pathways
from rehab.words import pathway_text
from rehab.words.collect_pathway_texts import TEXTS_FILE, collected_texts, module_text
from rehab.words.pathway_texts import PATHWAY_TEXTS


def test_the_translators_see_exactly_the_texts_of_the_pathway_files():
    assert TEXTS_FILE.read_text(encoding="utf-8") == module_text(), (
        "Run python -m rehab.words.collect_pathway_texts and commit what it writes."
    )
    assert collected_texts() == PATHWAY_TEXTS


def test_every_title_and_content_of_every_visit_is_among_them():
    for pathway in default_pathways().values():
        rules = [*pathway.visits, *(opened.visit for opened in pathway.open_visits)]
        texts = {pathway.title} | {text for rule in rules for text in (rule.title, *rule.contents)}

        assert texts <= set(PATHWAY_TEXTS)


def test_a_clinics_own_text_stays_as_it_is():
    assert pathway_text("Bring the blue card") == "Bring the blue card"
    assert pathway_text("") == ""


def test_a_text_of_a_pathway_is_said_in_the_readers_language():
    class Polish:
        """A catalogue with one text."""

        def gettext(self, text):
            return {"wound check": "kontrola rany"}.get(text, text)

    with translation.override("pl"):
        translation.trans_real._active.value = Polish()

        assert gettext("wound check") == "kontrola rany"
        assert pathway_text("wound check") == "kontrola rany"
