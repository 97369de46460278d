"""The shared rules as sentences, each with its notes."""

from collections.abc import Callable, Iterator
from textwrap import fill

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from rehab.engine.pathway import AlignmentLimits, SharedRules, Sources, UnionRules
from rehab.words.numbers import number
from rehab.words.pathways import pathway_text

WIDTH = 96
SHARES = {
    10: gettext_lazy("one tenth"),
    25: gettext_lazy("one quarter"),
    50: gettext_lazy("one half"),
    75: gettext_lazy("three quarters"),
}
Mark = Callable[[Sources], str]
Rule = tuple[tuple[str, ...], str]  # the places in shared_rules.toml whose sources are cited, and the sentence


def share_of_weight(percent: int) -> str:
    """The load of a stage in words; percentages are never printed."""
    words = {"share": share(percent)}
    return _("Load at most %(share)s of body weight, rounded down to whole kilograms.") % words


def share(percent: int) -> str:
    """A share of body weight in words: "one half", "15 hundredths"."""
    return str(SHARES[percent]) if percent in SHARES else _("%(count)d hundredths") % {"count": percent}


def spoken_rules(shared: SharedRules, mark: Mark) -> Iterator[str]:
    """Every shared rule as a sentence with its notes, as list items."""
    for places, text in _rules(shared):
        keys = [key for place in places for key in shared.sources[place]]
        notes = mark(tuple(dict.fromkeys(keys)))
        yield fill(f"- {text} {notes}", WIDTH, subsequent_indent="  ")


def _rules(shared: SharedRules) -> Iterator[Rule]:
    yield from _scope(shared)
    yield from _alignment(shared.alignment)
    yield from _film_reading(shared)
    yield from _union(shared.union)
    yield from _loading(shared)
    yield from _extra_visits(shared)
    yield from _reviews(shared)


def _scope(shared: SharedRules) -> Iterator[Rule]:
    words = {"segment": shared.bone_segment, "age": shared.adult_age}
    yield ("scope",), _("Only fractures of segment %(segment)s, from age %(age)d on the day of the injury.") % words
    refused = {"names": _names(shared.refused_circumstances)}
    yield _places(shared.refused_circumstances), _("No plan is made for: %(names)s.") % refused
    signed = {"names": _names(shared.sign_off_circumstances)}
    yield (
        _places(shared.sign_off_circumstances),
        _("A surgeon must sign off before: %(names)s.") % signed,
    )


def _alignment(limits: AlignmentLimits) -> Iterator[Rule]:
    degrees = [
        ("coronal_degrees", _("Varus or valgus: at most %(limit)s degrees."), limits.coronal_degrees),
        ("sagittal_degrees", _("Apex anterior or posterior: at most %(limit)s degrees."), limits.sagittal_degrees),
        ("rotation_degrees", _("Rotation: at most %(limit)s degrees."), limits.rotation_degrees),
        ("shortening_mm", _("Shortening: at most %(limit)s mm."), limits.shortening_mm),
        ("contact_percent", _("Contact of the bone ends: at least %(limit)s %%."), limits.contact_percent),
    ]
    for place, text, limit in degrees:
        yield (f"alignment.{place}",), text % {"limit": number(limit)}
    words = {"amber": number(limits.changed_degrees), "red": number(limits.over_change_degrees)}
    yield (
        ("alignment.change_of_angle",),
        _("Change since the first film or the film before: from %(amber)s degrees AMBER, from %(red)s degrees RED.")
        % words,
    )
    words = {"amber": number(limits.changed_shortening_mm), "red": number(limits.over_shortening_mm)}
    yield (
        ("alignment.growth_of_shortening",),
        _("Shortening grown by more than %(amber)s mm AMBER, by more than %(red)s mm RED.") % words,
    )
    days = limits.new_baseline_within_days
    wedged = ngettext(
        "After wedging, a film at most %(count)d day later is the new first film.",
        "After wedging, a film at most %(count)d days later is the new first film.",
        days,
    )
    yield ("alignment.new_first_film_after_wedging",), wedged % {"count": days}


def _union(union: UnionRules) -> Iterator[Rule]:
    words = {"rust": union.rust_at_least, "mrust": union.mrust_at_least, "cortices": union.bridged_cortices}
    words |= {"days": union.film_and_test_within_days}
    yield (
        (
            "union.suggested_by_rust",
            "union.suggested_by_mrust",
            "union.suggested_by_bridging",
            "union.film_and_clinical_test",
        ),
        _(
            "Union is suggested when RUST is %(rust)d or more, mRUST %(mrust)d or more, or %(cortices)d of 4 cortices "
            "are bridged, and the clinical test at most %(days)d days apart says yes. A surgeon confirms."
        )
        % words,
    )
    words = {"callus": union.callus_from, "rust": union.rust_bridged_from, "mrust": union.mrust_bridged_from}
    yield (
        ("union.callus", "union.suggested_by_bridging"),
        _("A cortex has callus from score %(callus)d; it is bridged from RUST %(rust)d or mRUST %(mrust)d.") % words,
    )
    words = {"day": union.delayed_from_healing_day}
    yield ("union.delayed",), _("Delayed union is reviewed from day %(day)d after the injury.") % words
    words = {"months": union.nonunion_months, "still": union.no_progress_months}
    yield (
        ("union.possible_non_union",),
        _("Possible non-union: %(months)d months after the injury, with %(still)d months without progress on film.")
        % words,
    )
    for low in union.low_scores:
        words = {"first": low.from_day, "last": low.to_day, "score": low.at_most}
        yield (f"union.low_score.{low.code}",), _low_score(low.code) % words
    yield ("pain",), _("A rise in pain of %(rise)d points or more is a real change.") % {"rise": union.pain_rise}


