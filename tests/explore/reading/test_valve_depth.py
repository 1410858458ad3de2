"""A valve under the skin: its knot in the frame itself, and when it is lost."""

import numpy as np
import pytest

from cubital import tables
from cubital.explore.reading.valve_depth import ValveUnderSkin

PX_MM = 0.17


def shown(**state):
    return ValveUnderSkin(**state).show()


def widths_mm(frame):
    """Width of the dark band in each row, at half of its darkness."""
    grey = frame.astype(float)
    grey = np.stack([np.convolve(row, np.ones(3) / 3, mode="same") for row in grey])
    skin = np.median(grey[:, :30])
    half = (skin + grey[:, 48:144].min(axis=1, keepdims=True)) / 2
    wide = (grey[:, 48:144] < half).sum(axis=1) * PX_MM
    return np.convolve(wide, np.ones(5) / 5, mode="valid")


def test_in_the_frame_the_band_is_wider_just_above_the_middle_than_just_below():
    wide = widths_mm(shown(depth_mm=0.3, diameter_mm=4).frame)
    bulge, notch, away = wide[44:60], wide[66:74], wide[100:140]
    assert bulge.max() > 1.12 * np.median(away)
    assert notch.min() < 0.97 * np.median(away)


def test_at_depth_the_band_is_evenly_wide_and_the_valve_is_not_seen():
    wide = widths_mm(shown(depth_mm=2.5, diameter_mm=4).frame)
    assert wide[44:60].mean() < 1.15 * np.median(wide[100:140])
    n = shown(depth_mm=2.5, diameter_mm=4).numbers
    assert not n.is_seen
    assert n.darker > 0.1  # the vein itself is plain to see


@pytest.mark.parametrize("diameter", [2, 3.5, 5])
def test_the_deeper_the_less_a_valve_stands_out(diameter):
    depths = (0.3, 0.6, 1, 1.5, 2, 3, 4)
    ratios = [shown(depth_mm=depth, diameter_mm=diameter).numbers.ratio for depth in depths]
    assert ratios == sorted(ratios, reverse=True)
    assert ratios[0] > 3 > ratios[-1]


@pytest.mark.parametrize("diameter", [2, 3, 4.5])
def test_the_outline_narrows_and_widens_by_the_shares_of_the_table(diameter):
    n = shown(diameter_mm=diameter).numbers
    notch, bulge = (
        tables.constant(f"valve-{part}-share").value * diameter for part in ("notch", "bulge")
    )
    assert n.notch_mm == pytest.approx(diameter - notch, rel=0.02)
    assert n.bulge_mm == pytest.approx(diameter + bulge, rel=0.02)


def test_alt_tells_a_knot_only_where_it_is_seen():
    assert "with a bulge just above" in shown(depth_mm=0.4).alt
    assert "no knot stands out" in shown(depth_mm=3).alt
    assert "The valve's contrast over noise is 0.8" in shown(depth_mm=3).alt
