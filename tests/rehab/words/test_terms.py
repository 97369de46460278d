"""Every fixed word of the engine has a name for people."""

from enum import StrEnum

import pytest

from rehab.engine.facts import Authoriser, Side, TreatmentKind
from rehab.engine.plan import Level, TaskState, VisitState
from rehab.words import terms


@pytest.mark.parametrize(
    ("name", "words"),
    [
        (terms.treatment_name, TreatmentKind),
        (terms.side_name, Side),
        (terms.visit_state_name, VisitState),
        (terms.task_state_name, TaskState),
        (terms.authoriser_name, Authoriser),
    ],
)
def test_every_word_has_a_name_without_underscores(name, words: type[StrEnum]):
    names = [name(word) for word in words]

    assert all(each and "_" not in each for each in names)
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("level", "kind", "words"),
    [
        (Level.RED, "alignment", "Over the limit"),
        (Level.AMBER, "alignment", "Changed"),
        (Level.RED, "missed", "Act today"),
        (Level.AMBER, "high risk", "Look at this"),
        (Level.INFO, "scope", "For your information"),
    ],
)
def test_an_alert_says_its_urgency_in_words(level, kind, words):
    assert terms.alert_level_name(level, kind) == words


def test_a_task_is_named_by_what_is_to_be_done():
    assert terms.task_name("consultant review") == "consultant review of notes and images"
