"""Swelling and haematoma against a second way: no published figures were found for them.

All numbers of these models are a teaching assumption, and lessons show them so.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from cubital import calc, tables

ASSUMED = ("swelling-height-share", "leak-per-mmhg", "tissue-give", "distension-time")


@pytest.mark.parametrize("key", ASSUMED)
def test_what_no_source_gives_is_marked_as_an_assumption(key):
    assert tables.constant(key).kind == "teaching assumption"


@pytest.mark.parametrize(("volume", "share"), [(10, 0.15), (2, 0.3), (150, 0.05)])
def test_discs_stacked_to_a_dome_hold_the_volume(volume, share):
    width = calc.swelling_diameter_mm(volume, height_share=share)
    edges = np.linspace(0, share * width, 20_001)
    middle = (edges[1:] + edges[:-1]) / 2
    radius = width / 2 * np.sqrt(1 - (middle / (share * width)) ** 2)
    assert (np.pi * radius**2 * np.diff(edges)).sum() / 1000 == pytest.approx(volume, rel=1e-6)


def test_uptake_by_integrating_the_balance():
    solved = solve_ivp(lambda _t, v: 80 - np.log(2) / 6 * v, (0, 9), [0], rtol=1e-9)
    ours = calc.infiltrated_volume_ml(80, time_h=9, half_time_h=6)
    assert ours == pytest.approx(solved.y[0, -1], rel=1e-6)


def test_girth_from_two_cylinders():
    rise = calc.girth_rise_mm(60, girth_mm=250, swollen_length_mm=100)
    sections = [girth**2 / (4 * np.pi) for girth in (250, 250 + rise)]
    assert (sections[1] - sections[0]) * 100 / 1000 == pytest.approx(60)


def test_a_haematoma_by_integrating_the_leak():
    solved = solve_ivp(lambda _t, v: 0.03 * (45 - v / 0.2), (0, 7), [0], rtol=1e-9)
    ours = calc.haematoma_volume_ml(
        7, vein_pressure_mmhg=45, leak_ml_per_min_mmhg=0.03, tissue_ml_per_mmhg=0.2
    )
    assert ours == pytest.approx(solved.y[0, -1], rel=1e-6)


def test_the_tourniquet_on_makes_the_same_breach_bleed_more():
    """hand-vein-cuff-2007 (abstract): 70 to 80 % of the cuff's pressure stands in the vein."""
    on = calc.vein_pressure_under_cuff_mmhg(60).low
    assert calc.haematoma_volume_ml(3, vein_pressure_mmhg=on) > 3 * calc.haematoma_volume_ml(
        3, vein_pressure_mmhg=12
    )
