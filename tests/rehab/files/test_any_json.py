"""Any JSON whatever is answered: with a plan that fits its schema, or with faults. Nothing else happens."""

import json
from contextlib import suppress
from copy import deepcopy
from datetime import date, timedelta

from hypothesis import example, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from rehab.files import CourseFaults, plan_course, read_json
from rehab.files.structure import SCHEMA_FILE
from tests.rehab.files.conftest import NAIL_TO_DISCHARGE

PLAN_SCHEMA = Draft202012Validator(json.loads(SCHEMA_FILE.with_name("plan.schema.json").read_text(encoding="utf-8")))
WORDS = ["N1", "C3", "X1", "film", "wedged", "surgeon", "2027-02-15", "2027-02-30", "9999-12-31", "RUST", "both", ""]
ATOMS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**12), 10**12),
    st.floats(),
    st.decimals(allow_nan=False, places=1, min_value=-500, max_value=500),
    st.text(max_size=12),
    st.sampled_from(WORDS),
)
VALUES = st.recursive(
    ATOMS, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4)
)
DAYS = st.dates(date(2027, 2, 2), date(2028, 8, 1)).map(date.isoformat)
TREATMENT_DAYS = st.integers(0, 300).map(lambda n: f"{date(2027, 2, 2) + timedelta(days=n)}T15:00")
KINDS = st.sampled_from(["long_leg_cast", "intramedullary_nail", "plate_and_screws"])
CORTICES = st.lists(st.sampled_from([1, 2, 3, None]), min_size=4, max_size=4)
CODES = st.sampled_from([f"{letter}{n}" for letter in "CNPOX" for n in range(8)])
PLANES = {"coronal": ("varus", "valgus"), "sagittal": ("apex anterior", "apex posterior")}


def answered(document, on=None):
    """Plan a document; say "plan" or "faults", and fail on anything else."""
    plan, faults = plan_or_faults(document, on)
    if faults is None:
        assert list(PLAN_SCHEMA.iter_errors(plan)) == []
        assert json.loads(json.dumps(plan)) == plan
        return "plan"
    paths = [fault["path"] for fault in faults]
    assert paths
    assert len(paths) == len(set(paths))
    assert all(fault["message"].strip() for fault in faults)
    return "faults"


def plan_or_faults(document, on=None):
    """A plan and None, or None and faults."""
    try:
        return plan_course(deepcopy(document), on), None
    except CourseFaults as refused:
        return None, refused.faults


def paths_of(value, path=()):
    """Every place in a document, the whole included."""
    yield path
    if isinstance(value, dict | list):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from paths_of(inner, (*path, key))


def changed(document, path, value):
    """The document with another value at one place."""
    if not path:
        return value
    document = deepcopy(document)
    here = document
    for step in path[:-1]:
        here = here[step]
    here[path[-1]] = value
    return document


@given(VALUES)
@example({"clinic": {}, "person": {}, "injury": {}, "treatments": [{}], "history": [{}]})
def test_any_document_is_answered_with_a_plan_or_faults(document):
    assert answered(document) == "faults"


@settings(max_examples=150)
@given(path=st.sampled_from(list(paths_of(NAIL_TO_DISCHARGE))), value=VALUES)
def test_any_value_at_any_place_of_a_good_course_is_answered(path, value):
    answered(changed(NAIL_TO_DISCHARGE, path, value))


@given(st.binary(max_size=200) | st.text(max_size=200).map(lambda text: text.encode("utf-8", "surrogatepass")))
def test_any_bytes_are_answered(content):
    with suppress(CourseFaults):
        json.dumps(read_json(content), default=str)


@st.composite
def films(draw):
    """A film with directions where they are needed."""
    film = {"on": draw(DAYS), "what": "film", "shortening_mm": draw(st.none() | st.integers(0, 15))}
    for plane, directions in PLANES.items():
        degrees = draw(st.none() | st.decimals(0, 12, places=1))
        film[plane] = {"degrees": degrees, "toward": draw(st.sampled_from(directions)) if degrees else None}
    if draw(st.booleans()):
        film["score"] = {"scale": draw(st.sampled_from(["RUST", "mRUST"])), "cortices": draw(CORTICES)}
    return film


ENTRIES = st.one_of(
    films(),
    st.fixed_dictionaries({"on": DAYS, "what": st.sampled_from(["attended", "missed"]), "visit": CODES}),
    st.fixed_dictionaries({"on": DAYS, "what": st.just("wedged")}),
    st.fixed_dictionaries({"on": DAYS, "what": st.just("clinical union"), "yes": st.booleans()}),
    st.fixed_dictionaries(
        {
            "on": DAYS,
            "what": st.just("gate findings"),
            "visit": CODES,
            "findings": st.fixed_dictionaries({"walking_pain": st.integers(0, 10), "cast_problem": st.booleans()}),
        }
    ),
    st.fixed_dictionaries(
        {
            "on": DAYS,
            "what": st.just("stage ordered"),
            "stage": st.sampled_from(["NWB", "TTWB", "PWB50", "WBAT", "FWB"]),
            "by": st.sampled_from(["surgeon", "physiotherapist"]),
        }
    ),
    st.fixed_dictionaries(
        {
            "on": DAYS,
            "what": st.sampled_from(["union confirmed", "clot review closed", "discharged"]),
            "by": st.just("surgeon"),
        }
    ),
)
TREATMENTS = st.lists(st.fixed_dictionaries({"kind": KINDS, "at": TREATMENT_DAYS}), min_size=1, max_size=3).map(
    lambda rows: sorted(rows, key=lambda row: row["at"])
)


@settings(max_examples=150)
@given(
    treatments=TREATMENTS,
    history=st.lists(ENTRIES, max_size=8),
    open_grade=st.sampled_from(["closed", "I", "IIIA", "IIIB"]),
    on=st.none() | st.dates(date(2027, 1, 1), date(2029, 1, 1)),
)
def test_any_history_of_any_treatments_is_answered(treatments, history, open_grade, on):
    injury = NAIL_TO_DISCHARGE["injury"] | {"open_grade": open_grade}
    answered(NAIL_TO_DISCHARGE | {"treatments": treatments, "history": history, "injury": injury}, on)
