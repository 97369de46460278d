"""The follow-up timetables as printed in the clinical papers: target, earliest and latest day from the anchor."""

from tests.rehab.cases.course import CAST, NAIL, PLATE

VISITS = {
    CAST: {
        "C1": (3, 1, 3),
        "C2": (7, 6, 9),
        "C3": (14, 12, 16),
        "C4": (21, 19, 23),
        "C5": (28, 26, 30),
        "C6": (42, 38, 46),
        "C7": (56, 52, 60),
        "C8": (84, 77, 91),
        "C9": (112, 105, 119),
        "C10": (168, 161, 175),
        "C11": (252, 245, 259),
        "C12": (364, 350, 378),
    },
    NAIL: {
        "N1": (14, 10, 16),
        "N2": (42, 38, 46),
        "N3": (84, 77, 91),
        "N4": (168, 161, 175),
        "N5": (252, 245, 259),
        "N6": (364, 350, 378),
    },
    PLATE: {
        "P1": (14, 10, 16),
        "P2": (42, 38, 46),
        "P3": (84, 77, 91),
        "P4": (112, 105, 119),
        "P5": (168, 161, 175),
        "P6": (252, 245, 259),
        "P7": (364, 350, 378),
    },
}
WOUNDS = {"O1": (7, 5, 9), "O3": (28, 26, 30)}  # every open grade
DEEP_WOUNDS = {**WOUNDS, "O2": (21, 19, 23)}  # grade III
WEEK_16_FILM = {"N3b": (112, 105, 119)}  # grade III after a nail
ONLY_IF_NOT_UNITED = {"C11", "N5", "P6"}
PERCENT = {"NWB": 0, "TTWB": 10, "PWB25": 25, "PWB50": 50, "PWB75": 75}  # of body weight; the others have no limit
STAGES = ["NWB", "TTWB", "PWB25", "PWB50", "PWB75", "WBAT", "FWB"]


def visits_of(kind, open_grade):
    """Code to days of every visit of this treatment, wound visits included."""
    if open_grade == "closed":
        return VISITS[kind]
    if open_grade in ("I", "II"):
        return {**VISITS[kind], **WOUNDS}
    return {**VISITS[kind], **DEEP_WOUNDS, **(WEEK_16_FILM if kind == NAIL else {})}
