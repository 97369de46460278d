from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from clinic.diary.models import Booking
from clinic.followup.refusals import CourseFaults, NotInForce, NotYourDuty, ReasonNeeded, StageShut
from clinic.followup.services import (
    book_visit,
    close_clot_review,
    confirm_union,
    convert_treatment,
    discharge,
    mark_attended,
    mark_missed,
    order_stage,
    record_film_reading,
    record_gate_findings,
    record_weight,
    register_patient,
)
from clinic.reminders.models import MessageState, OutboxMessage
from rehab.engine.facts import Film, Score, ScoreScale, Stage, TreatmentKind
from rehab.engine.replan import ChangeKind
from rehab.models import HistoryEntry
from tests.support.cast import DAY_ZERO, make_session, typed


def at(month, day, hour=12, year=2027):
    return datetime(year, month, day, hour, tzinfo=UTC)


def film(on, **measured):
    values = {"coronal": Decimal(0), "sagittal": Decimal(0), "rotation": Decimal(0), "shortening": Decimal(0)}
    return Film(on=on, **values | {"contact": Decimal(100)} | measured)


def test_a_film_over_the_limit_raises_a_red_alert(ann, surgeon):
    record_film_reading(ann, film(date(2027, 2, 2), coronal=Decimal(-2)), by=surgeon, at=DAY_ZERO)

    outcome = record_film_reading(ann, film(date(2027, 3, 15), coronal=Decimal(-7)), by=surgeon, at=at(3, 15))

    alert = next(alert for alert in outcome.difference.new_alerts if alert.kind == "alignment")
    assert alert.level == "RED"
    assert outcome.entry.payload["coronal"] == {"degrees": 7, "toward": "varus"}


def test_a_film_older_than_the_injury_is_refused_in_words(ann, surgeon):
    with pytest.raises(CourseFaults, match="A film cannot be older than the injury"):
        record_film_reading(ann, film(date(2027, 2, 1)), by=surgeon, at=DAY_ZERO)
    assert not HistoryEntry.objects.filter(kind="film").exists()


def test_a_cortex_beyond_the_scale_is_refused(ann, surgeon):
    score = Score(ScoreScale.RUST, (4, 1, 1, 1))

    with pytest.raises(CourseFaults, match="1, 2 or 3"):
        record_film_reading(ann, film(date(2027, 2, 2), score=score), by=surgeon, at=DAY_ZERO)


def test_a_film_of_tomorrow_is_refused(ann, surgeon):
    with pytest.raises(CourseFaults, match="still to come"):
        record_film_reading(ann, film(date(2027, 2, 3)), by=surgeon, at=DAY_ZERO)


def test_a_clerk_records_no_film(ann, clerk):
    with pytest.raises(NotYourDuty):
        record_film_reading(ann, film(date(2027, 2, 2)), by=clerk, at=DAY_ZERO)


def test_a_corrected_film_counts_in_place_of_the_first(ann, surgeon):
    record_film_reading(ann, film(date(2027, 2, 2)), by=surgeon, at=DAY_ZERO)
    wrong = record_film_reading(ann, film(date(2027, 3, 15), coronal=Decimal(-7)), by=surgeon, at=at(3, 15)).entry

    right = film(date(2027, 3, 15), coronal=Decimal(-1))
    outcome = record_film_reading(ann, right, by=surgeon, supersedes=wrong, at=at(3, 15, 13))

    assert not [alert for alert in outcome.plan.alerts if alert.kind == "alignment"]
    assert HistoryEntry.objects.filter(kind="film").count() == 3


def test_no_order_means_non_weightbearing_and_an_order_changes_it(ann, surgeon):
    outcome = order_stage(ann, Stage.WBAT, by=surgeon, at=DAY_ZERO)

    assert outcome.plan.stage_now.stage is Stage.WBAT
    assert outcome.difference.stage_changed


