"""The lesson on catheter sizing: every number it states, and its run from top to bottom."""

import math

import pytest

from cubital import calc, tables
from cubital.explore.sizing.drip import DripAndTime
from cubital.explore.sizing.fit import EndOnFit
from cubital.explore.sizing.flow import BoreAndFlow

from .stated import assert_written, pairs, unchecked, words_of

NAME = "40-catheter-sizing"
VEIN_MM = 2.6
ORDER_ML, ORDER_H = 100, 0.5
RATE_ML_PER_H = calc.infusion_rate_ml_per_h(ORDER_ML, time_h=ORDER_H)
LIMIT = tables.profile().ratio_limit
SEEN_PERCENT = {round(100 * row.ratio) for row in tables.ratio_evidence()}


def ratio_percent(gauge, vein_mm=VEIN_MM):
    outer = calc.gauge(gauge).outer_upper_mm
    return 100 * calc.catheter_to_vein_ratio(outer, vein_diameter_mm=vein_mm)


def flow(**state):
    start = {"inner_diameter_mm": 0.8, "length_mm": 32, "height_mm": 800, "fluid": "saline"}
    return BoreAndFlow(**(start | state)).show().numbers


def bore_change(ratio):
    return calc.flow_after_bore_change_ml_per_min(
        1, inner_diameter_mm=1, new_inner_diameter_mm=ratio
    )


def drops(factor):
    return calc.drip_rate_per_min(RATE_ML_PER_H, drop_factor_per_ml=factor)


def set_of(words):
    return next(row for row in tables.drop_factors() if row.words == words)


# written rounded up, so that the written vein still takes the catheter
smallest_written = (
    math.ceil(
        100 * calc.smallest_vein_diameter_mm(calc.gauge(20).outer_upper_mm, ratio_limit=LIMIT)
    )
    / 100
)

