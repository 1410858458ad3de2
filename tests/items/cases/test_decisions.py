"""The cases of the eight topics: each holds to the form, its lesson, its sources and the sums."""

import json
from importlib import import_module
from pathlib import Path

import pytest

from cubital import calc, tables
from cubital.explore.complications.limb_swelling import forearm_mm
from cubital.handin.mending import where_to_read
from cubital.items.cases import short_lessons
from cubital.items.cases.case import Case

LESSONS = {
    "light": "10-light-and-depth",
    "focus": "20-focal-geometry",
    "reading": "30-reading-the-vein",
    "sizing": "40-catheter-sizing",
    "reaching": "50-reaching-the-vein",
    "complications": "60-complications",
    "readiness": "70-readiness",
    "patient": "80-one-patient",
}
MODULES = Path(__file__).parents[3] / "modules"
LIMIT = tables.profile().ratio_limit


def cases(topic: str) -> tuple[Case, ...]:
    return import_module(f"cubital.items.cases.{topic}").CASES


ALL = {case.key: case for topic in LESSONS for case in cases(topic)}


@pytest.mark.parametrize("topic", LESSONS)
def test_a_topic_has_four_cases_without_fault(topic):
    assert len(cases(topic)) == 4
    assert [fault for case in cases(topic) for fault in case.faults()] == []


@pytest.mark.parametrize("topic", LESSONS)
def test_a_case_belongs_to_a_section_of_its_lesson(topic):
    page = json.loads((MODULES / f"{LESSONS[topic]}.ipynb").read_text(encoding="utf-8"))
    text = ["".join(c["source"]) for c in page["cells"] if c["cell_type"] == "markdown"]
    headings = {line[3:] for part in text for line in part.splitlines() if line.startswith("## ")}
    assert {case.section for case in cases(topic)} <= headings


def test_no_two_cases_share_a_key_or_a_story():
    assert len(ALL) == len({case.story for case in ALL.values()}) == 4 * len(LESSONS)


def test_sources_are_in_the_bibliography():
    assert {key for case in ALL.values() for key in case.sources} <= set(tables.bibliography())


@pytest.mark.parametrize("key", ALL)
def test_a_story_is_short_and_its_options_are_of_about_one_length(key):
    case = ALL[key]
    assert 40 <= len(case.story.split()) <= 80
    for options in (case.ways, case.reasons):
        lengths = [len(option.text) for option in options]
        assert max(lengths) <= 1.3 * min(lengths)


@pytest.mark.parametrize("group", ["ways", "reasons"])
def test_neither_place_nor_length_gives_the_right_option_away(group):
    places, longest, shortest = [], 0, 0
    for case in ALL.values():
        options = getattr(case, group)
        lengths = [len(option.text) for option in options]
        place = [option.right for option in options].index(True)
        places.append(place)
        longest += lengths[place] == max(lengths)
        shortest += lengths[place] == min(lengths)
    assert [places.count(place) for place in range(4)] == [8, 8, 8, 8]
    assert max(longest, shortest) <= 16


SHORT = {
    case.key: (case, lesson)
    for lesson, listed in (
        (short_lessons.BLOOD_LESSON, short_lessons.BLOOD),
        (short_lessons.CHILDREN_LESSON, short_lessons.CHILDREN),
    )
    for case in listed
}


@pytest.mark.parametrize("key", SHORT)
def test_an_optional_case_of_a_short_lesson_keeps_to_the_form_and_its_lesson(key):
    case, lesson = SHORT[key]
    assert [*case.faults()] == []
    page = json.loads((MODULES / f"{lesson}.ipynb").read_text(encoding="utf-8"))
    text = "\n".join("".join(c["source"]) for c in page["cells"])
    assert f"## {case.section}\n" in text
    assert set(case.sources) <= set(tables.bibliography())
    assert all(f"[{source}]" in text or f", {source}]" in text for source in case.sources)
    assert 40 <= len(case.story.split()) <= 80
    for options in (case.ways, case.reasons):
        lengths = [len(option.text) for option in options]
        assert max(lengths) <= 1.3 * min(lengths)
    assert where_to_read(key, case.section).endswith(
        {"84-blood-sampling": "Blood sampling", "86-children": "Children"}[lesson]
    )


@pytest.mark.parametrize("group", ["ways", "reasons"])
def test_neither_place_nor_length_gives_the_right_option_of_a_short_lesson_away(group):
    groups = [getattr(case, group) for case, _ in SHORT.values()]
    places = [[option.right for option in options].index(True) for options in groups]
    assert max(places.count(place) for place in range(4)) <= 2
    for extreme in (min, max):
        lengths = [[len(option.text) for option in options] for options in groups]
        told = [one[place] == extreme(one) for one, place in zip(lengths, places, strict=True)]
        assert sum(told) <= 3


# ------------------------------------------------------------------ what decides, worked out anew


def takes_up(gauge: int, vein_mm: float) -> float:
    return 100 * calc.gauge(gauge).outer_upper_mm / vein_mm


