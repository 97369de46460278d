"""The promises every plan keeps, each written from the papers and checked on any course.

Each takes a course and fails with an AssertionError; none of them calls the engine's own rules.
"""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from tests.rehab.cases.reference import ENGLISH_HOLIDAYS, first_open_after, is_open, nearest_place
from tests.rehab.cases.timetable import ONLY_IF_NOT_UNITED, PERCENT, STAGES, visits_of

LONDON = ZoneInfo("Europe/London")


def day(text):
    return date.fromisoformat(text[:10])


def treatments(course):
    """Kind, anchor and planning date of the treatments, numbered from 1; one a day."""
    last_of_day = {day(t["at"]): t for t in course.document["treatments"]}
    return [(t["kind"], anchor, day(t.get("planned_on", str(anchor)))) for anchor, t in sorted(last_of_day.items())]


def entries(course, *kinds):
    return [entry for entry in sorted(course.document["history"], key=lambda e: e["on"]) if entry["what"] in kinds]


def newest_day(course, on=None):
    """The evidence date: the newest fact, or the day of asking when it is later."""
    days = [anchor for _, anchor, _ in treatments(course)] + [day(e["on"]) for e in course.document["history"]]
    return max(days + ([day(on)] if on else []))


def missed_on(plan, visit):
    """Days on which this visit of this treatment was missed."""
    rows = plan.rows(visit["code"], visit["treatment"])
    return [day(row["placed_on"]) for row in rows if row["state"] == "missed"]


def window_of(visit):
    return tuple(visit[key] for key in ("target_on", "earliest_on", "latest_on"))


def is_extra(visit):
    return visit["code"].startswith("X")


def each_place_is_the_nearest_open_day(course):
    plan, clinic = course.planned(), course.document["clinic"]
    for visit in plan["visits"]:
        if visit["state"] in ("attended", "missed") or is_extra(visit):
            continue
        kind, anchor, planning = treatments(course)[visit["treatment"] - 1]
        days = visits_of(kind, course.document["injury"]["open_grade"])[visit["code"]]
        target, earliest, latest = (anchor + timedelta(days=n) for n in days)
        assert [visit["target_on"], visit["earliest_on"], visit["latest_on"]] == [
            str(target),
            str(earliest),
            str(latest),
        ]
        misses = missed_on(plan, visit)
        place, _ = nearest_place(clinic, target, earliest, latest, planning, anchor)
        expected = first_open_after(clinic, max(misses)) if misses else place
        assert visit["placed_on"] == (str(expected) if expected else None), visit["code"]


def planned_visits_stand_on_open_days_only(course):
    plan, clinic = course.planned(), course.document["clinic"]
    for visit in plan["visits"]:
        if visit["state"] == "planned" and visit["placed_on"]:
            assert is_open(clinic, day(visit["placed_on"])), visit


def window_day_and_clock_agree_with_the_place(course):
    plan, injured_on = course.planned(), day(course.document["injury"]["at"])
    for visit in plan["visits"]:
        assert visit["earliest_on"] <= visit["target_on"] <= visit["latest_on"]
        if visit["placed_on"] is None:
            assert not visit["in_window"]
            continue
        placed_on, anchor = day(visit["placed_on"]), treatments(course)[visit["treatment"] - 1][1]
        assert visit["in_window"] is (visit["earliest_on"] <= visit["placed_on"] <= visit["latest_on"])
        assert visit["day"] == (placed_on - anchor).days
        assert visit["healing_day"] == (placed_on - injured_on).days


def merged_visits_keep_what_each_is_for(course, contents_of):
    plan = course.planned()
    planned = [v for v in plan["visits"] if v["state"] == "planned" and v["to_be_booked"]]
    for visit in planned:
        together = [v for v in planned if v["placed_on"] == visit["placed_on"] and visit["placed_on"]]
        others = sorted(v["code"] for v in together if v is not visit)
        assert sorted(visit["together_with"]) == others
        for other in together:
            assert set(other["contents"]) == set(visit["contents"])
            assert contents_of.get(other["code"], set()) <= set(visit["contents"])


def no_stage_begins_without_an_order(course):
    plan = course.planned()
    kind, anchor, _ = treatments(course)[-1]
    possible = {"NWB"}
    for order in entries(course, "stage ordered"):
        if day(order["on"]) >= anchor:
            possible = after_order(possible, order, kind)
    assert plan["stage_now"]["stage"] in possible
    if plan["stage_now"]["ordered_by"] is None:
        assert plan["stage_now"]["stage"] == "NWB"
        assert plan["stage_now"]["since"] == str(anchor)


def after_order(possible, order, kind):
    """Stages that may be in force after one more order: a physiotherapist alone raises only to the last step."""
    if order["by"] == "surgeon":
        return {order["stage"]}
    lower = {stage for stage in possible if STAGES.index(stage) <= STAGES.index(order["stage"])}
    lowered = {order["stage"]} if possible - lower else set()
    raised = {"FWB"} if order["stage"] == "FWB" and kind != "long_leg_cast" else set()
    return lower | lowered | raised


