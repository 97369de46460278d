"""Figures to compare with, and the sources behind every number, as frozen values."""

from dataclasses import dataclass
from decimal import Decimal

from rehab.engine.pathway import Sources


@dataclass(frozen=True, slots=True)
class Figure:
    """A number to compare with: a value, or a range from..to, with the counts behind it where published."""

    name: str
    what: str
    unit: str
    use: str  # "rule", "warning", "text" or "check"
    value: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    count: int | None = None
    of: int | None = None
    sources: Sources = ()


@dataclass(frozen=True, slots=True)
class Source:
    """One entry of sources.toml: what it is, how well it is known, and what a second look found."""

    key: str
    citation: str
    known: str  # "read", "second_hand", "memory", "practice" or "local"
    says: str = ""
    doi: str | None = None
    verdict: str | None = None
    note: str | None = None
