"""Healing: union suggested, a low or falling score, delayed union, possible non-union."""

from dataclasses import dataclass, field
from datetime import date, timedelta

from rehab.engine.facts import ClinicalUnion, Film, FixationPrinciple, ScoreScale, Treatment
from rehab.engine.months import months_after
from rehab.engine.pathway import UnionRules
from rehab.engine.planned import Reason

HIGH_RISK = "high risk"


@dataclass(frozen=True, slots=True)
class Scored:
    """A film with a callus score; `total` is None when a cortex is hidden."""

    on: date
    scale: ScoreScale
    total: int | None
    bridged: int

    @classmethod
    def of(cls, film: Film, rules: UnionRules) -> "Scored | None":
        """Read a film's score, or None when it has none."""
        score = film.score
        if score is None:
            return None
        bridged_from = rules.rust_bridged_from if score.scale is ScoreScale.RUST else rules.mrust_bridged_from
        bridged = sum(1 for cortex in score.cortices if cortex is not None and cortex >= bridged_from)
        return cls(film.on, score.scale, score.total, bridged)


@dataclass(slots=True)
class UnionWatch:
    """What the films and tests say about healing, counted from the injury and never restarted."""

    injury_on: date
    rules: UnionRules
    scored: list[Scored] = field(default_factory=list)
    clinical: ClinicalUnion | None = None
    confirmed_on: date | None = None
    suggested_on: date | None = None

    def healing_day(self, on: date) -> int:
        """Days since the injury: a conversion never restarts this clock (S2)."""
        return (on - self.injury_on).days

    def begin_again(self) -> None:
        """Forget what was said of union before a further treatment: a bone operated on again is not united.

        The healing clock and the scores go on (R25).
        """
        self.confirmed_on = self.suggested_on = self.clinical = None

    def read(self, scored: Scored) -> None:
        """Remember a scored film."""
        self.scored.append(scored)

    def older_totals(self, newest: Scored) -> list[tuple[date, int]]:
        """Give day and total of the earlier films on the same scale that have a total (R55, R56)."""
        return [
            (old.on, old.total)
            for old in self.scored
            if old is not newest and old.scale is newest.scale and old.total is not None
        ]

    # -- alerts ------------------------------------------------------------------------------------------------

    def low_score(self, newest: Scored, treatment: Treatment) -> Reason | None:
        """Flag a low RUST total by the day from the anchor (R52): not mRUST, hidden cortices or absolute fixation."""
        if newest.scale is not ScoreScale.RUST or newest.total is None:
            return None
        if treatment.fixation_principle is FixationPrinciple.ABSOLUTE:
            return None
        day = (newest.on - treatment.on).days
        for band in self.rules.low_scores:
            if band.from_day <= day <= band.to_day and newest.total <= band.at_most:
                return Reason("R52", band.code, {"total": newest.total, "scale": newest.scale.value, "day": day})
        return None

    def falling_score(self, newest: Scored) -> Reason | None:
        """Flag a total below that of the film before it on the same scale (R59)."""
        older = self.older_totals(newest)
        if newest.total is None or not older or newest.total >= older[-1][1]:
            return None
        values = {"total": newest.total, "before": older[-1][1], "before_on": older[-1][0]}
        return Reason("R59", "falling_score", {**values, "scale": newest.scale.value})

    def score_has_not_risen(self) -> bool:
        """Say whether the newest total is known not to be above the one before it on its scale (R59)."""
        newest = next((scored for scored in reversed(self.scored) if scored.total is not None), None)
        if newest is None or newest.total is None:
            return False
        older = self.older_totals(newest)
        return bool(older) and newest.total <= older[-1][1]

    def not_progressed(self, newest: Scored) -> list[tuple[date, int]]:
        """Give the older films, on the same scale, that scored as much as this one or more: no progress since."""
        if newest.total is None:
            return []
        return [(on, total) for on, total in self.older_totals(newest) if total >= newest.total]

    def possible_nonunion(self, newest: Scored) -> Reason | None:
        """Apply the non-union test (R57).

        True on a film at least so many calendar months after the injury when any film at
        least so many months older scored as much. Source: 9 months since injury with no
        sign of healing for 3 months, StatPearls NBK554385 (U14).
        """
        if self.confirmed_on is not None or newest.on < months_after(self.injury_on, self.rules.nonunion_months):
            return None
        for old_on, old_total in self.not_progressed(newest):
            if months_after(old_on, self.rules.no_progress_months) <= newest.on:
                values = {"total": newest.total, "scale": newest.scale.value, "old_on": old_on, "old_total": old_total}
                return Reason("R57", "possible_nonunion", values)
        return None

    def nonunion_film_due_on(self, newest: Scored) -> date | None:
        """Give the day on which the non-union test can first be decided, when a film leaves it open (S16, R28)."""
        if self.confirmed_on is not None or self.healing_day(newest.on) < self.rules.delayed_from_healing_day:
            return None
        older = self.not_progressed(newest)
        if not older or self.possible_nonunion(newest) is not None:
            return None
        oldest = min(on for on, _ in older)
        return max(
            months_after(oldest, self.rules.no_progress_months),
            months_after(self.injury_on, self.rules.nonunion_months),
        )

    def suggestion(self) -> tuple[date, Reason] | None:
        """Suggest union once: a score at its cut-off and a clinical test that says yes, close together (R58)."""
        if self.suggested_on is not None or self.confirmed_on is not None or not self.scored or self.clinical is None:
            return None
        newest = self.scored[-1]
        apart = timedelta(days=self.rules.film_and_test_within_days)
        if not self.clinical.yes or abs(newest.on - self.clinical.on) > apart:
            return None
        met = self._cut_off_met(newest)
        if met is None:
            return None
        self.suggested_on = max(newest.on, self.clinical.on)
        return self.suggested_on, met

    def _cut_off_met(self, newest: Scored) -> Reason | None:
        rules = self.rules
        at_least = rules.rust_at_least if newest.scale is ScoreScale.RUST else rules.mrust_at_least
        if newest.total is not None and newest.total >= at_least:
            values = {"total": newest.total, "scale": newest.scale.value, "film_on": newest.on}
            return Reason("R58", "union_suggested_by_total", values)
        if newest.bridged >= rules.bridged_cortices:
            return Reason("R58", "union_suggested_by_bridging", {"bridged": newest.bridged, "film_on": newest.on})
        return None


