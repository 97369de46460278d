"""Faults of the pathway files, in the language of the reader."""

from django.utils.translation import gettext

from rehab.engine.pathway_faults import Fault


def fault_text(fault: Fault) -> str:
    """Say where the fault is, what is wrong and what would be right, as one line."""
    values = {
        name: gettext(value) if value and isinstance(value, str) else value for name, value in fault.values.items()
    }
    return Fault(fault.file, fault.place, fault.words, values).told(gettext(fault.words))
