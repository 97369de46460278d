"""What the register form offers and asks: sides, grades, treatments, circumstances; and where each fault belongs."""

from django.utils.translation import gettext_lazy, pgettext_lazy

from rehab.engine.pathway import SharedRules

SIDES = [("left", gettext_lazy("LEFT leg")), ("right", gettext_lazy("RIGHT leg"))]
FIBULA = [
    ("intact", pgettext_lazy("fibula", "Intact")),
    ("same level", gettext_lazy("Broken at the same level as the tibia")),
    ("other level", gettext_lazy("Broken at another level")),
]
OPEN_GRADES = [
    ("closed", gettext_lazy("Closed: the skin is whole")),
    ("I", gettext_lazy("Open, grade I")),
    ("II", gettext_lazy("Open, grade II")),
    ("IIIA", gettext_lazy("Open, grade IIIA")),
    ("IIIB", gettext_lazy("Open, grade IIIB")),
    ("IIIC", gettext_lazy("Open, grade IIIC")),
]
TREATMENTS = [
    ("long_leg_cast", gettext_lazy("Long leg cast")),
    ("intramedullary_nail", gettext_lazy("Intramedullary nail")),
    ("plate_and_screws", gettext_lazy("Plate and screws")),
]
PRINCIPLES = [
    ("", gettext_lazy("Not a plate, or not known")),
    ("relative", gettext_lazy("Bridging plate (relative stability, heals with callus)")),
    ("absolute", gettext_lazy("Compression plate (absolute stability, little callus)")),
]
CIRCUMSTANCES = {
    "pathological fracture": gettext_lazy("Pathological or metastatic fracture"),
    "periprosthetic fracture": gettext_lazy("Fracture around a joint replacement"),
    "external frame": gettext_lazy("External fixator or ring frame as the final treatment"),
    "amputation": gettext_lazy("Amputation"),
    "old non-union": gettext_lazy("An old fracture that has not united"),
    "isolated fibula fracture": gettext_lazy("Only the fibula is broken"),
    "stress fracture": gettext_lazy("Stress fracture"),
    "unlocked nail": gettext_lazy("Nail without locking screws"),
    "bone loss": gettext_lazy("Bone loss"),
    "flap": gettext_lazy("Flap over the wound"),
    "segmental fracture": gettext_lazy("Segmental fracture"),
    "floating knee": gettext_lazy("Thigh bone broken on the same side (floating knee)"),
    "vascular repair": gettext_lazy("Artery repaired"),
    "fasciotomy": gettext_lazy("Fasciotomy"),
    "both legs injured": gettext_lazy("Both legs injured"),
    "pregnancy": gettext_lazy("Pregnancy"),
    "unable to follow instructions": gettext_lazy("Unable to follow instructions"),
    "neuropathy": gettext_lazy("Neuropathy: no pain to protect the leg"),
    "treatment that slows bone healing": gettext_lazy("Treatment that slows bone healing"),
}
NONE_OF_THESE = "none"


def circumstance_choices(shared: SharedRules) -> list[tuple[str, object]]:
    """What must be asked: none, then what this tool makes no plan for, then what a surgeon signs off."""
    known = shared.refused_circumstances | shared.sign_off_circumstances | shared.no_default_circumstances
    order = list(CIRCUMSTANCES)
    codes = sorted(known, key=lambda code: order.index(code) if code in order else len(order))
    return [(NONE_OF_THESE, gettext_lazy("None of these")), *((code, CIRCUMSTANCES.get(code, code)) for code in codes)]


AS_TYPED = (
    "given_name",
    "family_name",
    "born_on",
    "hospital_number",
    "email",
    "mobile",
    "side",
    "fibula",
    "open_grade",
    "treatment",
    "weighed_on",
)
OF_A_WOUND = ("antibiotic_at", "wound_closed_at")
FIELD_OF = {
    "$.patient.given_name": "given_name",
    "$.patient.family_name": "family_name",
    "$.patient.hospital_number": "hospital_number",
    "$.patient.email": "email",
    "$.patient.mobile": "mobile",
    "$.patient.print_size": "print_size",
    "$.patient": "hospital_number",
    "$.person.born_on": "born_on",
    "$.person.weight_kg": "weight",
    "$.person.weighed_on": "weighed_on",
    "$.injury.side_again": "side_typed",
    "$.injury.side": "side",
    "$.injury.at": "injured_at",
    "$.injury.presented_at": "presented_at",
    "$.injury.bone_segment": "fracture_code",
    "$.injury.fracture_class": "fracture_code",
    "$.injury.edition": "edition",
    "$.injury.fibula": "fibula",
    "$.injury.open_grade": "open_grade",
    "$.injury.antibiotic_at": "antibiotic_at",
    "$.injury.wound_closed_at": "wound_closed_at",
    "$.injury.circumstances": "circumstances",
    "$.treatments[0].at": "treated_at",
    "$.treatments[0].kind": "treatment",
    "$.treatments[0].fixation_principle": "fixation_principle",
}