@dataclass(slots=True)
class DelayedUnion:
    """The delayed-union review: raised once a course, on the earliest of its occasions (R53)."""

    union: UnionWatch
    raised_on: date | None = None

    def consider(self, on: date, *, is_decision_visit: bool) -> bool:
        """Say whether a visit or film of this day raises the review; union confirmed by that day stops it."""
        if self.raised_on is not None:
            return False
        from_day = self.union.rules.delayed_from_healing_day
        if not is_decision_visit and self.union.healing_day(on) < from_day:
            return False
        self.raised_on = on
        return True

    def by_the_clock(self, evidence_on: date) -> bool:
        """Raise it on the healing day itself when nothing else has by then."""
        due_on = self.union.injury_on + timedelta(days=self.union.rules.delayed_from_healing_day)
        if self.raised_on is not None or evidence_on < due_on:
            return False
        self.raised_on = due_on
        return True

    def reason(self, treatment: Treatment) -> Reason:
        """Say why, with the words for a hidden cortex or a plate that heals without callus (R54, R56)."""
        newest = self.union.scored[-1] if self.union.scored else None
        if treatment.fixation_principle is FixationPrinciple.ABSOLUTE:
            code = "delayed_union_absolute"
        elif newest is not None and newest.total is None:
            code = "delayed_union_hidden"
        else:
            code = "delayed_union"
        assert self.raised_on is not None
        return Reason("R53", code, {"healing_day": self.union.healing_day(self.raised_on)})
