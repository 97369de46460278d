"""Checked tables become frozen values. Nothing here decides; a fault here is a fault in the checks."""

from collections.abc import Mapping
from decimal import Decimal

from rehab.engine.facts import Authoriser, OpenGrade, Stage, TreatmentKind
from rehab.engine.figures import Figure, Source
from rehab.engine.pathway import (
    AlignmentLimits,
    ExtraVisit,
    FilmReadingRules,
    GateRule,
    LowScore,
    OpenVisitRule,
    Pathway,
    ReminderRules,
    ScalePractice,
    SharedRules,
    Sources,
    StageRule,
    StageWords,
    UnionRules,
    VisitRule,
    WeightRules,
    Window,
)
from rehab.engine.pathway_kinds import Table, rows


def build_pathway(document: Table, modifier: Table, shared: SharedRules, digest: str) -> Pathway:
    """One treatment with the open-fracture modifier and the shared rules joined in."""
    kind = TreatmentKind(document["treatment"])
    default = document.get("default_stage")
    return Pathway(
        treatment=kind,
        title=document["title"],
        version=document["version"],
        visits=tuple(build_visit(row) for row in rows(document, "visit")),
        ward_visit=document["ward_visit"]["code"],
        stages=tuple(_stage(row) for row in rows(document, "stage")),
        stages_without_default=tuple(_stage(row) for row in rows(document, "stage_without_default")),
        no_default_classes=frozenset(document.get("no_default_classes", ())),
        no_default_grades=frozenset(map(OpenGrade, modifier["no_default_grades"])),
        open_visits=tuple(_open_visit(row) for row in rows(modifier, "visit")),
        shared=shared,
        consultant_visit=document.get("consultant_visit"),
        default_stage=Stage(default) if default else None,
        flag_open_fracture=document.get("flag_open_fracture", False),
        flag_intact_fibula=document.get("flag_intact_fibula", False),
        is_wedgeable=document.get("is_wedgeable", False),
        digest=digest,
        day_zero=document["day_zero"],
        ward=build_visit(document["ward_visit"]),
        open_every_visit=tuple(modifier.get("every_visit_asks", ())),
        sources=_sources(document),
    )


def build_visit(row: Table) -> VisitRule:
    """One visit; the ward visit has no stations and no deadline."""
    return VisitRule(
        code=row["code"],
        title=row["title"],
        target_day=row["target_day"],
        earliest_day=row["earliest_day"],
        latest_day=row["latest_day"],
        contents=tuple(row["contents"]),
        stations=tuple(row.get("stations", ())),
        missed_deadline_days=row.get("missed_deadline_days", 0),
        with_film=row.get("with_film", False),
        only_if_not_united=row.get("only_if_not_united", False),
        decides_delayed_union=row.get("decides_delayed_union", False),
        if_before_window=row.get("if_before_window"),
        led_by=row.get("led_by", ""),
        findings=tuple(row.get("findings", ())),
        sources=_sources(row),
    )


def _open_visit(row: Table) -> OpenVisitRule:
    return OpenVisitRule(
        visit=build_visit(row),
        grades=frozenset(map(OpenGrade, row["grades"])),
        treatments=frozenset(map(TreatmentKind, row["treatments"])),
    )


def _stage(row: Table) -> StageRule:
    return StageRule(
        stage=Stage(row["stage"]),
        gate_visit=row["gate_visit"],
        gates=tuple(_gate(gate) for gate in rows(row, "gate")),
        authorised_by=tuple(map(Authoriser, row["authorised_by"])),
        authorised_when_signed=tuple(map(Authoriser, row.get("authorised_when_signed", ()))),
        reviewed_if_not_met=row.get("reviewed_if_not_met", False),
        sources=_sources(row),
    )


def _gate(row: Table) -> GateRule:
    return GateRule(row["finding"], row.get("at_most"), row.get("at_least"), row.get("equals"), _sources(row))


def _sources(table: Table) -> Sources:
    return tuple(table["sources"])


def build_shared(document: Table) -> SharedRules:
    """The shared rules, with the source keys of each table by its dotted place."""
    antibiotic, clots = document["antibiotic_review"], document["clot_prevention_review"]
    review, film = document["gate_review"], document["extra_film"]
    return SharedRules(
        version=document["version"],
        bone_segment=document["scope"]["bone_segment"],
        adult_age=document["scope"]["adult_age"],
        alignment=_alignment(document["alignment"]),
        union=_union(document["union"], document["pain"]),
        stages=_stage_words(document),
        weights=_weights(document["body_weight"]),
        reminders=_reminders(document["reminder"]),
        min_days_in_stage=document["steps"]["min_days_in_stage"],
        no_place_within_days=document["no_place"]["within_days"],
        gate_review=_window(review),
        gate_review_deadline_days=review["missed_deadline_days"],
        extra_film=_window(film),
        extra_film_deadline_days=film["missed_deadline_days"],
        nonunion_film_deadline_days=document["union"]["film_for_non_union"]["missed_deadline_days"],
        clot_review_first_day=clots["first_day"],
        clot_review_every_days=clots["again_every_days"],
        consultant_review_hours=document["consultant_review"]["within_hours"],
        antibiotic_hours_after_closure=antibiotic["hours_after_closure"],
        antibiotic_hours_after_injury=antibiotic["hours_after_injury"],
        sign_off_circumstances=_circumstances(document, "effect", "sign_off"),
        no_default_circumstances=_circumstances(document, "no_default", True),
        refused_circumstances=_circumstances(document, "effect", "refused"),
        scale_practice=_scale_practice(document["scale_practice"]),
        film_reading=_film_reading(document["film_reading"]),
        gate_review_visit=_extra_visit(review),
        extra_film_visit=_extra_visit(film),
        nonunion_film_visit=_extra_visit(document["non_union_film"]),
        sources=sources_by_place(document),
    )


