"""A pathway as a text fit to be read aloud: visits, steps and rules in order, citations as numbered notes."""

from collections.abc import Iterable, Mapping
from textwrap import fill

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from rehab.engine.facts import OpenGrade
from rehab.engine.figures import Source
from rehab.engine.pathway import OpenVisitRule, Pathway, Sources, StageRule, VisitRule
from rehab.words.gates import finding_name, gate_needs
from rehab.words.pathways import pathway_text
from rehab.words.spoken_rules import share_of_weight, spoken_rules
from rehab.words.stages import printed_stage
from rehab.words.terms import authoriser_name

WIDTH = 96
STATIONS = {
    "consultation": gettext_lazy("consultation"),
    "x_ray": gettext_lazy("X-ray"),
    "plaster": gettext_lazy("plaster room"),
    "physiotherapy": gettext_lazy("physiotherapy"),
}
KNOWN = {
    "read": gettext_lazy("read in published form: abstract or opening page"),
    "second_hand": gettext_lazy("read as quoted or summarised by somebody else"),
    "memory": gettext_lazy("from memory, not checked"),
    "practice": gettext_lazy("common practice, varies locally, no source"),
    "local": gettext_lazy("local default: chosen here, no source settles it"),
}
VERDICTS = {
    "confirmed": gettext_lazy("confirmed"),
    "corrected": gettext_lazy("corrected"),
    "disputed": gettext_lazy("disputed"),
    "unverified": gettext_lazy("not confirmed"),
}


class Notes:
    """Numbers the sources in the order in which they are first named."""

    def __init__(self, sources: Mapping[str, Source]) -> None:
        self._sources = sources
        self._numbers: dict[str, int] = {}

    def mark(self, keys: Sources) -> str:
        """The note numbers of some sources: "[1, 4]"."""
        numbers = [self._numbers.setdefault(key, len(self._numbers) + 1) for key in keys]
        return f"[{', '.join(map(str, numbers))}]"

    def lines(self) -> Iterable[str]:
        """Each source named so far, with how well it is known."""
        for key, number in self._numbers.items():
            yield _item(f"[{number}]", source_text(self._sources[key]), indent=6)


def source_text(source: Source) -> str:
    """A citation, what it says, how it is known, and what a second look found."""
    parts = [source.citation + (f". doi:{source.doi}" if source.doi else "")]
    parts.append(_("Says: %(says)s") % {"says": source.says})
    parts.append(_("Known: %(known)s") % {"known": KNOWN[source.known]})
    if source.verdict:
        parts.append(_("Looked at again: %(verdict)s") % {"verdict": VERDICTS[source.verdict]})
    if source.note:
        parts.append(_("Note: %(note)s") % {"note": source.note})
    return " ".join(part if part.endswith(".") else f"{part}." for part in parts)


def spoken_pathway(pathway: Pathway, sources: Mapping[str, Source]) -> str:
    """The whole pathway as text. Nothing in it is an order, and it says whether anybody has signed it."""
    notes = Notes(sources)
    parts = [
        _head(pathway, notes),
        _ward(pathway, notes),
        _visits(pathway, notes),
        _ladder(pathway, notes),
        _open_fracture(pathway, notes),
        _section(_("Rules for every treatment"), spoken_rules(pathway.shared, notes.mark)),
    ]
    parts.append(_section(_("Notes: where each number comes from"), notes.lines()))
    return "\n\n".join(parts) + "\n"


def _head(pathway: Pathway, notes: Notes) -> str:
    title = pathway_text(pathway.title).upper()
    words = {"version": pathway.version, "digest": pathway.digest[:12], "shared": pathway.shared.version}
    lines = [
        title,
        "=" * len(title),
        _("Version %(version)s, with the shared rules of version %(shared)s (content %(digest)s).") % words,
        approval(pathway),
        _("Day 0 is %(day)s. Numbers in square brackets are notes at the end.")
        % {"day": pathway_text(pathway.day_zero)},
    ]
    warnings = _warnings(pathway)
    if warnings:
        lines += [f"{line} {notes.mark(pathway.sources)}" for line in warnings]
    return "\n".join(_wrapped(line) for line in lines)


