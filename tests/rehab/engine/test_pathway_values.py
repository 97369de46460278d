"""What the shipped pathways say, typed in beside where it comes from.

Most of it is a local default or common practice without a source (sources.toml says which);
it is typed in here so that no number can change unnoticed. Published figures name their source.
"""

from datetime import time
from decimal import Decimal

import pytest

from rehab.engine.facts import Authoriser, OpenGrade, Stage, TreatmentKind
from rehab.engine.pathway import FilmReadingRules, LowScore, ScalePractice, Window
from rehab.engine.pathway_files import load_figures, load_pathways, load_sources

CAST, NAIL, PLATE = TreatmentKind.LONG_LEG_CAST, TreatmentKind.INTRAMEDULLARY_NAIL, TreatmentKind.PLATE_AND_SCREWS
SURGEON, PHYSIO = Authoriser.SURGEON, Authoriser.PHYSIOTHERAPIST
SHARED = load_pathways()[CAST].shared


def timetable(visits):
    return [(v.code, v.target_day, v.earliest_day, v.latest_day, v.with_film, v.missed_deadline_days) for v in visits]


def test_the_cast_is_seen_within_days_then_weekly_for_four_weeks():
    """Weekly films to week 4: adult teaching, from memory; long leg cast 6 weeks: AO Surgery Reference, read."""
    assert timetable(load_pathways()[CAST].visits) == [
        ("C1", 3, 1, 3, False, 3),
        ("C2", 7, 6, 9, True, 3),
        ("C3", 14, 12, 16, True, 3),
        ("C4", 21, 19, 23, True, 3),
        ("C5", 28, 26, 30, True, 3),
        ("C6", 42, 38, 46, True, 7),
        ("C7", 56, 52, 60, True, 7),
        ("C8", 84, 77, 91, True, 7),
        ("C9", 112, 105, 119, True, 7),
        ("C10", 168, 161, 175, True, 7),
        ("C11", 252, 245, 259, True, 7),
        ("C12", 364, 350, 378, False, 7),
    ]


def test_the_nail_is_seen_at_2_6_12_and_24_weeks_without_a_routine_film_at_2():
    """Visits at 2, 6, 12, 24 weeks and no film before 14 weeks: Nair 2023, 10.5435/JAAOSGlobal-D-23-00069, read."""
    assert timetable(load_pathways()[NAIL].visits) == [
        ("N1", 14, 10, 16, False, 3),
        ("N2", 42, 38, 46, True, 7),
        ("N3", 84, 77, 91, True, 7),
        ("N4", 168, 161, 175, True, 7),
        ("N5", 252, 245, 259, True, 7),
        ("N6", 364, 350, 378, False, 7),
    ]


def test_the_plate_is_seen_at_2_6_12_16_and_24_weeks():
    """Common practice; full load at a mean 16.64 weeks in a series of 15 plates (msjonline 2862, read)."""
    assert timetable(load_pathways()[PLATE].visits) == [
        ("P1", 14, 10, 16, False, 3),
        ("P2", 42, 38, 46, True, 7),
        ("P3", 84, 77, 91, True, 7),
        ("P4", 112, 105, 119, True, 7),
        ("P5", 168, 161, 175, True, 7),
        ("P6", 252, 245, 259, True, 7),
        ("P7", 364, 350, 378, False, 7),
    ]


def test_an_open_wound_is_looked_at_in_every_treatment_and_grade_iii_more_often():
    """Common practice, no source."""
    iii = {OpenGrade.IIIA, OpenGrade.IIIB, OpenGrade.IIIC}
    every = iii | {OpenGrade.I, OpenGrade.II}
    rules = {rule.visit.code: rule for rule in load_pathways()[NAIL].open_visits}

    assert timetable(rule.visit for rule in rules.values()) == [
        ("O1", 7, 5, 9, False, 3),
        ("O2", 21, 19, 23, False, 3),
        ("O3", 28, 26, 30, False, 3),
        ("N3b", 112, 105, 119, True, 7),
    ]
    assert {code: rule.grades for code, rule in rules.items()} == {"O1": every, "O2": iii, "O3": every, "N3b": iii}
    assert {code: rule.treatments for code, rule in rules.items()} == {
        "O1": {CAST, NAIL, PLATE},
        "O2": {CAST, NAIL, PLATE},
        "O3": {CAST, NAIL, PLATE},
        "N3b": {NAIL},
    }