# cell: (words in it, ..., each with the numbers in it, in order, as the package computes them)
STATED = {
    "question": {
        "100 mL of an antibiotic in 30 minutes": (ORDER_ML, 60 * ORDER_H),
        "the forearm vein is 2.6 mm across": (VEIN_MM,),
    },
    "gauge-runs-backwards": {
        "24 gauge is 0.75 mm across": (24, calc.gauge(24).outer_upper_mm),
        "18 gauge is 1.35 mm": (18, calc.gauge(18).outer_upper_mm),
    },
    "gauge-is-a-range": {
        "from 0.950 to 1.149 mm outside": (
            calc.gauge(20).outer_lower_mm,
            calc.gauge(20).outer_upper_mm,
        ),
        "A 6 French tube is 2.0 mm across": (6, calc.outer_diameter_mm(6)),
        "1.149 mm, is 3.4 French": (
            calc.gauge(20).outer_upper_mm,
            calc.french_size(calc.gauge(20).outer_upper_mm),
        ),
    },
    "catheter-to-vein-ratio": {
        "1.149 ÷ 2.6 = 0.442, or 44.2 %": (
            calc.gauge(20).outer_upper_mm,
            VEIN_MM,
            ratio_percent(20) / 100,
            ratio_percent(20),
        ),
        "0.950 mm, the ratio would be 36.5 %": (
            calc.gauge(20).outer_lower_mm,
            100 * calc.gauge(20).outer_lower_mm / VEIN_MM,
        ),
        "turns out to be 2.5 mm": (2.5,),
        "the local limit of 45 %": (100 * LIMIT,),
    },
    "read-the-fit": {
        "at 2.5 mm it is 46.0 %, over the limit": (2.5, ratio_percent(20, 2.5)),
        "at 45 % is 2.56 mm": (100 * LIMIT, smallest_written),
        "for the 2.6 mm vein: 28.8 %": (VEIN_MM, ratio_percent(24)),
    },
    "diameter-is-not-area": {
        "45 % by diameter fills 20 %": (45, 100 * calc.area_share(0.45)),
    },
    "numbers-of-the-flow-left": {
        "45 % by diameter leaves 16 % of the flow": (45, 100 * calc.annulus_flow_share(0.45)),
    },
    "local-policy-decides": {"33 %, 41 % and 45 %": tuple(sorted(SEEN_PERCENT))},
    "measure-the-vein": {"2.6 mm wide *in the picture*": (VEIN_MM,)},
    "smallest-adequate": {
        "100 mL in 30 minutes: 3.3 mL/min": (
            ORDER_ML,
            60 * ORDER_H,
            ORDER_ML / (60 * ORDER_H),
        ),
    },
    "read-the-choice": {
        "a nominal 21 mL/min": (calc.gauge(24).nominal_flow_ml_per_min,),
        "takes up 28.8 % of the vein": (ratio_percent(24),),
        "also fits, at 44.2 %": (ratio_percent(20),),
        "must carry 80 mL/min": (80,),
    },
    "when-nothing-fits": {
        "gives 80 mL/min is 18 gauge, and it takes up 51.9 %": (80, 18, ratio_percent(18)),
    },
    "flow": {
        "a bore 10 % wider gives 46 % more": (10, 100 * (bore_change(1.1) - 1)),
        "the bore goes from 0.80 mm": (0.8,),
        "to 1.60 mm": (1.6,),
    },
    "read-the-flow": {
        "61.2 mL/min becomes 297 mL/min": (
            flow().flow_ml_per_min,
            flow(inner_diameter_mm=1.6).flow_ml_per_min,
        ),
        "4.8 times": (flow(inner_diameter_mm=1.6).flow_ml_per_min / flow().flow_ml_per_min,),
        "2,441 mL/min": (flow(inner_diameter_mm=1.6).poiseuille_flow_ml_per_min,),
        "back to 0.80 mm": (0.8,),
        "from 32 to 64 mm: 61.2 becomes 48.1 mL/min": (
            32,
            64,
            flow().flow_ml_per_min,
            flow(length_mm=64).flow_ml_per_min,
        ),
        "from 800 down to 400 mm: 39.1 mL/min": (
            800,
            400,
            flow(height_mm=400).flow_ml_per_min,
        ),
        "at 22 degrees: 25.3 mL/min": (
            BoreAndFlow().temperature_c,
            flow(fluid="blood").flow_ml_per_min,
        ),
    },
    "numbers-of-smooth-flow": {
        "Below about 2,000": (tables.constant("laminar-reynolds-limit").value,),
        "At 0.80 mm with saline it is 1,675": (0.8, flow().reynolds),
        "at 1.60 mm it is 4,058": (1.6, flow(inner_diameter_mm=1.6).reynolds),
    },
    "drip-rate": {
        "100 mL ÷ 0.5 h = 200 mL/h": (ORDER_ML, ORDER_H, RATE_ML_PER_H),
        "would give 3.3": (ORDER_ML / (60 * ORDER_H),),
        "mL/h × drop factor ÷ 60": (60,),
        "20 drops to 1 mL: 200 × 20 ÷ 60 = 66.7, so 67 drops/min": (
            set_of("standard set").drop_factor_per_ml,
            1,
            RATE_ML_PER_H,
            20,
            60,
            drops(20),
            drops(20),
        ),
        "60 drops to 1 mL": (set_of("microdrip set").drop_factor_per_ml, 1),
    },
    "read-the-drip": {
        "200 drops/min": (drops(60),),
        "With 60 drops to 1 mL": (set_of("microdrip set").drop_factor_per_ml, 1),
        "1000 mL at 125 mL/h lasts 8 hours": (
            1000,
            125,
            calc.infusion_time_h(1000, rate_ml_per_h=125),
        ),
        "from 18.2 to 22.2 drops for 1 mL": (
            set_of("standard set").low,
            set_of("standard set").high,
            1,
        ),
    },
    "what-we-have-done": {"33 %, 41 % and 45 %": tuple(sorted(SEEN_PERCENT))},
}


@pytest.fixture(scope="module")
def words(lessons):
    return words_of(lessons[NAME])


@pytest.mark.parametrize(("cell", "stated"), pairs(STATED))
def test_stated_numbers_are_in_the_lesson_and_are_what_the_package_computes(words, cell, stated):
    assert_written(words[cell], stated, STATED[cell][stated])


def test_no_number_in_the_prose_goes_unchecked(lessons):
    assert unchecked(lessons[NAME], STATED) == {}


