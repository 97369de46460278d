"""The sentences at the head of an episode: what is broken, what the leg may carry, who said so."""

from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext

from clinic.web.drawings.dates import day_month_year, in_words
from clinic.web.episode_rows import Known
from clinic.web.pictures import load_words, split_term
from rehab.engine.facts import Course, OpenGrade, Stage
from rehab.engine.plan import Plan
from rehab.models.history_entry import EntryKind
from rehab.words import number
from rehab.words.terms import authoriser_name, treatment_name

ENDS = {"41": gettext_lazy("Tibia, upper end"), "43": gettext_lazy("Tibia, lower end")}


def bone_words(segment: str, shaft: str) -> str:
    """The part that is broken; only the shaft's own segment is ever called the shaft."""
    return _("Tibia shaft") if segment == shaft else str(ENDS.get(segment, _("Not the tibia shaft")))


def injury_line(course: Course, plan: Plan, shaft: str) -> str:
    """Tibia shaft, closed, 42-B2. Intramedullary nail 17 February 2027."""
    injury = course.injury
    closed = injury.open_grade is OpenGrade.CLOSED
    skin = pgettext("skin", "closed") if closed else _("open grade %(grade)s") % {"grade": injury.open_grade.value}
    treatment = treatment_name(plan.pathway_treatment)
    return _("%(bone)s, %(skin)s, %(segment)s-%(code)s. %(treatment)s %(on)s") % {
        "bone": bone_words(injury.bone_segment, shaft),
        "skin": skin,
        "segment": injury.bone_segment,
        "code": injury.fracture_class,
        "treatment": treatment[:1].upper() + treatment[1:],
        "on": day_month_year(plan.anchor_on),
    }


def stage_sentence(plan: Plan) -> str:
    """The stage in force as one sentence."""
    now = plan.stage_now
    if now.ordered_by is None:
        return _("No order on file: non-weightbearing until a surgeon orders a stage.")
    term, plain = split_term(now.stage)
    if now.stage in (Stage.NWB, Stage.WBAT, Stage.FWB):
        return f"{term}, {plain}." if plain else f"{term}."
    words, note = load_words(now.stage, now.cap_kg)
    load = f"{note} {words}" if now.cap_kg is not None else _("foot touch only until weighed")
    return f"{term}, {load}, {plain}." if plain and now.cap_kg is not None else f"{term}, {load}."


def orderer(known: Known) -> str | None:
    """The name of whoever ordered the stage in force, or None without an order."""
    now = known.plan.stage_now
    if now.ordered_by is None:
        return None
    orders = [entry for entry in known.entries if entry.kind == EntryKind.STAGE_ORDERED and entry.on == now.since]
    names = [known.name_of(entry.recorded_by) for entry in orders if entry.payload.get("stage") == now.stage]
    role = authoriser_name(now.ordered_by)
    return _("%(name)s, %(role)s") % {"name": names[0], "role": role} if names else role


def ordered_line(known: Known) -> str:
    """Who ordered the stage in force, and when."""
    who = orderer(known)
    if who is None:
        return _("Nothing moves up by itself.")
    return _("Ordered by %(who)s on %(on)s.") % {"who": who, "on": in_words(known.plan.stage_now.since)}


def weight_line(course: Course) -> str:
    """The newest weight, and when it was measured: a limit in kilograms stands on it."""
    newest = max(course.weights, key=lambda weight: weight.weighed_on, default=None)
    if newest is None:
        return _("No weight on file: no limit in kilograms can be given.")
    words = {"kg": number(Decimal(newest.tenths_kg) / 10), "on": day_month_year(newest.weighed_on)}
    return _("Weight %(kg)s kg, measured %(on)s.") % words
