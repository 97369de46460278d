"""A plan in JSON, read in the trade's words."""

from datetime import UTC, datetime


class ReadPlan:
    """The JSON answer of a course file, with the questions the tests ask of it."""

    def __init__(self, answer):
        self.answer = answer

    def __getitem__(self, key):
        return self.answer[key]

    def rows(self, code, treatment=None):
        """All rows of a visit, in the order of their dates."""
        found = [v for v in self["visits"] if v["code"] == code and treatment in (None, v["treatment"])]
        return sorted(found, key=lambda v: v["placed_on"] or "9999")

    def row(self, code, treatment=None):
        """The only row of a visit."""
        found = self.rows(code, treatment)
        assert len(found) == 1, f"{code} has {len(found)} rows: {[(v['placed_on'], v['state']) for v in found]}"
        return found[0]

    def codes(self, state=None):
        """Codes of the visits, by date; only those of one state when it is named."""
        rows = sorted(self["visits"], key=lambda v: v["placed_on"] or "9999")
        return [v["code"] for v in rows if state in (None, v["state"])]

    def states(self, code):
        """Date and state of every row of a visit."""
        return [(v["placed_on"], v["state"]) for v in self.rows(code)]

    def alerts(self, kind=None, level=None):
        """Level and date of the alerts of one kind or level, by date."""
        found = [a for a in self["alerts"] if kind in (None, a["kind"]) and level in (None, a["level"])]
        return sorted((a["on"], a["level"]) for a in found)

    def alert(self, kind, on):
        """The only alert of a kind on a day."""
        found = [a for a in self["alerts"] if (a["kind"], a["on"]) == (kind, on)]
        assert len(found) == 1, f"{len(found)} alerts {kind} on {on}: {self['alerts']}"
        return found[0]

    def tasks(self, kind, treatment=None):
        """Due date and state of the tasks of one kind, by date."""
        found = [t for t in self["tasks"] if t["kind"] == kind and treatment in (None, t["treatment"])]
        return sorted((t["due_on"], t["state"]) for t in found)

    def due_instants(self, kind):
        """The instants (UTC) at which tasks of one kind are due."""
        return sorted(_utc(t["due_at"]) for t in self["tasks"] if t["kind"] == kind)

    def reminders(self, visit):
        """Number and instant (UTC) of the reminders of one visit."""
        return sorted((r["number"], _utc(r["send_at"])) for r in self["reminders"] if r["visit"] == visit)

    def ladder(self):
        """Stage, day and cap of every step of the ladder."""
        return [(s["stage"], s["not_before"], s["cap_kg"]) for s in self["stages"]]

    def stage(self, name):
        """One step of the ladder."""
        found = [s for s in self["stages"] if s["stage"] == name]
        assert len(found) == 1, f"the ladder has {len(found)} steps {name}: {self.ladder()}"
        return found[0]

    def gate(self, stage, finding):
        """Whether one condition of a stage is met: True, False or None."""
        found = [g["met"] for g in self.stage(stage)["gates"] if g["finding"] == finding]
        assert len(found) == 1, f"{stage} has no single gate {finding}: {self.stage(stage)['gates']}"
        return found[0]

    def now(self):
        """Stage, cap and authoriser in force."""
        return tuple(self["stage_now"][key] for key in ("stage", "cap_kg", "ordered_by"))


def rules(row):
    """The rules named behind a row."""
    return {reason["rule"] for reason in row["why"]}


def as_row(row):
    """Code, target, window, place, day and in-window of a row, as the tables of the cases print them."""
    keys = ("code", "target_on", "earliest_on", "latest_on", "placed_on", "day", "in_window")
    return tuple(row[key] for key in keys)


def _utc(instant):
    moment = datetime.fromisoformat(instant)
    assert moment.utcoffset() == UTC.utcoffset(None), f"{instant} is not UTC"
    return moment.strftime("%Y-%m-%dT%H:%MZ")