def test_a_physiotherapist_is_told_what_a_shut_stage_waits_for(ann, physiotherapist):
    with pytest.raises(StageShut) as refused:
        order_stage(ann, Stage.FWB, by=physiotherapist, at=DAY_ZERO)

    assert str(refused.value)
    assert refused.value.reasons
    assert not HistoryEntry.objects.filter(kind="stage ordered").exists()


def test_a_physiotherapist_may_always_go_down(ann, surgeon, physiotherapist):
    order_stage(ann, Stage.WBAT, by=surgeon, at=DAY_ZERO)

    outcome = order_stage(ann, Stage.NWB, by=physiotherapist, at=at(2, 10))

    assert outcome.plan.stage_now.stage is Stage.NWB


def test_an_early_order_needs_the_surgeon_s_reason_which_is_kept(ann, surgeon):
    with pytest.raises(ReasonNeeded):
        order_stage(ann, Stage.FWB, by=surgeon, at=at(2, 10))

    order_stage(ann, Stage.FWB, by=surgeon, reason="agreed at the meeting", at=at(2, 10))

    assert HistoryEntry.objects.get(kind="stage ordered").note == "agreed at the meeting"


def test_who_came_closes_the_booking(booked, ann, visit, clerk):
    mark_attended(visit("N1"), by=clerk, at=at(2, 15))

    booked.refresh_from_db()
    assert booked.status == "attended"
    assert visit("N1").state == "attended"


def test_a_missed_visit_gets_a_new_row_that_needs_a_place(booked, ann, visit, clerk):
    outcome = mark_missed(visit("N1"), by=clerk, at=at(2, 15, 17))

    booked.refresh_from_db()
    assert booked.status == "missed"
    assert visit("N1", attempt=2).placed_on == date(2027, 2, 17)
    assert [change.visit.attempt for change in outcome.difference.of_kind(ChangeKind.ADDED)] == [2]
    assert [alert.kind for alert in outcome.difference.new_alerts] == ["missed"]


def test_a_visit_after_a_miss_is_booked_by_its_deadline_without_asking(booked, visit, clerk, site):
    mark_missed(visit("N1"), by=clerk, at=at(2, 15, 17))

    outcome = book_visit(visit("N1", attempt=2), make_session(site, date(2027, 2, 17)), by=clerk, at=at(2, 15, 17))

    assert outcome.booking.visit.attempt == 2


def test_a_visit_is_not_marked_before_its_day(booked, visit, clerk):
    with pytest.raises(CourseFaults, match="still to come"):
        mark_attended(visit("N1"), by=clerk, at=at(2, 14))


def test_a_visit_is_marked_only_once(booked, visit, clerk):
    mark_attended(visit("N1"), by=clerk, at=at(2, 15))

    with pytest.raises(NotInForce, match="attended already"):
        mark_missed(visit("N1"), by=clerk, at=at(2, 15))


def test_findings_beyond_the_scale_are_refused(ann, physiotherapist):
    with pytest.raises(CourseFaults, match="10"):
        record_gate_findings(ann, "N2", {"walking_pain": 11}, on=date(2027, 3, 15), by=physiotherapist, at=at(3, 15))


def test_a_conversion_gives_back_the_old_places_and_tells_the_patient(booked, ann, visit, surgeon):
    order_stage(ann, Stage.WBAT, by=surgeon, at=DAY_ZERO)
    OutboxMessage.objects.filter(kind="confirmation").update(state=MessageState.SENT, sent_at=DAY_ZERO)

    outcome = convert_treatment(
        ann, TreatmentKind.PLATE_AND_SCREWS, treated_at=at(2, 10, 9), by=surgeon, at=at(2, 10, 15)
    )

    assert [booking.visit.code for booking in outcome.cancelled] == ["N1"]
    assert OutboxMessage.objects.get(kind="cancellation").state == "due"
    assert visit("N1").state == "cancelled"
    assert outcome.plan.stage_now.stage is Stage.NWB
    assert outcome.plan.healing_clock_from == date(2027, 2, 2)
    assert Booking.objects.get().status == "cancelled"


