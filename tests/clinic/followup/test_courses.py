"""Records become exactly the course that was recorded: checked against the course-file reader."""

from datetime import UTC, date, datetime
from decimal import Decimal

from clinic.diary.calendar import clinic_days_of
from clinic.followup.services import convert_treatment, mark_missed, order_stage, record_film_reading, record_weight
from rehab.engine.facts import Film, Stage, TreatmentKind
from rehab.files import read_course
from rehab.queries import pathways_in_force
from rehab.translate import course_of, document_of
from tests.support.cast import DAY_ZERO


def test_the_course_on_file_reads_the_same_through_a_course_file(ann, booked, visit, clerk, surgeon, site):
    order_stage(ann, Stage.WBAT, by=surgeon, at=DAY_ZERO)
    record_weight(ann, 725, on=date(2027, 2, 2), by=surgeon, at=DAY_ZERO)
    mark_missed(visit("N1"), by=clerk, at=datetime(2027, 2, 15, 17, tzinfo=UTC))
    film = Film(date(2027, 2, 17), coronal=Decimal("-2.5"), sagittal=Decimal(0), shortening=Decimal(3))
    record_film_reading(ann, film, by=surgeon, at=datetime(2027, 2, 17, 12, tzinfo=UTC))
    convert_treatment(
        ann,
        TreatmentKind.PLATE_AND_SCREWS,
        treated_at=datetime(2027, 2, 20, 9, tzinfo=UTC),
        by=surgeon,
        at=datetime(2027, 2, 20, 18, tzinfo=UTC),
    )
    clinic = clinic_days_of(site).clinic

    course = course_of(ann.injury, site.zone)
    again, clinic_again = read_course(document_of(course, clinic), pathways_in_force(site.uuid))

    assert clinic_again == clinic
    assert (again.injury, again.treatments, again.history) == (course.injury, course.treatments, course.history)
    assert again.weights[-1] == course.weights[-1]


def test_the_stored_rows_are_the_plan_s_rows(ann, booked, visit, clerk):
    outcome = mark_missed(visit("N1"), by=clerk, at=datetime(2027, 2, 15, 17, tzinfo=UTC))

    stored = {(row.code, row.attempt): (row.placed_on, row.state) for row in ann.injury.planned_visits.all()}
    assert stored == {(row.code, row.attempt): (row.placed_on, row.state.value) for row in outcome.plan.visits}


def test_recording_the_same_plan_again_writes_no_row(ann, clerk, surgeon, django_assert_max_num_queries):
    with django_assert_max_num_queries(20):
        outcome = record_weight(ann, 725, on=date(2027, 2, 2), by=surgeon, at=DAY_ZERO)

    assert {change.kind for change in outcome.difference.visits} == {"kept"}
