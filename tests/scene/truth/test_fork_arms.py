"""A fork is one for the eye only if three arms are seen: two are a vein that bends."""

import numpy as np
import pytest

from cubital.scene.anatomy.vessels import (
    Anatomy,
    Camera,
    Confluence,
    Limb,
    Scene,
    Skin,
    Vessel,
    View,
)
from cubital.scene.truth.truth import truth

FLAT = Limb(half_width_mm=90.0, sag_mm=0.0)
POINTS = 161


def fork(*, below_mm):
    """A clear vein runs down to (0, 0) and goes on at another depth; a clear one joins there."""
    way = np.linspace(60, -60, POINTS)
    deep = np.where(way < -1, below_mm, 1.5)
    even = np.full(POINTS, 3.0)
    upright = Vessel("upright", "vein", np.zeros(POINTS), way, deep, even)
    x, y = np.linspace(-40, 0, POINTS), np.linspace(30, 0, POINTS)
    side = Vessel("side", "vein", x, y, np.full(POINTS, 1.5), even, into="upright")
    joint = (Confluence(0.0, 0.0, "side", "upright"),)
    person = Anatomy("forearm", "adult", 1, FLAT, (upright, side), (), joint)
    (found,) = truth(Scene(person, Skin(), View(), Camera(), seed=3))["bifurcations"]
    return found


@pytest.mark.parametrize(("below_mm", "arms"), [(1.5, 3), (9.0, 2)])
def test_a_joining_band_seen_apart_makes_a_fork_only_with_a_third_arm(below_mm, arms):
    found = fork(below_mm=below_mm)
    assert found["parts"] is not None
    assert len(found["arms"]) == arms
    assert found["visible"] is (arms == 3)