def test_a_visit_of_the_old_plan_on_the_day_of_the_conversion_does_not_stop_it(booked, ann, visit, clerk, surgeon):
    mark_attended(visit("N1"), by=clerk, on=date(2027, 2, 15), at=at(2, 15, 10))

    outcome = convert_treatment(
        ann, TreatmentKind.PLATE_AND_SCREWS, treated_at=at(2, 15, 15), by=surgeon, at=at(2, 15, 18)
    )

    assert outcome.plan.anchor_on == date(2027, 2, 15)
    assert Booking.objects.get().status == "attended"
    assert record_weight(ann, 700, on=date(2027, 2, 15), by=surgeon, at=at(2, 15, 19)).entry.kind == "weighed"


def test_a_conversion_before_the_treatment_in_force_is_refused(ann, surgeon):
    with pytest.raises(CourseFaults, match="order of time"):
        convert_treatment(ann, TreatmentKind.PLATE_AND_SCREWS, treated_at=at(2, 2, 13), by=surgeon, at=DAY_ZERO)


def test_a_correction_takes_the_place_of_its_entry_and_of_no_other(ann, clerk, surgeon):
    first = record_film_reading(ann, film(date(2027, 2, 2), coronal=Decimal(-7)), by=surgeon, at=DAY_ZERO).entry
    weight = record_weight(ann, 725, on=date(2027, 2, 2), by=clerk, at=DAY_ZERO).entry
    other = register_patient(typed(hospital_number="HH 0002"), by=clerk, at=DAY_ZERO).episode
    mended = film(date(2027, 2, 2), coronal=Decimal(-2))

    record_film_reading(ann, mended, by=surgeon, supersedes=first, at=DAY_ZERO)

    for episode, wrong in ((ann, first), (ann, weight), (other, first)):
        with pytest.raises(CourseFaults, match="not the entry to correct"):
            record_film_reading(episode, mended, by=surgeon, supersedes=wrong, at=DAY_ZERO)


def test_a_conversion_of_tomorrow_is_refused(ann, surgeon):
    with pytest.raises(CourseFaults, match="still to come"):
        convert_treatment(ann, TreatmentKind.PLATE_AND_SCREWS, treated_at=at(2, 3), by=surgeon, at=DAY_ZERO)


def test_confirmed_union_drops_the_starred_visit(ann, surgeon, visit):
    confirm_union(ann, on=date(2027, 7, 19), by=surgeon, at=at(7, 19))

    assert visit("N5").state in {"dropped", "cancelled"}


def test_discharge_ends_the_episode_only_when_nothing_is_missing(ann, surgeon):
    held = discharge(ann, on=date(2027, 7, 19), by=surgeon, at=at(7, 19))
    assert held.plan.ended_on is None
    assert [alert.kind for alert in held.difference.new_alerts] == ["scope"]

    order_stage(ann, Stage.WBAT, by=surgeon, reason="healed", at=at(7, 20))
    confirm_union(ann, on=date(2027, 7, 20), by=surgeon, at=at(7, 20))
    close_clot_review(ann, on=date(2027, 7, 20), by=surgeon, at=at(7, 20))
    outcome = discharge(ann, on=date(2027, 7, 21), by=surgeon, at=at(7, 21))

    ann.refresh_from_db()
    assert outcome.plan.ended_on == date(2027, 7, 21)
    assert ann.ended_on == date(2027, 7, 21)


def test_a_weight_in_pounds_is_too_heavy_to_be_true(ann, physiotherapist):
    with pytest.raises(CourseFaults, match="kilograms"):
        record_weight(ann, 8450, on=date(2027, 2, 2), by=physiotherapist, at=DAY_ZERO)
