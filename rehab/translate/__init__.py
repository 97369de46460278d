"""The one place where records become facts, and plans become records."""

from rehab.translate.clinic_days import ClinicDays, clinic_facts
from rehab.translate.course_documents import document_of
from rehab.translate.courses import course_of, effective_treatments
from rehab.translate.entries import fact_of, payload_of
from rehab.translate.plan_rows import reason_values, reasons_of, row_fields

__all__ = [
    "ClinicDays",
    "clinic_facts",
    "course_of",
    "document_of",
    "effective_treatments",
    "fact_of",
    "payload_of",
    "reason_values",
    "reasons_of",
    "row_fields",
]
