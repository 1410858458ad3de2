"""Laws of veins: flow and velocity, refill, valves, branches, tourniquet, rolling."""

from functools import partial
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from cubital import calc, tables
from cubital.tables import reading as rows

VEIN = st.floats(0.5, 10)
FLOW = st.floats(1, 200)
LENGTH = st.floats(5, 300)
PLACES = st.lists(st.floats(0, 500), max_size=6)


@given(FLOW, VEIN)
def test_velocity_and_flow_invert_each_other(flow, vein):
    velocity = calc.vein_velocity_mm_per_s(flow, vein_diameter_mm=vein)
    back = calc.vein_flow_from_velocity_ml_per_min(min(velocity, 5000), vein_diameter_mm=vein)
    if velocity <= 5000:
        assert back == pytest.approx(flow)


@given(LENGTH, VEIN, FLOW, st.floats(0, 0.9))
def test_a_vein_fills_with_what_is_missing(length, vein, flow, left):
    time = calc.refill_time_s(
        length, vein_diameter_mm=vein, vein_flow_ml_per_min=flow, left_share=left
    )
    came_in = flow / 60 * time
    full = calc.refill_volume_ml(length, vein_diameter_mm=vein, left_share=0)
    assert came_in + left * full == pytest.approx(full)


@given(LENGTH, VEIN, FLOW)
def test_the_front_moves_as_the_blood_in_a_vein_that_was_quite_empty(length, vein, flow):
    time = calc.refill_time_s(
        length, vein_diameter_mm=vein, vein_flow_ml_per_min=flow, left_share=0
    )
    assert length / time == pytest.approx(calc.vein_velocity_mm_per_s(flow, vein_diameter_mm=vein))


@given(LENGTH, VEIN, FLOW)
def test_the_front_ends_where_the_emptied_segment_ends(length, vein, flow):
    front = partial(
        calc.refill_front_mm,
        segment_length_mm=length,
        vein_diameter_mm=vein,
        vein_flow_ml_per_min=flow,
    )
    full = calc.refill_time_s(length, vein_diameter_mm=vein, vein_flow_ml_per_min=flow)
    assert front(0) == 0
    assert front(min(full / 2, 3600)) == pytest.approx(length * min(full / 2, 3600) / full)
    assert front(3600) == pytest.approx(length * min(1, 3600 / full))


@given(st.floats(0, 200), st.floats(1, 300), PLACES, PLACES)
def test_a_part_stays_empty_only_from_the_finger_to_a_valve_within_the_stroke(
    finger, stroke, valves, tributaries
):
    end = finger + stroke
    part = calc.emptied_segment(
        finger, stroked_to_mm=end, valve_mm=valves, tributary_mm=tributaries
    )
    held = [place for place in valves if finger < place <= end]
    assert part.from_mm == finger
    assert part.to_mm == (max(held) if held else finger)
    assert (part.held_by == "a valve") == bool(held)
    assert all(finger <= start < part.to_mm for start in part.front_starts_at_mm)
    assert len(part.front_starts_at_mm) == bool(held) + sum(
        finger < place < part.to_mm for place in tributaries
    )


def test_a_tributary_below_the_valve_is_remarked_on_and_one_above_is_not():
    below = calc.emptied_segment(0, stroked_to_mm=100, valve_mm=[80], tributary_mm=[30, 90])
    assert below.front_starts_at_mm == (0, 30)
    assert len(below.remarks) == 1
    assert "tributary at 30 mm" in below.remarks[0]
    assert calc.emptied_segment(0, stroked_to_mm=100, valve_mm=80).remarks == ()


def test_a_stroke_that_goes_nowhere_is_impossible():
    with pytest.raises(ValueError, match="must be above the holding finger at 50 mm"):
        calc.emptied_segment(50, stroked_to_mm=50)


@given(FLOW, st.lists(VEIN, min_size=1, max_size=4), st.floats(0, 6))
def test_branches_share_all_of_the_flow_and_the_wider_gets_no_less(flow, branches, power):
    parts = calc.split_at_bifurcation_ml_per_min(
        flow, branch_diameters_mm=branches, split_power=power
    )
    assert parts.sum() == pytest.approx(flow)
    assert parts[np.argsort(branches)].tolist() == sorted(parts)


@given(FLOW, VEIN, VEIN)
def test_a_split_by_cross_section_keeps_one_velocity(flow, one, other):
    parts = calc.split_at_bifurcation_ml_per_min(flow, branch_diameters_mm=[one, other])
    first, second = calc.vein_velocity_mm_per_s(parts, vein_diameter_mm=np.array([one, other]))
    assert first == pytest.approx(second)