def lies_in(length_mm: float, depth_mm: float, angle_deg: float) -> float:
    return 100 * calc.fraction_in_vein(
        length_mm, near_wall_depth_mm=depth_mm, insertion_angle_deg=angle_deg
    )


def picture_over_room(width_mm: float, room_lx: float) -> float:
    lit = calc.picture_illuminance_lx(
        tables.profile().light_output_lm,
        picture_width_mm=width_mm,
        picture_height_mm=0.75 * width_mm,
    )
    return calc.picture_contrast(lit, room_lx=room_lx).weber


def blood_by_22_gauge() -> float:
    row, blood = calc.gauge(22), calc.fluid("blood", temperature_c=22)
    head = calc.hydrostatic_pressure_pa(800, density_kg_per_m3=blood.density_kg_per_m3)
    return calc.catheter_flow_ml_per_min(
        row.inner_mm,
        length_mm=row.lengths_mm[0],
        pressure_pa=head,
        viscosity_mpa_s=blood.viscosity_mpa_s,
        density_kg_per_m3=blood.density_kg_per_m3,
    )


def share_of_an_infants_forearm() -> float:
    girth, length = forearm_mm("infant")
    leaked = calc.infiltrated_volume_ml(18, time_h=20 / 60)
    return 100 * calc.limb_volume_share(leaked, girth_mm=girth, limb_length_mm=length)


SHIFT = {"baseline_mm": 24, "reference_distance_mm": 220}
SUMS = [
    ("sizing-slow-order", "{:.1f} mL a minute", lambda: 100 / 30),
    ("sizing-slow-order", "{:.1f} % of the forearm vein", lambda: takes_up(24, 1.9)),
    ("sizing-slow-order", "the 22 gauge {:.1f} %", lambda: takes_up(22, 1.9)),
    ("sizing-fast-fluid", "{:.1f} % of the elbow vein", lambda: takes_up(18, 3.4)),
    ("sizing-fast-fluid", "{:.1f} % of the forearm vein", lambda: takes_up(18, 2.6)),
    ("sizing-unmeasured", "a vein of {:.1f} mm", lambda: takes_up(18, 100 * LIMIT)),
    ("sizing-blood-ordered", "are {:.1f} mL a minute", lambda: 300 / 180),
    ("sizing-blood-ordered", "gives {:.1f} mL a minute", blood_by_22_gauge),
    ("reach-wide-or-near", "{:.1f} % of the 32 mm catheter", lambda: lies_in(32, 6, 25)),
    ("reach-wide-or-near", "{:.1f} % in vein B", lambda: lies_in(32, 3.5, 25)),
    ("reach-wide-or-near", "{:.1f} % of vein B", lambda: takes_up(20, 2.7)),
    ("reach-wide-or-near", "{:.1f} % of vein A", lambda: takes_up(20, 3.4)),
    (
        "reach-blood-and-smart",
        "near wall is {:.1f} mm",
        lambda: calc.track_length_mm(3, insertion_angle_deg=25),
    ),
    (
        "reach-blood-and-smart",
        "{:.1f} mm along the needle",
        lambda: calc.track_length_mm(5.8, insertion_angle_deg=25),
    ),
    ("light-empty-picture", "takes up {:.1f} %", lambda: takes_up(22, 2.6)),
    ("light-near-the-limit", "{:.1f} % of the 32 mm catheter", lambda: lies_in(32, 6.5, 30)),
    ("light-near-the-limit", "it would be {:.1f} %", lambda: lies_in(48, 6.5, 30)),
    ("light-two-lines", "{:.1f} % of the pale vein", lambda: takes_up(22, 2.3)),
    ("read-failing-kidneys", "22 gauge at {:.1f} %", lambda: takes_up(22, 2.4)),
    ("read-fork-at-twenty", "{:.1f} mm of the 25 mm", lambda: 0.25 * lies_in(25, 3, 25)),
    ("read-fork-at-twenty", "band A, {:.1f} %", lambda: lies_in(25, 3, 25)),
    ("read-fork-at-twenty", "it would be {:.1f} mm", lambda: 0.32 * lies_in(32, 3, 25)),
    ("focus-two-mm-beside", "by {:.1f} mm", lambda: calc.registration_error_mm(18, **SHIFT)),
    ("focus-lamp-that-stays", "{:.2f} times the room's", lambda: picture_over_room(192, 1500)),
    ("focus-lamp-that-stays", "lx, {:.2f} times.", lambda: picture_over_room(96, 1500)),
    ("comp-twenty-minutes-left", "{:.1f} % of an infant's", share_of_an_infants_forearm),
    ("ready-half-charge", "= {:.1f} h", lambda: 0.5 * tables.profile().run_time_h / 0.25),
    ("patient-second-attempt", "{:.1f} % of the vein", lambda: takes_up(22, 3.4)),
]


@pytest.mark.parametrize(("key", "words", "value"), SUMS)
def test_the_number_that_decides_is_what_the_course_works_out(key, words, value):
    assert words.format(value()) in ALL[key].because
