"""A course document becomes the engine's facts."""

from datetime import UTC, date, datetime, time
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from rehab.engine import facts
from rehab.files import read_course
from rehab.files.course import read_course_file

LONDON = ZoneInfo("Europe/London")


def treatment(kind, at, **details):
    return {"kind": kind, "at": at, **details}


def test_the_clinic_is_read(document):
    _, clinic = read_course(document)

    assert clinic == facts.Clinic(LONDON, frozenset({0, 2, 4}), time(9, 30), "GB", "ENG")


def test_closed_and_full_days_are_read(document):
    document["clinic"] |= {"closed_on": ["2027-02-15"], "full_on": ["2027-02-17"]}
    _, clinic = read_course(document)

    assert (clinic.closed_on, clinic.full_on) == ({date(2027, 2, 15)}, {date(2027, 2, 17)})


def test_the_injury_is_read(document):
    course, _ = read_course(document)

    assert course.injury == facts.Injury(
        at=datetime(2027, 2, 2, 11, 0, tzinfo=LONDON),
        on=date(2027, 2, 2),
        presented_at=datetime(2027, 2, 2, 12, 10, tzinfo=LONDON),
        side=facts.Side.RIGHT,
        bone_segment="42",
        fracture_class="A2",
        edition=2018,
        fibula=facts.Fibula.OTHER_LEVEL,
        open_grade=facts.OpenGrade.CLOSED,
    )


def test_the_optional_keys_of_the_injury_are_read(document):
    document["injury"] |= {
        "open_grade": "IIIA",
        "wound_closed_at": "2027-02-03T01:40",
        "antibiotic_at": "2027-02-02T11:50",
        "circumstances": ["unlocked nail"],
    }
    injury = read_course(document)[0].injury

    assert injury.wound_closed_at == datetime(2027, 2, 3, 1, 40, tzinfo=LONDON)
    assert injury.antibiotic_at == datetime(2027, 2, 2, 11, 50, tzinfo=LONDON)
    assert injury.circumstances == {"unlocked nail"}


def test_the_person_is_read(document):
    course, _ = read_course(document)

    assert course.born_on == date(1993, 1, 15)
    assert course.weights == (facts.Weight(720, date(2027, 2, 2)),)


@pytest.mark.parametrize(("kg", "tenths"), [(72, 720), (61.9, 619), (84.5, 845), (Decimal("57.3"), 573), (30, 300)])
def test_a_weight_is_kept_in_whole_tenths(document, kg, tenths):
    document["person"]["weight_kg"] = kg

    assert read_course(document)[0].weights[0].tenths_kg == tenths


def test_a_person_nobody_has_weighed_has_no_weight(document):
    document["person"] |= {"weight_kg": None, "weighed_on": None}

    assert read_course(document)[0].weights == ()


def test_every_kind_of_entry_becomes_its_fact(document):
    findings = {"rest_pain": 2, "cast_problem": False}
    document["treatments"] = [treatment("long_leg_cast", "2027-02-02T15:00")]
    document["history"] = [
        {"on": "2027-02-03", "what": "booked", "visit": "C1", "place_on": "2027-02-05"},
        {"on": "2027-02-05", "what": "attended", "visit": "C1"},
        {"on": "2027-02-08", "what": "missed", "visit": "C2"},
        {"on": "2027-02-10", "what": "wedged"},
        {"on": "2027-02-10", "what": "film", "coronal": {"degrees": 2.5, "toward": "varus"}, "shortening_mm": 3},
        {"on": "2027-03-01", "what": "gate findings", "visit": "C5", "findings": findings},
        {"on": "2027-03-01", "what": "stage ordered", "stage": "TTWB", "by": "physiotherapist"},
        {"on": "2027-07-19", "what": "clinical union", "yes": True},
        {"on": "2027-07-19", "what": "union confirmed", "by": "surgeon"},
        {"on": "2027-07-19", "what": "clot review closed", "by": "surgeon"},
        {"on": "2027-07-19", "what": "antibiotic review closed", "by": "surgeon"},
        {"on": "2027-08-01", "what": "discharged", "by": "surgeon", "reason": "informed refusal"},
    ]  # fmt: skip

    assert read_course(document)[0].history == (
        facts.Booked(date(2027, 2, 3), "C1", date(2027, 2, 5)),
        facts.Attended(date(2027, 2, 5), "C1"),
        facts.Missed(date(2027, 2, 8), "C2"),
        facts.Wedged(date(2027, 2, 10)),
        facts.Film(date(2027, 2, 10), coronal=Decimal("-2.5"), shortening=Decimal(3)),
        facts.GateFindings(date(2027, 3, 1), "C5", findings),
        facts.StageOrdered(date(2027, 3, 1), facts.Stage.TTWB, facts.Authoriser.PHYSIOTHERAPIST),
        facts.ClinicalUnion(date(2027, 7, 19), True),
        facts.UnionConfirmed(date(2027, 7, 19)),
        facts.ClotReviewClosed(date(2027, 7, 19)),
        facts.AntibioticReviewClosed(date(2027, 7, 19)),
        facts.Discharged(date(2027, 8, 1), "informed refusal"),
    )