def test_a_split_by_resistance_follows_hagen_poiseuille():
    """The power 4 against flow through two tubes of equal length and pressure drop."""
    bores = np.array([2.0, 3.0])
    tube = calc.poiseuille_flow_ml_per_min(bores, length_mm=50, pressure_pa=100, viscosity_mpa_s=4)
    parts = calc.split_at_bifurcation_ml_per_min(10, branch_diameters_mm=bores, split_power=4)
    np.testing.assert_allclose(parts / parts.sum(), tube / tube.sum())


@given(st.floats(0, 80), st.floats(0, 20))
def test_more_pressure_widens_more_up_to_80_mmhg_and_less_beyond(cuff, more):
    rise = calc.distended_area_share(min(cuff + more, 80)) - calc.distended_area_share(cuff)
    assert rise >= 0
    assert calc.distended_area_share(80 + more) <= calc.distended_area_share(80)


@given(VEIN, st.floats(0, 100))
def test_a_distended_vein_has_the_distended_area(vein, cuff):
    wide = calc.distended_diameter_mm(vein, cuff_mmhg=cuff)
    assert (wide / vein) ** 2 == pytest.approx(calc.distended_area_share(cuff))
    assert wide >= vein


@given(st.floats(0, 1000), st.floats(0, 1000))
def test_a_vein_only_widens_with_time_and_never_past_its_end(time, more):
    early, late = calc.distension_progress(time), calc.distension_progress(time + more)
    assert early <= late <= 1


@given(st.floats(0, 30), st.floats(0, 10))
def test_a_harder_push_rolls_farther_and_stretched_skin_holds(push, more):
    skins = ("loose", "resting", "stretched")
    shifts = [calc.sideways_shift_mm(push, skin=skin) for skin in skins]
    assert shifts == sorted(shifts, reverse=True)
    for skin in skins:
        near = calc.sideways_shift_mm(push, skin=skin)
        assert near <= calc.sideways_shift_mm(push + more, skin=skin)


def test_a_vein_that_has_moved_by_its_radius_is_out_of_the_way():
    rolled = calc.rolls_from_needle(np.array([1.49, 1.5]), vein_diameter_mm=3)
    assert rolled.tolist() == [False, True]


def test_after_one_time_constant_all_but_one_part_in_e_is_reached():
    time = tables.constant("distension-time").value
    assert calc.distension_progress(time) == pytest.approx(1 - 1 / np.e)


@pytest.mark.parametrize("cuff", [20, 40])
def test_the_pressure_in_a_hand_vein_is_a_share_of_the_cuffs(cuff):
    assert calc.vein_pressure_under_cuff_mmhg(cuff) == pytest.approx((0.7 * cuff, 0.8 * cuff))


def test_refill_by_filling_drop_by_drop():
    """A second way: slices of the vein filled one after the other with small drops."""
    slices = np.full(500, 0.9 * np.pi / 4 * 3**2 * 60 / 500)  # mm3 that each lacks
    drop, time, at = 0.002 * 20_000 / 60, 0.0, 0  # mm3 in 0.002 s at 20 mL/min
    while at < slices.size:
        left = drop
        while left > 0 and at < slices.size:
            taken = min(left, slices[at])
            slices[at] -= taken
            left -= taken
            at += bool(slices[at] <= 0)
        time += 0.002
    assert calc.refill_time_s(60, vein_diameter_mm=3, vein_flow_ml_per_min=20) == pytest.approx(
        time, abs=0.004
    )


@pytest.mark.parametrize("skin", ["loose", "resting", "stretched"])
def test_rolling_by_integrating_a_give_that_wears_out(skin):
    """A second way: dx/dF = c (1 - x / m). The numbers are a teaching assumption."""
    row = rows.sideways()[skin]
    solved = solve_ivp(
        lambda _push, x: row.give_mm_per_n * (1 - x / row.most_mm), (0, 2), [0], rtol=1e-9
    )
    assert calc.sideways_shift_mm(2, skin=skin) == pytest.approx(solved.y[0, -1], rel=1e-6)


def test_distension_points_rise_in_pressure_and_lie_in_their_bands():
    for row, following in pairwise(rows.distension()):
        assert row.cuff_mmhg < following.cuff_mmhg
    for row in rows.distension():
        assert row.area_low <= row.area_share <= row.area_high
