"""Random but realistic courses: people come, stay away, slip, are wedged, operated, healed and discharged.

Hypothesis draws a seed and a number of steps, and a failure shrinks to the fewest steps: quick, and short to read.
"""

from datetime import date, timedelta
from random import Random

from hypothesis import strategies as st

from tests.rehab.cases.course import CAST, NAIL, PLATE, in_cast, nailed, plated
from tests.rehab.cases.reference import first_open_after, nearest_place
from tests.rehab.cases.timetable import ONLY_IF_NOT_UNITED, STAGES, visits_of

BEGIN = {CAST: in_cast, NAIL: nailed, PLATE: plated}
MONDAY = date(2027, 1, 4)
PAINS = range(7)
FINDINGS = {
    "rest_pain": PAINS,
    "touch_pain": PAINS,
    "walking_pain": PAINS,
    "stress_pain": PAINS,
    "cast_problem": (True, False),
    "implants_unchanged": (True, True, True, False),
    "gait_without_limp": (True, False),
    "fading_line_cortices": range(5),
}


def courses(max_steps=14):
    """Courses of any length, up to a discharge."""
    return st.builds(random_course, st.integers(0, 2**48), st.integers(0, max_steps))


def random_course(seed, steps):
    """One course: the same seed and number of steps give the same course, fewer steps its beginning."""
    chance = Random(seed)
    walk = Walk(chance, first_day(chance))
    for _ in range(steps):
        if walk.is_over:
            break
        walk.step()
    return walk.course


def often(chance, times_in_ten):
    return chance.randrange(10) < times_in_ten


def first_day(chance):
    """A course without history: injured, treated, weighed."""
    injured_on = MONDAY + timedelta(days=chance.randrange(361))
    treated_on = injured_on + timedelta(days=chance.randrange(4))
    kind = chance.choice([CAST, CAST, NAIL, NAIL, PLATE])
    details = {
        "injured_at": f"{injured_on}T{chance.choice(['00:20', '08:15', '14:30'])}",
        "treated_at": f"{treated_on}T{chance.choice(['14:45', '18:00', '23:30'])}",
        "fracture_class": chance.choice(["A1", "A2", "A3", "B2", "B3", "C2", "C3"]),
        "fibula": chance.choice(["intact", "same level", "other level"]),
        "open_grade": chance.choice(["closed"] * 5 + ["I", "II", "IIIA", "IIIB", "IIIC"]),
        "weight_kg": None if often(chance, 1) else chance.randint(380, 1650) / 10,
        "weighed_on": str(treated_on - timedelta(days=chance.randrange(41))),
    }
    if kind == PLATE:
        details["fixation_principle"] = chance.choice(["relative", "absolute", None])
    if often(chance, 1):
        details["planned_on"] = str(treated_on + timedelta(days=chance.randint(1, 20)))
    return BEGIN[kind](str(treated_on), **details).at_clinic(**clinic_days(chance))


def clinic_days(chance):
    """What differs from the test calendar: clinic days, closures and full sessions."""
    spots = [str(MONDAY + timedelta(days=n)) for n in range(500)]
    return {
        "clinic_days": chance.sample(["mon", "tue", "wed", "thu", "fri"], chance.randint(1, 5)),
        "closed_on": chance.sample(spots, chance.randrange(13)),
        "full_on": chance.sample(spots, chance.randrange(7)),
    }