@pytest.mark.parametrize(
    ("plane", "toward", "degrees"),
    [
        ("coronal", "varus", Decimal(-3)),
        ("coronal", "valgus", Decimal(3)),
        ("sagittal", "apex posterior", Decimal(-3)),
        ("sagittal", "apex anterior", Decimal(3)),
    ],
)
def test_an_angle_is_signed_by_its_direction(document, plane, toward, degrees):
    document["history"] = [{"on": "2027-02-15", "what": "film", plane: {"degrees": 3, "toward": toward}}]

    assert getattr(read_course(document)[0].history[0], plane) == degrees


def test_no_angle_has_no_sign(document):
    document["history"] = [{"on": "2027-02-15", "what": "film", "coronal": {"degrees": 0, "toward": "varus"}}]

    assert str(read_course(document)[0].history[0].coronal) == "0"


@pytest.mark.parametrize("coronal", [None, {"degrees": None}, {"degrees": None, "toward": None}])
def test_an_angle_nobody_measured_stays_unknown(document, coronal):
    document["history"] = [{"on": "2027-02-15", "what": "film", "coronal": coronal}]

    assert read_course(document)[0].history[0].coronal is None


def test_a_hidden_cortex_leaves_the_score_without_a_total(document):
    score = read_course(document)[0].history[2].score

    assert score.cortices == (2, 2, 1, None)
    assert score.total is None


# The rules of the input, by name


def test_r02_the_history_is_sorted_by_day_and_same_day_entries_keep_their_order(document):
    document["history"] = [
        {"on": "2027-03-17", "what": "stage ordered", "stage": "NWB", "by": "surgeon"},
        {"on": "2027-02-15", "what": "attended", "visit": "N1"},
        {"on": "2027-03-17", "what": "stage ordered", "stage": "WBAT", "by": "surgeon"},
    ]
    file = read_course_file(document)

    assert [entry.on.day for entry in file.course.history] == [15, 17, 17]
    assert [entry.stage for entry in file.course.history[1:]] == ["NWB", "WBAT"]
    assert file.positions == (1, 0, 2)


@pytest.mark.parametrize(
    ("text", "on", "instant"),
    [
        ("2027-06-05T23:10:00+00:00", date(2027, 6, 6), datetime(2027, 6, 5, 23, 10, tzinfo=UTC)),
        ("2027-06-05T23:10:00Z", date(2027, 6, 6), datetime(2027, 6, 5, 23, 10, tzinfo=UTC)),
        ("2027-06-05T23:10", date(2027, 6, 5), datetime(2027, 6, 5, 22, 10, tzinfo=UTC)),
        ("2027-06-06T04:10+09:00", date(2027, 6, 5), datetime(2027, 6, 5, 19, 10, tzinfo=UTC)),
        ("2027-03-28T01:30", date(2027, 3, 28), datetime(2027, 3, 28, 1, 30, tzinfo=UTC)),  # skipped: fold=0
        ("2027-10-31T01:30", date(2027, 10, 31), datetime(2027, 10, 31, 0, 30, tzinfo=UTC)),  # repeated: fold=0
    ],
)
def test_r03_a_moment_becomes_clinic_time_before_its_date_is_taken(document, text, on, instant):
    document["treatments"] = [treatment("intramedullary_nail", text)]
    document["history"] = []
    nailed = read_course(document)[0].treatments[0]

    assert nailed.on == on
    assert nailed.at.astimezone(UTC) == instant


def test_r03_a_zone_that_skips_midnight_keeps_the_civil_date(document):
    document["clinic"] |= {"time_zone": "Africa/Cairo", "country": "EG", "subdivision": None}
    document["treatments"] = [treatment("intramedullary_nail", "2027-04-30T00:00")]
    document["history"] = []

    assert read_course(document)[0].treatments[0].on == date(2027, 4, 30)


def test_r04_of_two_treatments_on_one_day_the_last_counts(document):
    document["treatments"] = [
        treatment("long_leg_cast", "2027-03-01T09:00"),
        treatment("intramedullary_nail", "2027-03-01T18:00"),
    ]
    document["history"] = []

    assert [row.kind for row in read_course(document)[0].treatments] == ["intramedullary_nail"]


def test_r09_without_a_presentation_the_injury_counts_which_is_earlier(document):
    del document["injury"]["presented_at"]
    injury = read_course(document)[0].injury

    assert injury.presented_at == injury.at


def test_r10_a_planning_day_of_a_person_entered_late_is_read(document):
    document["treatments"][0]["planned_on"] = "2027-02-09"

    assert read_course(document)[0].treatments[0].planned_on == date(2027, 2, 9)
