"""The records of the clinical domain: injuries, what was recorded of them, and their plans."""

from rehab.models.history_entry import HistoryEntry
from rehab.models.injury import Injury, Treatment
from rehab.models.pathway_signature import PathwaySignature
from rehab.models.planned_visit import PlannedVisit

__all__ = ["HistoryEntry", "Injury", "PathwaySignature", "PlannedVisit", "Treatment"]