def approval(pathway: Pathway) -> str:
    """Who signed this version, or that nobody has."""
    if pathway.approved_by:
        return _("Approved: signed by %(name)s.") % {"name": pathway.approved_by}
    return _("NOT APPROVED. It is a proposal until a named clinician of the clinic signs this version.")


def _warnings(pathway: Pathway) -> list[str]:
    lines = []
    if pathway.flag_open_fracture:
        lines.append(_("For closed fractures: an open one needs a surgeon's sign-off."))
    if pathway.flag_intact_fibula:
        lines.append(_("An intact fibula is pointed out: the leg may drift into varus."))
    return lines


def _section(title: str, lines: Iterable[str]) -> str:
    return "\n".join([title, "-" * len(title), *lines])


def _ward(pathway: Pathway, notes: Notes) -> str:
    lines = _visit_lines(pathway.ward, notes) if pathway.ward else []
    return _section(_("On the ward: not booked"), lines)


def _visits(pathway: Pathway, notes: Notes) -> str:
    lines = [line for visit in pathway.visits for line in _visit_lines(visit, notes)]
    return _section(_("Visits, in order of time"), lines)


def _visit_lines(visit: VisitRule, notes: Notes) -> list[str]:
    star = "*" if visit.only_if_not_united else ""
    lines = [_item(f"{visit.code}{star}", f"{pathway_text(visit.title)} {notes.mark(visit.sources)}")]
    lines.append(_under(when(visit)))
    lines += [_under(f"- {pathway_text(line)}", hang=2) for line in visit.contents]
    if visit.if_before_window:
        lines.append(
            _under(_("If it falls before the window: %(line)s.") % {"line": pathway_text(visit.if_before_window)})
        )
    lines += [_under(line) for line in _about(visit)]
    return lines


def when(visit: VisitRule) -> str:
    """The target in weeks and days, the window, and what happens after a miss."""
    words = {"target": days_and_weeks(visit.target_day), "first": visit.earliest_day, "last": visit.latest_day}
    text = _("Target: %(target)s. Window: day %(first)d to day %(last)d.") % words
    if visit.missed_deadline_days:
        missed = ngettext(
            "If missed: deadline %(count)d day after the missed date.",
            "If missed: deadline %(count)d days after the missed date.",
            visit.missed_deadline_days,
        )
        text += " " + missed % {"count": visit.missed_deadline_days}
    return text


def days_and_weeks(day: int) -> str:
    """Day 42 as "6 weeks, day 42"; a day that is no whole week as "day 3"."""
    weeks, rest = divmod(day, 7)
    if rest or not weeks:
        return _("day %(day)d") % {"day": day}
    return ngettext("%(weeks)d week, day %(day)d", "%(weeks)d weeks, day %(day)d", weeks) % {"weeks": weeks, "day": day}


def _about(visit: VisitRule) -> Iterable[str]:
    if visit.findings:
        yield _("Written down: %(names)s.") % {"names": "; ".join(map(finding_name, visit.findings))}
    if visit.stations:
        yield _("Stations: %(names)s.") % {"names": ", ".join(str(STATIONS[name]) for name in visit.stations)}
    if visit.led_by:
        yield _("Seen by: %(who)s.") % {"who": pathway_text(visit.led_by)}
    if visit.only_if_not_united:
        yield _("* Only if union has not been confirmed at the visit before.")
    if visit.decides_delayed_union:
        yield _("Delayed union is reviewed from here on, unless union has been confirmed.")


