"""The words of every reason the engine gives: one sentence a code, in the language of the reader."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from rehab.engine.facts import Authoriser, Stage
from rehab.engine.planned import Reason
from rehab.words.dates import in_words
from rehab.words.gates import finding_name
from rehab.words.measures import amount, reading
from rehab.words.numbers import number
from rehab.words.pathways import pathway_text
from rehab.words.stages import printed_stage
from rehab.words.terms import authoriser_name

SENTENCES = {
    # where a visit goes
    "on_target": gettext_lazy("On its target day, %(target)s."),
    "nearest_after": gettext_lazy("Nearest open day to the target, %(target)s%(because)s: %(n_days)s later."),
    "nearest_before": gettext_lazy("Nearest open day to the target, %(target)s%(because)s: %(n_days)s earlier."),
    "tie_earlier": gettext_lazy(
        "The target, %(target)s, is not open%(because)s; %(other)s is as near, so the earlier day is taken."
    ),
    "out_of_window": gettext_lazy(
        "OUT OF WINDOW: no open day is left from %(earliest)s to %(latest)s; %(placed)s is the nearest. "
        "A named clinician must accept it."
    ),
    "no_place": gettext_lazy("No open day from %(earliest)s up to %(n_days)s after %(latest)s: a person must act."),
    "before_window": gettext_lazy("Placed before its window: the nurse decides what can be done."),
    "booked": gettext_lazy("Booked on %(on)s."),
    "merged": gettext_lazy("Same day as %(codes)s: one attendance with everything of each."),
    "rebooked_after_miss": gettext_lazy(
        "First open day after the visit missed on %(missed)s; must happen by %(deadline)s."
    ),
    "rebooked_before_window": gettext_lazy(
        "OUT OF WINDOW: earlier than %(earliest)s, the first day of its window. A named clinician must accept it."
    ),
    "rebooked_out_of_window": gettext_lazy(
        "OUT OF WINDOW: later than %(latest)s, the last day of its window. A named clinician must accept it."
    ),
    "gate_review": gettext_lazy("%(stage)s was not ordered at %(visit)s on %(attended)s: it is looked at again."),
    "film_after_wedging": gettext_lazy("Extra film after the cast was wedged on %(cause_on)s."),
    "film_after_slip": gettext_lazy(
        "Extra film after the film of %(cause_on)s, on which the bone had moved too far or stood over a limit."
    ),
    "nonunion_film": gettext_lazy(
        "The film of %(cause_on)s shows no progress; the next one decides whether healing has stopped."
    ),
    # what became of a visit
    "attended": gettext_lazy("Came on %(on)s."),
    "missed": gettext_lazy("Did not come on %(on)s."),
    "missed_first": gettext_lazy(
        "Did not come to %(visit)s. Contact today. New place %(rebooked_on)s; must happen by %(deadline)s."
    ),
    "missed_again": gettext_lazy(
        "Did not come to %(visit)s again (miss number %(attempt)s). A surgeon decides today. New place %(rebooked_on)s."
    ),
    "missed_no_place": gettext_lazy(
        "Did not come to %(visit)s (miss number %(attempt)s), and no open day by the deadline of %(deadline)s. "
        "A surgeon decides today. New place %(rebooked_on)s."
    ),
    "no_outcome": gettext_lazy("%(visit)s: no outcome recorded. Its day has passed: came, or did not come?"),
    "no_place_exists": gettext_lazy("%(visit)s: no place exists, and it is due by %(latest)s: a person must act."),
    "converted": gettext_lazy("The treatment was changed on %(on)s."),
    "united": gettext_lazy("Union was confirmed on %(on)s."),
    "plan_ended": gettext_lazy("The plan ended on %(on)s."),
    "no_longer_needed": gettext_lazy("The stage has been ordered: the extra review is no longer needed."),
    "discharge_incomplete": gettext_lazy("Discharge was recorded, but the plan goes on. Missing: %(missing)s."),
    # scope
    "other_segment": gettext_lazy(
        "Bone segment %(segment)s: this tool plans tibial shaft (%(planned)s) follow-up only; use the local pathway. "
        "A clinician must arrange follow-up."
    ),
    "under_age": gettext_lazy(
        "Under %(age)s on the injury date: this tool plans for adults only. A clinician must arrange follow-up."
    ),
    "multifragmentary": gettext_lazy("Multifragmentary fracture (%(fracture_class)s): a surgeon signs off the plan."),
    "flap_or_vessel": gettext_lazy("Open fracture grade %(open_grade)s: a surgeon signs off the plan."),
    "open_fracture_in_cast": gettext_lazy(
        "Open fracture (grade %(open_grade)s) in a cast: the cast pathway is for closed fractures; "
        "a surgeon signs off the plan."
    ),
    "group_gone": gettext_lazy(
        "%(fracture_class)s does not exist in the 2018 edition of the classification: check the code or the edition."
    ),
    "outside_scope": gettext_lazy(
        "Recorded: %(circumstance)s. This tool does not plan for it; use the local pathway. "
        "A clinician must arrange follow-up."
    ),
    "circumstance": gettext_lazy("Recorded: %(circumstance)s. A surgeon signs off the plan."),
    "unusual_weight": gettext_lazy("Weight %(kg)s kg, measured on %(weighed_on)s: unusual, confirm it."),
    "intact_fibula": gettext_lazy("Intact fibula in a cast: watch for varus, which is more common then."),
    "fragmentary_wedge_in_cast": gettext_lazy("Fragmentary wedge in a cast: tends to move out of place again."),
    "before_day_zero": gettext_lazy(
        "What was recorded for %(on)s comes before day 0 of the treatment and has no effect. "
        "Record it again if it holds."
    ),
    # orders
    "order_needs_surgeon": gettext_lazy("%(stage)s was ordered by a %(by)s: only a surgeon may. Nothing changed."),
    "order_skips_a_step": gettext_lazy(
        "%(stage)s was ordered by a %(by)s before %(below)s was: only a surgeon may skip a step. Nothing changed."
    ),
    "order_alarm_unanswered": gettext_lazy(
        "%(stage)s was ordered by a %(by)s while a surgeon has still to answer an urgent alert. Nothing changed."
    ),
    "order_too_early": gettext_lazy(
        "%(stage)s was ordered by a %(by)s before its day, %(not_before)s. Nothing changed."
    ),
    "order_gate_shut": gettext_lazy(
        "%(stage)s was ordered by a %(by)s while its gate is shut (%(findings)s). Nothing changed."
    ),
    # healing
    "slow_start": gettext_lazy(
        "%(scale)s %(total)s on day %(day)s: slow start, look again at week 12. "
        "A score this low is common so early, and most of these bones unite."
    ),
    "low_score": gettext_lazy("%(scale)s %(total)s on day %(day)s: a low score at this time. A surgeon looks at it."),
    "falling_score": gettext_lazy("%(scale)s fell from %(before)s on %(before_on)s to %(total)s."),
    "new_pain": gettext_lazy("New pain: %(finding)s rose from %(before)s to %(value)s while the score has not risen."),
    "implants_changed": gettext_lazy("Plate, nail or screws have changed."),
    "possible_nonunion": gettext_lazy(
        "No progress: %(scale)s %(total)s, and %(old_total)s already on %(old_on)s. "
        "Possible non-union: surgeon decides."
    ),
    "delayed_union": gettext_lazy("Delayed union: review. Union is not confirmed on healing day %(healing_day)s."),
    "delayed_union_hidden": gettext_lazy(
        "Delayed union: review. Union is not confirmed on healing day %(healing_day)s; "
        "a cortex is hidden, so the score cannot be compared: surgeon judges."
    ),
    "delayed_union_absolute": gettext_lazy(
        "Delayed union: review. Union is not confirmed on healing day %(healing_day)s; "
        "under a compression plate callus may be absent by design."
    ),
    "union_suggested_by_total": gettext_lazy(
        "Union suggested: %(scale)s %(total)s on the film of %(film_on)s, and the clinical test says yes. "
        "A surgeon must confirm."
    ),
    "union_suggested_by_bridging": gettext_lazy(
        "Union suggested: %(bridged)s of 4 cortices bridged on the film of %(film_on)s, "
        "and the clinical test says yes. A surgeon must confirm."
    ),
    # practice on a scale
    "practice_middle_over": gettext_lazy(
        "The middle try was %(kg)s kg, more than %(limit)s kg. The load cannot be reproduced: ask the surgeon."
    ),
    "practice_middle_under": gettext_lazy(
        "The middle try was %(kg)s kg, less than %(limit)s kg. The load cannot be reproduced: ask the surgeon."
    ),
    "practice_single_over": gettext_lazy(
        "One try was %(kg)s kg, more than %(limit)s kg. The load cannot be reproduced: ask the surgeon."
    ),
    # tasks
    "clot_review": gettext_lazy(
        "Review clot prevention: continue, stop or change? A clinician decides. Day %(days)s, %(nominal_on)s."
    ),
    "consultant_review": gettext_lazy(
        "A consultant reviews notes and images within %(hours)s hours of arrival, because the first visit is later."
    ),
    "antibiotic_after_closure": gettext_lazy("Review antibiotics, %(hours)s hours after the wound was closed."),
    "antibiotic_after_injury": gettext_lazy("Review antibiotics, %(hours)s hours after the injury."),
}

CLOSED_BECAUSE = {
    "public holiday": gettext_lazy("a public holiday"),
    "not a clinic day": gettext_lazy("not a clinic day"),
    "closed": gettext_lazy("closed"),
    "full": gettext_lazy("full"),
}
MISSING = {
    "union confirmed": gettext_lazy("union confirmed by a surgeon"),
    "unrestricted weightbearing": gettext_lazy("unrestricted weightbearing"),
    "clot review closed": gettext_lazy("clot-prevention review closed"),
}
_SINCE = {"first film": gettext_lazy("the first film"), "last film": gettext_lazy("the last film")}


def reason_text(reason: Reason) -> str:
    """Say a reason in a sentence a clerk, a physiotherapist or a surgeon can read aloud."""
    alignment = _ALIGNMENT.get(reason.code)
    if alignment is not None:
        return alignment(reason.values)
    return str(SENTENCES[reason.code]) % _worded(reason)


def reasons_text(reasons: Iterable[Reason]) -> str:
    """Say several reasons one after the other, each once."""
    return " ".join(dict.fromkeys(reason_text(reason) for reason in reasons))


def _worded(reason: Reason) -> dict[str, str]:
    words = {name: _value(name, value) for name, value in reason.values.items()}
    days = reason.values.get("days")
    if isinstance(days, int):
        words["n_days"] = ngettext("%(days)s day", "%(days)s days", days) % {"days": number(days)}
    if "because" in reason.values:
        because = CLOSED_BECAUSE.get(str(reason.values["because"]))
        words["because"] = f" ({because})" if because else ""
    if "title" in reason.values:
        words["visit"] = _visit(reason.values["title"])
    if isinstance(titles := reason.values.get("titles"), list | tuple):
        words["codes"] = ", ".join(_visit(title) for title in titles)
    if isinstance(reason.values.get("tenths_kg"), int):
        words["kg"] = number(Decimal(str(reason.values["tenths_kg"])) / 10)
    return words


def _visit(title: object) -> str:
    """Name a visit by what it is for: its code alone tells a reader nothing."""
    return _("“%(visit)s”") % {"visit": pathway_text(str(title))}


def _value(name: str, value: object) -> str:
    """Write one value in words: dates, numbers, stages, findings, lists."""
    if value is None:
        return _("none yet")
    if isinstance(value, date):
        return in_words(value)
    if isinstance(value, list | tuple):
        return ", ".join(_value(name.rstrip("s"), item) for item in value)
    if name in {"stage", "now", "below"}:
        return printed_stage(Stage(str(value)))
    if name == "by":
        return authoriser_name(Authoriser(str(value)))
    if name == "finding":
        return finding_name(str(value))
    if name == "missing":
        return str(MISSING.get(str(value), value))
    return number(value) if isinstance(value, Decimal) or type(value) is int else str(value)


def _over_limit(values: Mapping[str, object]) -> str:
    measure = str(values["measure"])
    words = {"reading": reading(measure, values["value"]), "limit": amount(measure, values["limit"])}
    return _("%(reading)s. Over the limit of %(limit)s.") % words


def _under_limit(values: Mapping[str, object]) -> str:
    measure = str(values["measure"])
    words = {"reading": reading(measure, values["value"]), "limit": amount(measure, values["limit"])}
    return _("%(reading)s. Less than the %(limit)s asked for.") % words


def _changed(values: Mapping[str, object]) -> str:
    measure = str(values["measure"])
    words = {
        "reading": reading(measure, values["value"]),
        "change": amount(measure, values["change"]),
        "since": _SINCE[str(values["since"])],
        "on": _value("on", values["since_on"]),
    }
    return _("%(reading)s. Changed by %(change)s since %(since)s, %(on)s.") % words


_ALIGNMENT: dict[str, Callable[[Mapping[str, object]], str]] = {
    "over_limit": _over_limit,
    "under_limit": _under_limit,
    "changed": _changed,
}