@pytest.mark.parametrize(
    ("kind", "ward", "decides", "starred"),
    [(CAST, "C0", "C10", "C11"), (NAIL, "N0", "N4", "N5"), (PLATE, "P0", "P5", "P6")],
)
def test_week_24_decides_and_week_36_is_only_for_the_not_yet_united(kind, ward, decides, starred):
    pathway = load_pathways()[kind]

    assert pathway.ward_visit == ward
    assert [visit.code for visit in pathway.visits if visit.decides_delayed_union] == [decides]
    assert [visit.code for visit in pathway.visits if visit.only_if_not_united] == [starred]


def ladder(stages):
    return [(step.stage.value, step.gate_visit, {bar(gate) for gate in step.gates}) for step in stages]


def bar(gate):
    bars = {"at_most": gate.at_most, "at_least": gate.at_least, "equals": gate.equals}
    return gate.finding + "".join(f" {name} {value}" for name, value in bars.items() if value is not None)


CAST_FWB = ("FWB", "C8", {"union_confirmed equals True"})
NAIL_FWB = ("FWB", "N3", {"gait_without_limp equals True", "walking_pain at_most 3"})
PLATE_FWB = ("FWB", "P4", {"union_confirmed equals True", "gait_without_limp equals True"})


def test_the_ladder_of_the_cast():
    """Local default: more cautious than the cast-or-nail study, 10.1007/s10195-016-0429-4, which loaded at once."""
    pathway = load_pathways()[CAST]

    assert ladder(pathway.stages) == [
        ("NWB", "C0", set()),
        ("TTWB", "C5", {"films_in_limits at_least 2", "rest_pain at_most 3", "cast_problem equals False"}),
        ("PWB50", "C6", {"callus_cortices at_least 1", "films_in_limits at_least 1", "stress_pain at_most 3"}),
        ("WBAT", "C7", {"callus_cortices at_least 2", "films_in_limits at_least 1", "walking_pain at_most 4"}),
        CAST_FWB,
    ]
    assert ladder(pathway.stages_without_default) == [("NWB", "C0", set()), CAST_FWB]


def test_the_ladder_of_the_nail():
    """Loading at once for 42-A and 42-B: Gross 2016, randomised, 10.1097/BOT.0000000000000598, read."""
    pathway = load_pathways()[NAIL]

    assert ladder(pathway.stages) == [("WBAT", "N0", {"fixation_stable equals True"}), NAIL_FWB]
    assert ladder(pathway.stages_without_default) == [("NWB", "N0", set()), NAIL_FWB]
    assert pathway.no_default_classes == {"C"}


def test_the_ladder_of_the_plate():
    """Touch load for 6 to 8 weeks, then by callus: AO aftercare, from memory."""
    pathway = load_pathways()[PLATE]

    assert ladder(pathway.stages) == [
        ("TTWB", "P0", {"fixation_stable equals True"}),
        ("PWB50", "P2", {"implants_unchanged equals True", "films_in_limits at_least 1", "touch_pain at_most 3"}),
        (
            "WBAT",
            "P3",
            {"callus_or_fading_cortices at_least 2", "implants_unchanged equals True", "walking_pain at_most 4"},
        ),
        PLATE_FWB,
    ]
    assert ladder(pathway.stages_without_default) == [("NWB", "P0", set()), PLATE_FWB]


