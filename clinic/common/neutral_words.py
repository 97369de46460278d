"""Words that would tell a stranger what is wrong with somebody.

An appointment lands in family and work calendars, on lock screens and in shared
inboxes. So an invitation, a text, a subject and a file name say that there is an
appointment, never what for. Common practice, no source for the list itself.
"""

import re
import unicodedata

# Give away the matter wherever they stand, even inside a longer word or an address.
STEMS = (
    "amput", "antibiotic", "anticoag", "callus", "diagnos", "embol", "femor", "femur", "fibula", "fractur",
    "infect", "injur", "intramedull", "malunion", "nonunion", "non-union", "orthop", "orthot", "osteo",
    "physio", "plaster", "radiograph", "radiolog", "rehab", "skelet", "thrombo", "tibia", "trauma",
    "weightbear", "weight-bear", "x-ray", "xray",
)  # fmt: skip

# Give it away only as whole words: "plate" does, "template" does not.
WORDS = (
    "ankle", "blood clot", "bone", "brace", "broken", "cast", "crutch", "crutches", "dvt", "film", "fixation", "hip",
    "implant", "knee", "leg", "limb", "mri", "nail", "nailed", "nailing", "operated", "operation", "pain", "plate",
    "plated", "plating", "screw", "shin", "surgeon", "surgical", "union score", "valgus", "varus", "ward", "weight",
    "wound", "x ray",
)  # fmt: skip

_CLINICAL = re.compile(rf"\w*(?:{'|'.join(map(re.escape, STEMS))})\w*|\b(?:{'|'.join(WORDS)})s?\b")


def clinical_words_in(text: str) -> list[str]:
    """List the words of `text` that would give away a clinical matter, in their order, each once.

    Case, full-width letters and soft hyphens make no difference. A person's own name
    is not for this check: somebody may well be called Nail.
    """
    # A dash of any kind is read as a hyphen, an underscore or a full stop as a gap ("leg_clinic.ics").
    plain = unicodedata.normalize("NFKC", text).casefold().replace("\N{SOFT HYPHEN}", "")
    plain = re.sub("[\N{HYPHEN}-\N{HORIZONTAL BAR}\N{MINUS SIGN}]", "-", plain).replace("_", " ")
    return list(dict.fromkeys(found.group() for found in _CLINICAL.finditer(plain)))