def sources_by_place(table: Table, place: str = "") -> dict[str, Sources]:
    """Source keys by dotted place: "alignment.coronal_degrees", "stage.TTWB", "circumstance.flap"."""
    found = {place: _sources(table)} if "sources" in table else {}
    dot = f"{place}." if place else ""
    for key, value in table.items():
        if isinstance(value, dict):
            found |= sources_by_place(value, f"{dot}{key}")
        for row in rows(table, key):
            found |= sources_by_place(row, f"{dot}{key}.{row.get('code') or row.get('stage')}")
    return found


def _window(table: Table) -> Window:
    return Window(table["target_day"], table["earliest_day"], table["latest_day"])


def _extra_visit(table: Table) -> ExtraVisit:
    return ExtraVisit(contents=tuple(table["contents"]), stations=tuple(table["stations"]))


def _circumstances(document: Table, key: str, value: object) -> frozenset[str]:
    return frozenset(row["code"] for row in rows(document, "circumstance") if row.get(key) == value)


def _alignment(table: Table) -> AlignmentLimits:
    angle, shortening = table["change_of_angle"], table["growth_of_shortening"]
    return AlignmentLimits(
        coronal_degrees=Decimal(table["coronal_degrees"]["at_most"]),
        sagittal_degrees=Decimal(table["sagittal_degrees"]["at_most"]),
        rotation_degrees=Decimal(table["rotation_degrees"]["at_most"]),
        shortening_mm=Decimal(table["shortening_mm"]["at_most"]),
        contact_percent=Decimal(table["contact_percent"]["at_least"]),
        changed_degrees=Decimal(angle["amber_from_degrees"]),
        over_change_degrees=Decimal(angle["red_from_degrees"]),
        changed_shortening_mm=Decimal(shortening["amber_above_mm"]),
        over_shortening_mm=Decimal(shortening["red_above_mm"]),
        new_baseline_within_days=table["new_first_film_after_wedging"]["within_days"],
    )


def _union(table: Table, pain: Table) -> UnionRules:
    bridging, non_union = table["suggested_by_bridging"], table["possible_non_union"]
    return UnionRules(
        rust_at_least=table["suggested_by_rust"]["total_at_least"],
        mrust_at_least=table["suggested_by_mrust"]["total_at_least"],
        bridged_cortices=bridging["cortices_at_least"],
        rust_bridged_from=bridging["rust_score_from"],
        mrust_bridged_from=bridging["mrust_score_from"],
        callus_from=table["callus"]["score_from"],
        film_and_test_within_days=table["film_and_clinical_test"]["within_days"],
        delayed_from_healing_day=table["delayed"]["from_healing_day"],
        nonunion_months=non_union["months_since_injury"],
        no_progress_months=non_union["months_without_progress"],
        nonunion_film_latest_days=table["film_for_non_union"]["latest_days"],
        low_scores=tuple(_low_score(row) for row in rows(table, "low_score")),
        pain_rise=pain["rise_that_matters"],
    )


def _low_score(row: Table) -> LowScore:
    return LowScore(row["code"], row["from_day"], row["to_day"], row["at_most"])


def _stage_words(document: Table) -> Mapping[Stage, StageWords]:
    return {
        Stage(row["stage"]): StageWords(Stage(row["stage"]), row["printed"], row.get("percent"), row["name"])
        for row in rows(document, "stage")
    }


def _weights(table: Table) -> WeightRules:
    return WeightRules(
        min_tenths_kg=_tenths(table["accepted_from_kg"]),
        max_tenths_kg=_tenths(table["accepted_to_kg"]),
        confirm_below_tenths_kg=_tenths(table["confirm_below_kg"]),
        confirm_above_tenths_kg=_tenths(table["confirm_above_kg"]),
        fresh_days=table["fresh_days"],
    )


def _tenths(kilograms: Decimal | int) -> int:
    return int(kilograms * 10)


def _reminders(table: Table) -> ReminderRules:
    return ReminderRules(table["first_days_before"], table["first_at"], table["second_at"])


def _scale_practice(table: Table) -> ScalePractice:
    part, touch = table["part"], table["touch"]
    return ScalePractice(
        tries=part["tries"],
        part_median_over_kg=part["median_over_kg"],
        part_median_under_kg=part["median_under_kg"],
        part_single_over_kg=part["single_over_kg"],
        touch_median_percent=touch["median_percent"],
        touch_single_percent=touch["single_percent"],
        touch_single_kg=touch["single_kg"],
    )


def _film_reading(table: Table) -> FilmReadingRules:
    return FilmReadingRules(table["unread_after"], table["amber_read_within"], table["red_second_surgeon_after"])


def build_figure(row: Table) -> Figure:
    """One figure; numbers become decimals so that nothing is ever compared as floating point."""
    value, low, high = (None if row.get(key) is None else Decimal(row[key]) for key in ("value", "from", "to"))
    return Figure(
        name=row["name"],
        what=row["what"],
        unit=row["unit"],
        use=row["use"],
        value=value,
        low=low,
        high=high,
        count=row.get("count"),
        of=row.get("of"),
        sources=_sources(row),
    )


def build_source(key: str, row: Table) -> Source:
    """One entry of sources.toml."""
    return Source(
        key=key,
        citation=row["citation"],
        known=row["known"],
        says=row["says"],
        doi=row.get("doi"),
        verdict=row.get("verdict"),
        note=row.get("note"),
    )
