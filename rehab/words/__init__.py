"""The words for the engine's values, in the language of the reader."""

from rehab.words.dates import at_local_time, in_short, in_words
from rehab.words.gates import finding_name, gate_met, gate_needs, short_finding_name
from rehab.words.numbers import number
from rehab.words.pathways import pathway_text
from rehab.words.reasons import reason_text, reasons_text
from rehab.words.stages import plain_stage, printed_stage

__all__ = [
    "at_local_time",
    "finding_name",
    "gate_met",
    "gate_needs",
    "in_short",
    "in_words",
    "number",
    "pathway_text",
    "plain_stage",
    "printed_stage",
    "reason_text",
    "reasons_text",
    "short_finding_name",
]
