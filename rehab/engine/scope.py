"""Which courses this tool may plan: refused, planned with a surgeon's sign-off, or with a warning."""

from collections.abc import Sequence
from datetime import date

from rehab.engine.facts import Course, Injury, OpenGrade, Treatment, TreatmentKind, Weight
from rehab.engine.pathway import Pathway, SharedRules, WeightRules
from rehab.engine.planned import Reason, Scope

EDITION_WITHOUT_GROUP_1 = 2018  # the edition's year, not a clinical number
GROUPS_GONE = frozenset({"B1", "C1"})
FRAGMENTARY_WEDGE = "B3"


def judge_scope(course: Course, pathway: Pathway) -> Scope:
    """Say whether the course may be planned, and what a surgeon must sign off first (R6).

    A refused person still stands on a clinician's list: refusing is never the end.
    """
    refused = refusals(course.injury, course.born_on, pathway.shared)
    if refused:
        return Scope(refused_because=refused)
    return Scope(needs_sign_off=sign_offs(course.injury, course.treatments[-1], course.weights, pathway))


def refusals(injury: Injury, born_on: date | None, shared: SharedRules) -> tuple[Reason, ...]:
    """Give why a course is refused: another bone, a person not yet of age on the injury date, another condition."""
    reasons = []
    if injury.bone_segment != shared.bone_segment:
        values = {"segment": injury.bone_segment, "planned": shared.bone_segment}
        reasons.append(Reason("R6", "other_segment", values))
    if born_on is not None and not is_of_age(born_on, injury.on, shared.adult_age):
        reasons.append(Reason("R5", "under_age", {"born_on": born_on, "age": shared.adult_age}))
    for name in sorted(injury.circumstances & shared.refused_circumstances):
        reasons.append(Reason("R6", "outside_scope", {"circumstance": name}))
    return tuple(reasons)


def is_of_age(born_on: date, on: date, age: int) -> bool:
    """Say whether a person is at least so old by the calendar; 29 February comes of age on 1 March (R5)."""
    years = on.year - born_on.year - ((on.month, on.day) < (born_on.month, born_on.day))
    return years >= age


def sign_offs(injury: Injury, treatment: Treatment, weights: Sequence[Weight], pathway: Pathway) -> tuple[Reason, ...]:
    """Give what is planned as usual but needs a surgeon's sign-off."""
    reasons = []
    if injury.fracture_class.startswith("C"):
        reasons.append(Reason("R6", "multifragmentary", {"fracture_class": injury.fracture_class}))
    if injury.open_grade in {OpenGrade.IIIB, OpenGrade.IIIC}:
        reasons.append(Reason("R6", "flap_or_vessel", {"open_grade": injury.open_grade.value}))
    if pathway.flag_open_fracture and injury.open_grade is not OpenGrade.CLOSED:
        reasons.append(Reason("R6", "open_fracture_in_cast", {"open_grade": injury.open_grade.value}))
    if injury.edition == EDITION_WITHOUT_GROUP_1 and injury.fracture_class in GROUPS_GONE:
        reasons.append(Reason("R7", "group_gone", {"fracture_class": injury.fracture_class}))
    reasons += [
        Reason("R6", "circumstance", {"circumstance": name})
        for name in sorted(injury.circumstances & pathway.shared.sign_off_circumstances)
    ]
    return (*reasons, *unusual_weight(weights, pathway.shared.weights))


def unusual_weight(weights: Sequence[Weight], rules: WeightRules) -> tuple[Reason, ...]:
    """Flag the newest weight when it is so low or high that it must be confirmed (W15)."""
    newest = max(weights, key=lambda weight: weight.weighed_on, default=None)
    if newest is None or rules.confirm_below_tenths_kg <= newest.tenths_kg <= rules.confirm_above_tenths_kg:
        return ()
    return (Reason("W15", "unusual_weight", {"tenths_kg": newest.tenths_kg, "weighed_on": newest.weighed_on}),)


def warnings(injury: Injury, treatment: Treatment, pathway: Pathway) -> tuple[Reason, ...]:
    """Give what is worth knowing without a sign-off: an intact fibula or a loose wedge in a cast (D16, D20)."""
    reasons = []
    if pathway.flag_intact_fibula and injury.fibula == "intact":
        reasons.append(Reason("D16", "intact_fibula", {}))
    if treatment.kind is TreatmentKind.LONG_LEG_CAST and injury.fracture_class == FRAGMENTARY_WEDGE:
        reasons.append(Reason("D20", "fragmentary_wedge_in_cast", {}))
    return tuple(reasons)
