"""The acts of the clinic: each one transaction, with its messages owed inside it. Pages call these and nothing else."""

from clinic.followup.act import Outcome
from clinic.followup.attendance import mark_attended, mark_missed
from clinic.followup.clinical import (
    close_antibiotic_review,
    close_clot_review,
    confirm_union,
    convert_treatment,
    discharge,
    order_stage,
    record_clinical_union,
    record_film_reading,
    record_gate_findings,
    record_wedging,
    record_weight,
)
from clinic.followup.places import book_visit, cancel_booking, move_booking
from clinic.followup.registration import Registration, register_patient

__all__ = [
    "Outcome",
    "Registration",
    "book_visit",
    "cancel_booking",
    "close_antibiotic_review",
    "close_clot_review",
    "confirm_union",
    "convert_treatment",
    "discharge",
    "mark_attended",
    "mark_missed",
    "move_booking",
    "order_stage",
    "record_clinical_union",
    "record_film_reading",
    "record_gate_findings",
    "record_wedging",
    "record_weight",
    "register_patient",
]