def the_healing_clock_never_restarts(course):
    plan = course.planned()
    kind, anchor, _ = treatments(course)[-1]
    assert plan["healing_clock_from"] == course.document["injury"]["at"][:10]
    assert (plan["anchor_on"], plan["pathway"]["treatment"]) == (str(anchor), kind)
    newest = len(treatments(course))
    assert {v["treatment"] for v in plan["visits"] if v["state"] == "planned"} <= {newest}
    live = [t for t in plan["tasks"] if t["kind"] == "clot prevention review" and t["state"] in ("open", "overdue")]
    assert {task["treatment"] for task in live} <= {newest}


def kilograms_are_never_above_the_share_of_the_weight(course):
    plan, weight = course.planned(), course.document["person"]["weight_kg"]
    for step in [*plan["stages"], plan["stage_now"]]:
        cap, percent = step["cap_kg"], PERCENT.get(step["stage"])
        if cap is None:
            continue
        assert percent is not None, "an unrestricted stage has no limit"
        assert cap == (round(weight * 10) * percent // 1000 if percent else 0)


def no_stage_comes_before_its_gate_visit(course):
    plan, anchor = course.planned(), treatments(course)[-1][1]
    by_surgeon = [e for e in entries(course, "stage ordered") if e["by"] == "surgeon" and day(e["on"]) >= anchor]
    for step in plan["stages"]:
        if step["stage"] in {order["stage"] for order in by_surgeon} or step["gate_visit"] in ("C0", "N0", "P0"):
            continue
        rows = plan.rows(step["gate_visit"], len(treatments(course)))
        gate = [row for row in rows if row["state"] != "missed"][-1]
        assert step["not_before"] is None or step["not_before"] >= max(gate["placed_on"], gate["earliest_on"]), step


def every_date_lies_within_the_course(course):
    plan, first, last = course.planned(), day(course.document["injury"]["at"]), newest_day(course)
    for alert in plan["alerts"]:
        assert first <= day(alert["on"]) <= last, alert
    for task in plan["tasks"]:
        assert first <= day(task["due_on"]) <= last + timedelta(days=42 + 14), task


def reminders_go_a_week_and_a_working_day_before_at_ten(course):
    plan, on = course.planned(), treatments(course)[-1][1]
    for reminder in plan["reminders"]:
        at = datetime.fromisoformat(reminder["send_at"]).astimezone(LONDON)
        assert (at.hour, at.minute) == (10, 0)
        assert at.date() > on
        booked = [v for v in plan.rows(reminder["visit"]) if v["state"] == "planned" and v["to_be_booked"]]
        visit_on = day(booked[-1]["placed_on"])
        before = visit_on - timedelta(days=7)
        assert at.date() == (before if reminder["number"] == 1 else last_working_day_before(visit_on))
    sent = [(r["visit"], r["number"]) for r in plan["reminders"]]
    assert len(sent) == len(set(sent))


def last_working_day_before(visit_on):
    days = (visit_on - timedelta(days=n) for n in range(1, 15))
    return next(d for d in days if d.weekday() < 5 and d not in ENGLISH_HOLIDAYS)


def nobody_is_lost(course):
    """An open course has a visit to come, a task or an open alert; an ended one was discharged in full."""
    on = newest_day(course)
    plan = course.planned(on=str(on))
    to_come = [v for v in plan["visits"] if v["state"] == "planned" and v["to_be_booked"]]
    if not plan["ended_on"]:
        future = [v for v in to_come if v["placed_on"] and day(v["placed_on"]) >= on]
        tasks = [t for t in plan["tasks"] if t["state"] in ("open", "overdue")]
        assert future or tasks or [a for a in plan["alerts"] if a["state"] == "open"]
        return
    assert (to_come, plan["reminders"]) == ([], [])
    [*_, discharge] = entries(course, "discharged")
    assert "reason" in discharge or plan["stage_now"]["stage"] in ("WBAT", "FWB")
    assert "reason" in discharge or entries(course, "union confirmed")
    assert "reason" in discharge or entries(course, "clot review closed")


def the_day_of_asking_moves_no_place(course, later_on):
    def places(plan):
        rows = [v for v in plan["visits"] if not is_extra(v) and v["code"] not in ONLY_IF_NOT_UNITED]
        return sorted((v["treatment"], v["code"], v["placed_on"] or "", v["state"], v["in_window"]) for v in rows)

    now, later = course.planned(), course.planned(on=str(later_on))
    assert places(now) == places(later)
    if not now["ended_on"]:  # after a discharge, a visit that waits for union is listed only once it was real
        assert starred(now) == starred(later)


def starred(plan):
    """Places of the visits that wait for union, whatever has become of them."""
    return {(v["treatment"], v["code"], v["placed_on"]) for v in plan["visits"] if v["only_if_not_united"]}
