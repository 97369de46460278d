"""The example course as a document, fresh for each test, and short ways to ask for its faults."""

from copy import deepcopy
from pathlib import Path

import pytest

from rehab.files import CourseFaults, plan_course, read_json

COURSES = Path(__file__).parent / "courses"
NAIL_TO_DISCHARGE = read_json((COURSES / "nail_to_discharge.json").read_bytes())


@pytest.fixture
def document():
    """A nailed person from injury to discharge; the test may change it."""
    return deepcopy(NAIL_TO_DISCHARGE)


@pytest.fixture
def just_nailed(document):
    """The same person on the day of the operation."""
    return document | {"history": []}


def faults_of(document):
    """Path and message of every fault; a document without any is a test failure."""
    with pytest.raises(CourseFaults) as refused:
        plan_course(document)
    paths = [fault["path"] for fault in refused.value.faults]
    assert len(paths) == len(set(paths)), "a path has more than one message"
    return {fault["path"]: fault["message"] for fault in refused.value.faults}
