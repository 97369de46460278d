"""What can be wrong with a pathway file: faults as values, all told at once."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: in which file, at which place, and what is wrong and would be right.

    `words` is an English sentence with named blanks that `values` fill; a layer above may
    translate it before filling.
    """

    file: str
    place: str
    words: str
    values: Mapping[str, object] = field(default_factory=dict)

    def __str__(self) -> str:
        return self.told(self.words)

    def told(self, words: str) -> str:
        """The fault as one line, with `words` as its (perhaps translated) sentence."""
        where = f"{self.file}: {self.place}" if self.place else self.file
        return f"{where}: {words % self.values}"


class PathwayFaults(Exception):
    """The pathway files cannot be used: `faults` says why, all at once."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


def gettext_noop(text: str) -> str:
    """Mark a text for the translators; the layer above looks the translation up."""
    return text


NOT_FOUND = gettext_noop("the file is missing from %(folder)s")
NO_FOLDER = gettext_noop("there is no such folder; give the folder that holds the clinic's own pathway files")
NOT_A_PATHWAY_FILE = gettext_noop("no file of this name is read; rename or remove it, or use one of: %(known)s")
NOT_A_PATHWAY_FILE_MEANT = gettext_noop("no file of this name is read; did you mean %(meant)s?")
NOT_TEXT = gettext_noop("this is not UTF-8 text; save it again as UTF-8")
NOT_TOML = gettext_noop("this is not TOML: %(reason)s")
UNKNOWN_KEY = gettext_noop("key “%(key)s” is not known; known here: %(known)s")
UNKNOWN_KEY_MEANT = gettext_noop("key “%(key)s” is not known; did you mean “%(meant)s”?")
MISSING_KEY = gettext_noop("key “%(key)s” is missing; it must be %(kind)s")
WRONG_KIND = gettext_noop("“%(key)s” is %(found)s; it must be %(kind)s")
EMPTY = gettext_noop("“%(key)s” is empty; it must be %(kind)s")
UNKNOWN_NAME = gettext_noop("%(key)s “%(name)s” is not known; known: %(known)s")
UNKNOWN_NAME_MEANT = gettext_noop("%(key)s “%(name)s” is not known; did you mean “%(meant)s”?")
NO_SOURCE = gettext_noop('“%(key)s” has no source; add sources = ["…"] with a key of sources.toml beside it')
UNUSED_SOURCE = gettext_noop("no number uses this source; remove it, or name it where it belongs")
WINDOW = gettext_noop(
    "the window is %(earliest)s, target %(target)s, latest %(latest)s; it must be earliest ≤ target ≤ latest"
)
OUT_OF_ORDER = gettext_noop("comes after %(before)s, which is later; write them in the order of life")
TWICE = gettext_noop("“%(name)s” is here twice (also %(first)s); each may be written once")
NO_GATE = gettext_noop("stage “%(stage)s” has no gate; only NWB may begin without one")
NO_BAR = gettext_noop("says nothing of what is wanted; exactly one of at_most, at_least, equals must be given")
ONE_BAR = gettext_noop("has %(found)s; exactly one of at_most, at_least, equals must be given")
BAR_KIND = gettext_noop("finding “%(finding)s” takes %(right)s, not %(bar)s")
OUT_OF_RANGE = gettext_noop("“%(key)s” is %(found)s; it must lie between %(low)s and %(high)s")
NOT_ABOVE = gettext_noop(
    "“%(low_key)s” is %(low)s and “%(high_key)s” is %(high)s; the first may not be above the second"
)
FILE_NAME = gettext_noop("treatment is “%(found)s”; in a file of this name it must be “%(right)s”")
ONE_DECIDES = gettext_noop("%(count)s visits have decides_delayed_union = true; exactly one must")
STARRED_EARLY = gettext_noop("only_if_not_united may only stand on a visit after the one that decides delayed union")
STAGES_MISSING = gettext_noop("the stages are %(found)s; they must be %(right)s, in this order")
LOAD_FALLS = gettext_noop("percent is %(percent)s, below the stage before; more load comes later")
PERCENT_OF_COUNT = gettext_noop("value is %(value)s but %(count)s of %(of)s is %(right)s per cent")
NO_VALUE = gettext_noop("has no number; give value, or from and to")
NOT_APPROVABLE = gettext_noop("“%(name)s” may order this stage already without a signature; name it in one list only")


def did_you_mean(name: str, known: Iterable[str]) -> str | None:
    """The known name nearest to `name`, or None when nothing is near."""
    close = get_close_matches(name, list(known), n=1, cutoff=0.6)
    return close[0] if close else None


def unknown_key(file: str, place: str, key: str, known: Iterable[str]) -> Fault:
    """The fault of a key that no rule reads, with the nearest one that is read."""
    known = sorted(known)
    meant = did_you_mean(key, known)
    if meant:
        return Fault(file, place, UNKNOWN_KEY_MEANT, {"key": key, "meant": meant})
    return Fault(file, place, UNKNOWN_KEY, {"key": key, "known": ", ".join(known)})


def unknown_name(file: str, place: str, key: str, name: object, known: Iterable[str]) -> Fault:
    """The fault of a value that must be one of a list of names."""
    known = sorted(known)
    meant = did_you_mean(str(name), known)
    if meant:
        return Fault(file, place, UNKNOWN_NAME_MEANT, {"key": key, "name": name, "meant": meant})
    return Fault(file, place, UNKNOWN_NAME, {"key": key, "name": name, "known": ", ".join(known)})