def test_a_physiotherapist_may_order_only_the_last_step_and_in_a_signed_cast_pathway_comfort_loading():
    """Local default: who may order what."""
    may = {
        (kind, step.stage): (step.authorised_by, step.authorised_when_signed)
        for kind, pathway in load_pathways().items()
        for step in pathway.stages
        if PHYSIO in (*step.authorised_by, *step.authorised_when_signed)
    }

    assert may == {
        (CAST, Stage.WBAT): ((SURGEON,), (PHYSIO,)),
        (NAIL, Stage.FWB): ((SURGEON, PHYSIO), ()),
        (PLATE, Stage.FWB): ((SURGEON, PHYSIO), ()),
    }


def test_without_a_default_only_a_surgeon_orders():
    rows = [step for pathway in load_pathways().values() for step in pathway.stages_without_default]

    assert {step.authorised_by for step in rows} == {(SURGEON,)}
    assert load_pathways()[NAIL].no_default_grades == {OpenGrade.IIIB, OpenGrade.IIIC}


def test_a_gate_not_met_is_looked_at_again_except_the_last_step():
    """Not being united at week 12 is usual, and the next table visit follows anyway (local default)."""
    for pathway in load_pathways().values():
        reviewed = {step.stage for step in pathway.stages if step.reviewed_if_not_met}
        assert reviewed == {step.stage for step in pathway.stages} - {Stage.NWB, Stage.FWB}


def test_limits_of_alignment():
    """Commonest published set (5 and 10 degrees, 10 mm, half in contact); bands of change are local."""
    limits = SHARED.alignment

    assert (limits.coronal_degrees, limits.sagittal_degrees, limits.rotation_degrees) == (5, 10, 10)
    assert (limits.shortening_mm, limits.contact_percent) == (10, 50)
    assert (limits.changed_degrees, limits.over_change_degrees) == (3, 5)
    assert (limits.changed_shortening_mm, limits.over_shortening_mm) == (3, 5)
    assert limits.new_baseline_within_days == 1
    assert SHARED.film_reading == FilmReadingRules(1, 1, 1)


def test_union_delayed_union_and_non_union():
    """RUST 10: two series of nails; 24 weeks: AO; 9 and 3 months: the United States regulator, StatPearls NBK554385."""
    union = SHARED.union

    assert (union.rust_at_least, union.mrust_at_least, union.bridged_cortices) == (10, 13, 3)
    assert (union.rust_bridged_from, union.mrust_bridged_from, union.callus_from) == (3, 3, 2)
    assert (union.delayed_from_healing_day, union.nonunion_months, union.no_progress_months) == (24 * 7, 9, 3)
    assert (union.film_and_test_within_days, union.nonunion_film_latest_days, union.pain_rise) == (14, 7, 2)
    assert union.low_scores == (LowScore("slow_start", 38, 76, 5), LowScore("low_score", 77, 167, 6))


def test_the_three_terms_of_the_united_kingdom_are_the_only_ones_printed():
    """Trompeter and Costa, Bone Joint J 2024;106-B:1016, 10.1302/0301-620X.106B.BJJ-2024-0371.R1, read."""
    printed = {stage.value: words.printed for stage, words in SHARED.stages.items()}

    assert printed == {
        "NWB": "Non-weightbearing",
        "TTWB": "Limited weightbearing (foot touch for balance)",
        "PWB25": "Limited weightbearing",
        "PWB50": "Limited weightbearing",
        "PWB75": "Limited weightbearing",
        "WBAT": "Unrestricted weightbearing (as comfort allows)",
        "FWB": "Unrestricted weightbearing (no aids needed)",
    }
    assert not any("%" in words for words in printed.values())


def test_loads_fit_what_most_united_kingdom_staff_mean():
    """Raza 2022, 707 replies: none is 0 (97 %), part is 50 (80 %), touch is 10 or 20 (89 %). Read."""
    percent = {stage.value: words.percent for stage, words in SHARED.stages.items()}

    assert percent == {"NWB": 0, "TTWB": 10, "PWB25": 25, "PWB50": 50, "PWB75": 75, "WBAT": None, "FWB": None}


