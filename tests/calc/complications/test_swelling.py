"""Laws of swelling and haematoma: they only grow, and not for ever; and a second way to them.

No published figures were found for them, so each model is computed again by another way. Their
numbers are a teaching assumption, and lessons show them so.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from cubital import calc, tables

RATE = st.floats(1, 1000)
TIME = st.floats(0.01, 50)
VOLUME = st.floats(0.05, 2000)
PRESSURE = st.floats(1, 100)
MINUTES = st.floats(0, 200)


@given(RATE, TIME, st.floats(0, 10), st.floats(0.5, 50))
def test_a_swelling_only_grows_and_uptake_only_takes_from_it(rate, time, more, half_time):
    bare, later = (calc.infiltrated_volume_ml(rate, time_h=t) for t in (time, time + more))
    kept, kept_later = (
        calc.infiltrated_volume_ml(rate, time_h=t, half_time_h=half_time)
        for t in (time, time + more)
    )
    assert bare <= later
    assert kept <= kept_later
    assert kept <= bare * (1 + 1e-12)


@given(RATE, TIME)
def test_slow_uptake_is_no_uptake_and_all_outside_is_the_whole_infusion(rate, time):
    slow = calc.infiltrated_volume_ml(rate, time_h=time, half_time_h=10_000)
    assert slow == pytest.approx(rate * time, rel=2e-3)
    half = calc.infiltrated_volume_ml(rate, time_h=time, outside_share=0.5)
    assert half == pytest.approx(rate * time / 2)


@given(VOLUME, st.floats(0, 500))
def test_more_volume_is_wider_and_eight_times_is_twice_as_wide(volume, more):
    width = calc.swelling_diameter_mm(volume)
    assert calc.swelling_diameter_mm(volume + more) >= width
    assert calc.swelling_diameter_mm(8 * volume) == pytest.approx(2 * width)


@given(VOLUME, st.floats(60, 450), st.floats(30, 400), st.floats(1, 100))
def test_a_thicker_limb_rises_less_and_a_longer_part_too(volume, girth, length, more):
    rise = calc.girth_rise_mm(volume, girth_mm=girth, swollen_length_mm=length)
    assert calc.girth_rise_mm(volume, girth_mm=girth + more, swollen_length_mm=length) < rise
    assert calc.girth_rise_mm(volume, girth_mm=girth, swollen_length_mm=length + more) < rise


@given(VOLUME, st.floats(60, 450), st.floats(30, 400))
def test_a_share_of_the_limb_is_the_same_by_volume_and_by_girth(volume, girth, length):
    share = calc.limb_volume_share(volume, girth_mm=girth, limb_length_mm=length)
    rise = calc.girth_rise_mm(volume, girth_mm=girth, swollen_length_mm=length)
    assert ((girth + rise) / girth) ** 2 - 1 == pytest.approx(share)


def test_the_same_swelling_is_more_of_a_shorter_limb():
    adult, newborn = (calc.swelling_length_share(25, limb_length_mm=limb) for limb in (700, 150))
    assert newborn > 4 * adult


@given(MINUTES, PRESSURE, MINUTES)
def test_a_haematoma_grows_with_time_and_pressure_up_to_its_limit(time, pressure, more):
    volume = calc.haematoma_volume_ml(time, vein_pressure_mmhg=pressure)
    assert volume <= calc.haematoma_volume_ml(time + more, vein_pressure_mmhg=pressure)
    assert volume <= calc.haematoma_volume_ml(time, vein_pressure_mmhg=pressure + more)
    assert volume <= calc.haematoma_limit_ml(pressure)


@given(MINUTES, PRESSURE, MINUTES)
def test_pressing_stops_it_where_it_is(time, pressure, pressed):
    held = calc.haematoma_volume_ml(time, vein_pressure_mmhg=pressure, pressed_after_min=pressed)
    assert held == calc.haematoma_volume_ml(min(time, pressed), vein_pressure_mmhg=pressure)


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