def test_numbers_in_words_are_what_the_package_computes(words):
    assert "a bore twice as wide sixteen times as much" in words["flow"]
    assert bore_change(2) == 16
    assert "not sixteen times but" in words["read-the-flow"]
    assert "six times what is needed" in words["read-the-choice"]
    assert calc.gauge(24).nominal_flow_ml_per_min // (ORDER_ML / (60 * ORDER_H)) == 6
    assert "half as much room again" in words["read-the-choice"]
    assert ratio_percent(20) / ratio_percent(24) == pytest.approx(1.5, abs=0.05)
    assert "A tenth of a millimetre decided it" in words["read-the-fit"]
    assert ratio_percent(20, 2.6) < 100 * LIMIT < ratio_percent(20, 2.5)
    assert "three times the outer diameter" in words["gauge-is-a-range"]
    assert calc.french_size(1) == 3
    assert "below all three limits" in words["read-the-choice"]
    assert ratio_percent(24) < min(SEEN_PERCENT)


def test_colours_in_the_prose_are_the_tables(words):
    assert "20 gauge is pink, 22 gauge is deep blue" in words["gauge-is-a-range"]
    assert (calc.gauge(20).hub_colour, calc.gauge(22).hub_colour) == ("pink", "deep blue")
    assert "a pink needle is 18 gauge" in words["colours-are-two-codes"]
    assert [row.gauge for row in tables.needle_tubes() if row.hub_colour == "pink"] == [18]


def test_the_answers_in_the_prose_are_the_packages(words):
    def sizing(flow_needed, measured_by="ultrasound"):
        adults = [row.gauge for row in tables.joint_limits() if row.age_group == "adult"]
        return calc.size_catheter(
            flow_needed_ml_per_min=flow_needed,
            vein_diameter_mm=VEIN_MM,
            measured_by=measured_by,
            ratio_limit=LIMIT,
            allowed_gauges=adults,
        )

    antibiotic = sizing(ORDER_ML / (60 * ORDER_H))
    assert (antibiotic.gauge, antibiotic.verdict) == (24, "fits")
    assert "24 gauge, not the 20 gauge that was offered" in words["what-we-have-done"]
    faster = sizing(80)
    assert (faster.gauge, faster.verdict) == (18, "too large for this vein")
    assert "In this vein you cannot have both" in words["when-nothing-fits"]
    assert sizing(3, measured_by="picture").verdict == "cannot be sized"
    assert "*cannot be sized*" in words["cannot-be-sized"]


def test_headings_are_the_ones_that_feedback_points_to(words):
    headings = {
        "gauge-french-millimetres": "Gauge, millimetres and French",
        "catheter-to-vein-ratio": "Catheter and vein: the ratio",
        "measure-the-vein": "Measure the vein, do not read it off the picture",
        "smallest-adequate": "The smallest catheter that does the job",
        "flow": "What sets the flow",
        "drip-rate": "Drops and hours",
    }
    for cell, heading in headings.items():
        assert words[cell].startswith(f"## {heading} ")
    sections = {row.section for row in tables.curriculum().objectives if row.lesson == NAME}
    assert sections
    assert sections <= set(headings.values())


def test_lesson_shows_its_explorers_tables_and_figures(ran):
    shown = {
        cell.id: output.data
        for cell in ran(NAME).cells
        if cell.cell_type == "code"
        for output in cell.outputs
    }
    starts = {
        "end-on-fit": EndOnFit(gauge=20, vein_diameter_mm=2.6),
        "bore-and-flow": BoreAndFlow(
            inner_diameter_mm=0.8, length_mm=32, height_mm=800, fluid="saline"
        ),
        "drops-and-hours": DripAndTime(volume_ml=100, time_h=0.5, drop_factor_per_ml=20),
    }
    for cell, explorer in starts.items():
        assert "application/vnd.jupyter.widget-view+json" in shown[cell]
        assert shown[cell]["text/plain"] == explorer.picture["alt"]
        assert '<img alt="' in shown[cell]["text/html"]
    assert '<img alt="8 catheters end on' in shown["gauges-end-on"]["text/html"]
    for cell in ("gauge-bands", "catheter-is-not-needle", "what-the-limits-rest-on"):
        assert "<caption" in shown[cell]["text/html"]
    assert "Answer: cannot be sized." in shown["from-the-picture-alone"]["text/html"]
    assert "Answer: 24 gauge, fits." in shown["the-antibiotic"]["text/html"]
