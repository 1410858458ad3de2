"""Smooth faces against the adding-doubling package iadpython, its tests, and a textbook's angles.

How far each source was opened stands beside it: read, or from memory.
"""

import numpy as np
import pytest
from iadpython import fresnel

from cubital import calc


def test_reflectance_and_angles_as_in_the_packages_own_tests():
    """Light at a cosine of 0.5 from index 1 onto 1.5 (read)."""
    faces = {"refractive_index": 1.0, "refractive_index_beyond": 1.5}
    assert calc.reflectance_share(60, **faces) == pytest.approx(0.0891867, abs=5e-8)
    beyond = np.cos(np.radians(calc.refraction_angle_deg(60, **faces)))
    assert beyond == pytest.approx(0.8164966, abs=5e-8)
    critical = calc.critical_angle_deg(1.5, refractive_index_beyond=1.0)
    assert np.cos(np.radians(critical)) == pytest.approx(0.7453560, abs=5e-8)


@pytest.mark.parametrize(("before", "after"), [(1, 1.33), (1, 1.5), (1.4, 1), (1.5, 1.37)])
@pytest.mark.parametrize("angle", [0, 10, 35, 60, 89])
def test_reflectance_as_the_package_computes_it(before, after, angle):
    theirs = fresnel.fresnel_reflection(before, np.cos(np.radians(angle)), after)
    ours = calc.reflectance_share(angle, refractive_index=before, refractive_index_beyond=after)
    assert ours == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize(
    ("index", "reflectance", "critical_deg"),
    [(1.33, 0.02006, 48.75), (1.37, 0.02437, 46.88), (1.4, 0.02778, 45.58), (1.5, 0.04, 41.81)],
)
def test_straight_onto_tissue_and_out_of_it(index, reflectance, critical_deg):
    """Textbook values (memory; computed again for this project)."""
    entering = calc.reflectance_share(0, refractive_index=1, refractive_index_beyond=index)
    assert entering == pytest.approx(reflectance, abs=5e-6)
    leaving = calc.critical_angle_deg(index, refractive_index_beyond=1)
    assert leaving == pytest.approx(critical_deg, abs=0.006)


@pytest.mark.parametrize(
    ("incidence", "refraction"),
    [(10, 7.282), (20, 14.457), (30, 21.405), (45, 31.073), (60, 39.208)],
)
def test_into_a_clear_phantom_of_index_1_37(incidence, refraction):
    """Snell's law, tabulated by another script for this project."""
    angle = calc.refraction_angle_deg(incidence, refractive_index=1, refractive_index_beyond=1.37)
    assert angle == pytest.approx(refraction, abs=5e-4)