class Walk:
    """One person's way through the plan, step by step; `today` never goes back."""

    def __init__(self, chance, course):
        self.chance, self.course = chance, course
        self.is_over = self.is_united = False
        self.score = 4
        treatment = course.document["treatments"][0]
        anchor = treatment["at"][:10]
        planned_on = treatment.get("planned_on", anchor)
        self._begin(treatment["kind"], date.fromisoformat(anchor), date.fromisoformat(planned_on))
        if often(chance, 5):
            self._order(self.today)
        if often(chance, 6):
            self._film(self.today)

    def step(self):
        """The next visit comes, or the leg is operated on first."""
        if often(self.chance, 1):
            self._convert()
            return
        if often(self.chance, 1) and self._come_to_an_extra_visit():
            return
        due = [(day, code) for code, day in self.due.items() if code not in ONLY_IF_NOT_UNITED or self._waits_on()]
        if not due:
            self.is_over = True
            return
        day, _ = min(due)
        self.today = max(self.today, day)
        self._attendance(sorted(code for on, code in due if on == day))

    def _attendance(self, codes):
        """One attendance of one or more visits: one entry for all of them, or one each."""
        outcome = self.chance.choice(["attended"] * 6 + ["late", "missed", "missed", "unrecorded"])
        if outcome == "late":
            self.today += timedelta(days=self.chance.randint(1, 4))
        for n, code in enumerate(codes):
            if n == 0 or often(self.chance, 5):
                getattr(self, f"_{outcome if n == 0 else self.chance.choice(['attended', 'missed'])}")(code)
            elif outcome == "missed":
                self.due[code] = self.due[codes[0]]
            else:
                del self.due[code]

    def _come_to_an_extra_visit(self):
        """The next visit the plan itself has added; False when there is none."""
        extras = [v for v in self.course.planned()["visits"] if v["code"].startswith("X") and v["state"] == "planned"]
        to_come = sorted((v["placed_on"], v["code"]) for v in extras if (v["placed_on"] or "") >= str(self.today))
        if not to_come:
            return False
        self.today = date.fromisoformat(to_come[0][0])
        self._attended(to_come[0][1])
        return True

    def _attended(self, code):
        self.due.pop(code, None)
        self.course = self.course.attended(code, str(self.today))
        for act, times_in_ten in ((self._film, 6), (self._found, 5), (self._order, 3), (self._others, 3)):
            if often(self.chance, times_in_ten):
                act(self.today, code)

    def _late(self, code):
        self._attended(code)

    def _missed(self, code):
        self.course = self.course.missed(code, str(self.today))
        self.due[code] = first_open_after(self.course.document["clinic"], self.today)

    def _unrecorded(self, code):
        del self.due[code]

    def _convert(self):
        self.today += timedelta(days=self.chance.randint(1, 6))
        kind = self.chance.choice([NAIL, NAIL, PLATE, CAST])
        self.course = self.course.then(kind, str(self.today))
        self._begin(kind, self.today, self.today)
        if often(self.chance, 6):
            self._order(self.today)

    def _begin(self, kind, anchor, planned_on):
        self.kind, self.today = kind, planned_on
        grade, clinic = self.course.document["injury"]["open_grade"], self.course.document["clinic"]
        places = {}
        for code, days in visits_of(kind, grade).items():
            target, earliest, latest = (anchor + timedelta(days=n) for n in days)
            places[code], _ = nearest_place(clinic, target, earliest, latest, planned_on, anchor)
        self.due = {code: day for code, day in places.items() if day}

    def _film(self, on, _code=None):
        degrees = self.chance.choice([0, 1, 1.5, 2, 2.5, 3, 4, 6])
        reading = {self.chance.choice(["varus", "valgus"]): degrees or None}
        reading["shortening"] = self.chance.choice([0, 2, 4, 8])
        if often(self.chance, 1):
            reading["without"] = ("sagittal",)
        self.score = min(12, self.score + self.chance.randint(-1, 2))
        if often(self.chance, 7):
            reading["rust"] = self._cortices()
        self.course = self.course.film(str(on), **reading)

    def _cortices(self):
        low, extra = divmod(max(self.score, 4), 4)
        cortices = [min(3, low + 1)] * extra + [low] * (4 - extra)
        return [*cortices[:3], None] if often(self.chance, 1) else cortices

    def _found(self, on, code):
        names = self.chance.sample(sorted(FINDINGS), self.chance.randint(1, 4))
        self.course = self.course.found(code, str(on), **{name: self.chance.choice(FINDINGS[name]) for name in names})

    def _order(self, on, _code=None):
        by = self.chance.choice(["surgeon", "surgeon", "physiotherapist"])
        self.course = self.course.ordered(self.chance.choice(STAGES), str(on), by=by)

    def _others(self, on, _code=None):
        what = self.chance.choice(["wedge", "test", "test", "unite", "clot", "discharge"])
        on = str(on)
        if what == "wedge" and self.kind == CAST:
            self.course = self.course.wedged(on)
        elif what == "test":
            self.course = self.course.clinical_union(on, yes=self.chance.choice([True, False]))
        elif what == "unite":
            self.course, self.is_united = self.course.union_confirmed(on), True
        elif what == "clot":
            self.course = self.course.clot_review_closed(on)
        elif what == "discharge" and self.is_united:
            reason = {"reason": "informed refusal"} if often(self.chance, 3) else {}
            self.course, self.is_over = self.course.discharged(on, **reason), True

    def _waits_on(self):
        """True once week 24 is behind and the bone has not united."""
        return not self.is_united and not {"C10", "N4", "P5"} & set(self.due)