def _low_score(code: str) -> str:
    if code == "slow_start":
        return _("Days %(first)d to %(last)d: RUST %(score)d or less is a slow start; look again at week 12.")
    return _("Days %(first)d to %(last)d: RUST %(score)d or less raises the risk of non-union.")


def _loading(shared: SharedRules) -> Iterator[Rule]:
    yield ("steps",), _("Least time in a stage: %(days)d days.") % {"days": shared.min_days_in_stage}
    weights = shared.weights
    words = {
        "low": number(weights.min_tenths_kg // 10),
        "high": number(weights.max_tenths_kg // 10),
        "below": number(weights.confirm_below_tenths_kg // 10),
        "above": number(weights.confirm_above_tenths_kg // 10),
        "days": weights.fresh_days,
    }
    yield (
        ("body_weight",),
        _(
            "Body weight from %(low)s to %(high)s kg; asked again below %(below)s and above %(above)s kg. A weight "
            "%(days)d days old is too old."
        )
        % words,
    )
    yield from _scale_practice(shared)


def _scale_practice(shared: SharedRules) -> Iterator[Rule]:
    practice = shared.scale_practice
    if practice is None:
        return
    words = {
        "tries": practice.tries,
        "over": practice.part_median_over_kg,
        "under": practice.part_median_under_kg,
        "single": practice.part_single_over_kg,
    }
    yield (
        ("scale_practice.part",),
        _(
            "Practice on a scale, part load: %(tries)d tries; the middle one at most %(over)d kg over and %(under)d kg "
            "under the limit, none more than %(single)d kg over nor above the next stage's limit."
        )
        % words,
    )
    touch = {
        "tries": practice.tries,
        "middle": share(practice.touch_median_percent),
        "single": share(practice.touch_single_percent),
        "kg": practice.touch_single_kg,
    }
    yield (
        ("scale_practice.touch",),
        _(
            "Practice on a scale, foot touch: %(tries)d tries; the middle one at most %(middle)s of body weight, none "
            "above %(single)s of it nor above %(kg)d kg."
        )
        % touch,
    )


def _film_reading(shared: SharedRules) -> Iterator[Rule]:
    rules = shared.film_reading
    if rules is None:
        return
    words = {"amber": rules.amber_read_within, "red": rules.red_second_surgeon_after, "unread": rules.unread_after}
    yield (
        ("film_reading",),
        _(
            "Working days: AMBER is read within %(amber)d, RED the same day. Not dealt with after %(red)d: a second "
            "surgeon. No reading entered after %(unread)d: a loose end."
        )
        % words,
    )


def _extra_visits(shared: SharedRules) -> Iterator[Rule]:
    review, film = shared.gate_review, shared.extra_film
    words = {"target": review.target_day, "first": review.earliest_day, "last": review.latest_day}
    yield (
        ("gate_review",),
        _("A gate not met is looked at again %(target)d days later (window %(first)d to %(last)d).") % words,
    )
    words = {"target": film.target_day, "first": film.earliest_day, "last": film.latest_day}
    yield (
        ("extra_film",),
        _(
            "After wedging, a new cast for lost position, or a RED film: an extra film %(target)d days later "
            "(window %(first)d to %(last)d)."
        )
        % words,
    )
    words = {"days": shared.union.nonunion_film_latest_days}
    yield (
        ("union.film_for_non_union", "non_union_film"),
        _("The film that decides on non-union is taken within %(days)d days of the day it becomes possible.") % words,
    )
    yield (
        ("no_place",),
        _("No open day within %(days)d days after the window: a person must act.")
        % {"days": shared.no_place_within_days},
    )


def _reviews(shared: SharedRules) -> Iterator[Rule]:
    words = {"day": shared.clot_review_first_day, "again": shared.clot_review_every_days}
    yield (
        ("clot_prevention_review",),
        _("Clot prevention is reviewed on day %(day)d and every %(again)d days until a clinician closes it.") % words,
    )
    words = {"hours": shared.consultant_review_hours}
    yield (
        ("consultant_review",),
        _("A cast is reviewed by a consultant within %(hours)d hours of presentation.") % words,
    )
    words = {"closure": shared.antibiotic_hours_after_closure, "injury": shared.antibiotic_hours_after_injury}
    yield (
        ("antibiotic_review",),
        _(
            "Open fracture: antibiotics are reviewed %(closure)d hours after closure; grade III also %(injury)d hours "
            "after the injury. A review, never a dose or a stop order."
        )
        % words,
    )
    reminders = shared.reminders
    times = {"first": f"{reminders.first_at:%H:%M}", "second": f"{reminders.second_at:%H:%M}"}
    days = {"days": reminders.first_days_before}
    yield (
        ("reminder",),
        _("Reminders: %(days)d days before at %(first)s, and the last working day before at %(second)s.")
        % (days | times),
    )


def _names(circumstances: frozenset[str]) -> str:
    return ", ".join(pathway_text(name) for name in sorted(circumstances))


def _places(names: frozenset[str]) -> tuple[str, ...]:
    return tuple(f"circumstance.{name}" for name in sorted(names))
