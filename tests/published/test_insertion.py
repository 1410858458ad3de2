"""Length in the vein, angles, and what studies saw of catheters in veins."""

import numpy as np
import pytest
from scipy.optimize import brentq
from statsmodels.stats.proportion import proportion_confint

from cubital import calc, tables
from cubital.tables import insertion as rows

# Worked by hand: track = depth / sin(angle); length, depth, angle, track, in the vein, per cent.
WORKED = [
    (32, 4, 30, 8.0, 24.0, 75.0),
    (45, 8, 30, 16.0, 29.0, 64.4),
    (45, 8, 45, 11.31, 33.69, 74.9),
    (48, 12, 30, 24.0, 24.0, 50.0),
    (25, 2, 15, 7.73, 17.27, 69.1),
]


@pytest.mark.parametrize("case", WORKED)
def test_length_in_the_vein(case):
    length, depth, angle, track, inside, percent = case
    given = {"near_wall_depth_mm": depth, "insertion_angle_deg": angle}
    assert calc.track_length_mm(depth, insertion_angle_deg=angle) == pytest.approx(track, abs=0.005)
    assert calc.length_in_vein_mm(length, **given) == pytest.approx(inside, abs=0.005)
    assert 100 * calc.fraction_in_vein(length, **given) == pytest.approx(percent, abs=0.05)


@pytest.mark.parametrize(("length", "depth", "fraction"), [(32, 4, 0.65), (48, 12, 0.5)])
def test_the_angle_is_the_root_that_a_solver_finds(length, depth, fraction):
    """A second way: bisection on the sum of Pythagoras, without the inverse sine."""

    def too_much(run):
        track = np.hypot(run, depth)
        return (length - track) / length - fraction

    run = brentq(too_much, 0, length)
    angle = calc.angle_for_fraction_deg(fraction, length_mm=length, near_wall_depth_mm=depth)
    assert angle == pytest.approx(np.degrees(np.arctan2(depth, run)))


def test_the_reach_holds_a_simulated_needle_and_is_met_at_its_ends():
    """A second way: draw depth and diameter within their errors, walk the needle in small steps."""
    generator = np.random.default_rng(20310304)
    depth = 4 + generator.uniform(-0.5, 0.5, 4000)
    diameter = 3 + generator.uniform(-0.3, 0.3, 4000)
    steps = np.arange(0, 20, 0.01)
    height = steps * np.cos(np.pi / 2 - np.radians(25))
    near = steps[(height[None] < depth[:, None]).sum(axis=1)]
    far = steps[(height[None] < (depth + diameter)[:, None]).sum(axis=1)]
    reach = calc.reach_along_needle(
        4, vein_diameter_mm=3, insertion_angle_deg=25, depth_error_mm=0.5, diameter_error_mm=0.3
    )
    for seen, span in ((near, reach.near_wall), (far, reach.far_wall)):
        assert seen.min() == pytest.approx(span.low, abs=0.15)
        assert seen.max() == pytest.approx(span.high, abs=0.15)
        assert seen.min() >= span.low - 0.01
        assert seen.max() <= span.high + 0.02


# pandurangadu-2018 (abstract): all failed below 30 % in the vein, 32.4 % at 30 to 64 %, none from
# 65 %; 29 of 86 failed, 33.7 %; hazard ratio 0.71 (0.60 to 0.83), so 29 % less for each 5 % more.
@pytest.mark.parametrize(
    ("fraction", "failed"),
    [(0, 1), (0.299, 1), (0.30, 0.324), (0.64, 0.324), (0.649, 0.324), (0.65, 0), (1, 0)],
)
def test_pandurangadus_bands(fraction, failed):
    band = calc.survival_band(fraction, measure="fraction")
    assert (band.failed_share, band.source, band.patients) == (failed, "pandurangadu-2018", 86)


def test_pandurangadus_failures_and_hazard():
    low, high = proportion_confint(29, 86, method="wilson")
    assert low < 0.337 < high
    assert pytest.approx(0.337, abs=5e-4) == 29 / 86
    hazard = calc.failure_hazard_ratio(0.55, reference_fraction=0.50)
    assert 1 - hazard == pytest.approx(0.29)
    constant = tables.constant("hazard-ratio-per-step")
    assert (constant.low, constant.high) == (0.60, 0.83)


# fields-2012 (abstract): survival at 48 h 1.00 below 0.4 cm, 0.62 (0.51 to 0.71) at 0.40 to
# 1.19 cm, 0.29 (0.11 to 0.51) from 1.2 cm; 20G, 48 mm.
@pytest.mark.parametrize(
    ("depth", "survived", "low", "high"),
    [(3.9, 1, None, None), (4, 0.62, 0.51, 0.71), (11.9, 0.62, 0.51, 0.71), (12, 0.29, 0.11, 0.51)],
)
def test_fieldss_depths(depth, survived, low, high):
    band = calc.survival_band(depth, measure="depth")
    assert 1 - band.failed_share == pytest.approx(survived)
    if low is not None:
        assert (1 - band.failed_high, 1 - band.failed_low) == pytest.approx((low, high))


def test_a_deeper_vein_of_fieldss_leaves_less_of_his_catheter_in_it():
    """The 48 mm catheter at 30 degrees falls out of Pandurangadu's best band in his worst one."""
    best, worst = (
        calc.fraction_in_vein(48, near_wall_depth_mm=d, insertion_angle_deg=30) for d in (4, 12)
    )
    assert calc.survival_band(best, measure="fraction").failed_share == 0
    assert calc.survival_band(worst, measure="fraction").failed_share > 0


def test_bahls_length_in_the_vein():
    """bahl-2022 (abstract): more than 2.75 cm in the vein, hazard ratio 0.58 (0.37 to 0.90)."""
    assert calc.survival_band(27.4, measure="length").high == 27.5
    longer = calc.survival_band(27.6, measure="length")
    assert "0.58 (0.37 to 0.90)" in longer.standing


def test_every_study_says_how_it_stands():
    for row in rows.survival():
        assert "One hospital" in row.standing
        assert row.seen == "abstract"


def test_a_measured_puncture_reaches_about_the_depth_of_an_elbow_vein():
    """fujii-2013 (abstract): 2.5 cm of needle in at a mean of 15.2 degrees; 64 venepunctures.

    The tip then lies 6.6 mm deep: between the near wall of a vein 3 mm deep and the far wall of
    one of 5 mm at 4 mm.
    """
    tip_mm = 25 * np.sin(np.radians(15.2))
    assert calc.track_length_mm(tip_mm, insertion_angle_deg=15.2) == pytest.approx(25)
    far = calc.depth_to_wall_mm(4, vein_diameter_mm=5, wall="far")
    assert 3 < tip_mm < far