def _ladder(pathway: Pathway, notes: Notes) -> str:
    lines = [
        _wrapped(
            _(
                "No date and no finding raises a stage. Each step is a permission to order; until a surgeon has "
                "ordered a stage, the leg is non-weightbearing."
            )
        )
    ]
    if pathway.default_stage:
        words = {"stage": printed_stage(pathway.default_stage)}
        filled = _("The surgeon's form is filled in with: %(stage)s. That is no order.") % words
        lines.append(_wrapped(f"{filled} {notes.mark(pathway.sources)}"))
    lines += [line for step in pathway.stages for line in _step_lines(step, pathway, notes)]
    lines.append(_wrapped(_no_default_intro(pathway)))
    lines += [line for step in pathway.stages_without_default for line in _step_lines(step, pathway, notes)]
    return _section(_("Weight bearing, step by step"), lines)


def _no_default_intro(pathway: Pathway) -> str:
    cases = [f"42-{letter}" for letter in sorted(pathway.no_default_classes)]
    cases += [_("open grade %(grade)s") % {"grade": grade} for grade in sorted(pathway.no_default_grades)]
    cases += [pathway_text(name) for name in sorted(pathway.shared.no_default_circumstances)]
    words = {"cases": ", ".join(cases)}
    return _("Without a default (%(cases)s) the surgeon chooses, and only these steps are shown:") % words


def _step_lines(step: StageRule, pathway: Pathway, notes: Notes) -> Iterable[str]:
    words = pathway.shared.stages[step.stage]
    term, name = printed_stage(step.stage), pathway_text(words.name)
    called = term if name.casefold() in term.casefold() else f"{term}, {name}"
    load = f" {share_of_weight(words.percent)}" if words.percent else ""
    keys = tuple(dict.fromkeys((*step.sources, *pathway.shared.sources[f"stage.{step.stage}"])))
    yield _item("->", f"{called}.{load} {notes.mark(keys)}")
    visit = pathway.visit_rule(step.gate_visit)
    title = f" ({pathway_text(visit.title)})" if visit else ""
    yield _under(_("Not before visit %(code)s%(title)s.") % {"code": step.gate_visit, "title": title})
    for gate in step.gates:
        needs = {"finding": finding_name(gate.finding), "needs": gate_needs(gate), "notes": notes.mark(gate.sources)}
        yield _under(_("- Needs: %(finding)s: %(needs)s %(notes)s") % needs, hang=2)
    yield _under(_("May be ordered by: %(names)s.") % {"names": _names(step.authorised_by)})
    if step.authorised_when_signed:
        names = {"names": _names(step.authorised_when_signed)}
        yield _under(_("Once this version is signed also by: %(names)s.") % names)
    if step.reviewed_if_not_met:
        yield _under(_("Not met, or not written down: the stage is held and looked at again."))


def _names(authorisers: Iterable) -> str:
    return ", ".join(authoriser_name(by) for by in authorisers)


def _open_fracture(pathway: Pathway, notes: Notes) -> str:
    rules = [rule for rule in pathway.open_visits if pathway.treatment in rule.treatments]
    lines = [
        _wrapped(_("At every visit: %(line)s.") % {"line": pathway_text(line)}) for line in pathway.open_every_visit
    ]
    for rule in rules:
        lines += [*_visit_lines(rule.visit, notes), _under(_grades(rule))]
    return _section(_("What an open fracture adds"), lines)


def _grades(rule: OpenVisitRule) -> str:
    grades = [grade.value for grade in OpenGrade if grade in rule.grades]
    return _("For grades: %(grades)s.") % {"grades": ", ".join(grades)}


def _item(mark: str, text: str, indent: int = 4) -> str:
    return fill(text, WIDTH, initial_indent=f"{mark:<{indent - 1}} ", subsequent_indent=" " * indent)


def _under(text: str, hang: int = 0) -> str:
    return fill(text, WIDTH, initial_indent=" " * 4, subsequent_indent=" " * (4 + hang))


def _wrapped(text: str) -> str:
    return fill(text, WIDTH)