def test_weights_and_practice_on_a_scale():
    """Local defaults: no published tolerance was found."""
    weights = SHARED.weights

    assert (weights.min_tenths_kg, weights.max_tenths_kg) == (300, 2500)
    assert (weights.confirm_below_tenths_kg, weights.confirm_above_tenths_kg, weights.fresh_days) == (400, 1600, 90)
    assert SHARED.scale_practice == ScalePractice(5, 5, 10, 10, 15, 20, 20)


def test_extra_visits_reviews_and_reminders():
    """72 h consultant review: BOA, read. 42 days: NICE NG89, from memory. 24 and 72 h: disputed."""
    assert SHARED.gate_review == Window(14, 12, 16)
    assert SHARED.extra_film == Window(7, 5, 9)
    assert (SHARED.gate_review_deadline_days, SHARED.extra_film_deadline_days, SHARED.nonunion_film_deadline_days) == (
        7,
        3,
        7,
    )
    assert (SHARED.min_days_in_stage, SHARED.no_place_within_days) == (10, 120)
    assert (SHARED.clot_review_first_day, SHARED.clot_review_every_days) == (42, 14)
    assert SHARED.consultant_review_hours == 72
    assert (SHARED.antibiotic_hours_after_closure, SHARED.antibiotic_hours_after_injury) == (24, 72)
    assert (SHARED.reminders.first_days_before, SHARED.reminders.first_at, SHARED.reminders.second_at) == (
        7,
        time(10),
        time(10),
    )
    assert (SHARED.bone_segment, SHARED.adult_age) == ("42", 18)


def test_ao_letters_and_the_angle_between_oblique_and_transverse():
    """AO Surgery Reference, adult tibial shaft, definition pages: 42A2 from 30 degrees, 42A3 below. Read."""
    figure = load_figures()["oblique_from"]

    assert (figure.value, figure.unit) == (30, "degrees")
    assert "perpendicular to the long axis" in figure.what
    assert "AO Surgery Reference" in load_sources()[figure.sources[0]].citation


@pytest.mark.parametrize(
    ("name", "value", "source"),
    [
        ("union_nail_weightbearing", "22.1", "gross-2016"),  # J Orthop Trauma 2016;30:370
        ("union_nail_no_weight", "21.3", "gross-2016"),
        ("union_cast_displaced", "26", "bone-1997"),  # J Bone Joint Surg Am 1997;79:1336
        ("union_nail_displaced", "18", "bone-1997"),
        ("union_brace_distal", "16.6", "sarmiento-2004"),  # Clin Orthop 2004;428:261
        ("union_open_grade_IIIB", "39", "open-reamed-nail-1997"),  # PubMed 9170379
        ("compartment_syndrome", "7.73", "shadgan-2015"),  # 10.1007/s10195-014-0330-y, 87 of 1125
        ("lost_to_follow_up", "24.0", "lost-to-follow-up-review"),  # 10.60118/001c.33879, 1728 of 7188
        ("missed_visits", "7.72", "no-show-2023"),  # Injury 2023, 1627 of 21,066
        ("films_that_changed_care", "1.5", "nair-2023"),  # 9 of 617
        ("ankle_up_3_months_cast", "7", "cast-or-nail-study"),  # 10.1007/s10195-016-0429-4
        ("ankle_up_3_months_nail", "12", "cast-or-nail-study"),
        ("heel_raises_men", "24", "heel-raise"),  # 10.1016/j.physio.2017.03.002
        ("lefs_change_that_matters", "9", "binkley-1999"),  # Phys Ther 1999;79:371
        ("lefs_healthy", "77", "lefs-norm-2017"),  # 10.1080/17453674.2017.1309886
        ("antibiotic_within", "60", "boast-open-2017"),  # from the injury, not from arrival
        ("debridement_high_energy_within", "12", "boast-open-quoted"),
        ("debridement_low_energy_within", "24", "boast-open-quoted"),
        ("soft_tissue_cover_within", "72", "boast-open-2017"),
    ],
)
def test_published_figures_are_as_published(name, value, source):
    figure = load_figures()[name]

    assert figure.value == Decimal(value)
    assert source in figure.sources
