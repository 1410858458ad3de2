"""Photon transport against published reflectances and adding-doubling (prahl-1993, iadpython).

How far each source was opened stands beside it: read, second-hand, or from memory.
"""

import iadpython
import numpy as np
import pytest

from cubital import calc
from cubital.calc import Layer, Medium

ENDLESS = np.inf


def agrees(score, expected, *, relative=0.005, added=0.0):
    """Within three standard errors, and these small enough for the relative tolerance."""
    assert 3 * score.standard_error < relative * expected
    return abs(score.value + added - expected) < 3 * score.standard_error


def test_slab_of_van_de_hulst():
    """Matched slab, 0.2 mm, absorption 1, scattering 9 per mm, g 0.75.

    van-de-hulst-1980, second-hand.
    """
    slab = Layer(Medium(1.0, 9.0, 0.75, 1.0), 0.2)
    run = calc.photon_run([slab], photons=4_000_000, seed=1)
    assert agrees(run.diffuse_reflectance, 0.09739)
    assert agrees(run.transmittance, 0.66096)


def test_endless_medium_of_giovanelli():
    """Index 1.5, isotropic, absorption 1, scattering 9 per mm: 0.2600 in all.

    giovanelli-1955, memory.
    """
    run = calc.photon_run([Layer(Medium(1.0, 9.0, 0.0, 1.5), ENDLESS)], photons=1_200_000, seed=2)
    assert run.specular_reflectance == pytest.approx(0.04)
    assert agrees(run.diffuse_reflectance, 0.2600, added=0.04)


def test_three_layers_of_the_standard_program():
    """Rd 0.2375 and Td 0.0965, themselves with some 0.0005 of chance (wang-1995, memory); a script
    found 0.2379 and 0.0964."""
    layers = [
        Layer(Medium(0.1, 10.0, 0.9, 1.37), 1.0),
        Layer(Medium(0.1, 1.0, 0.0, 1.37), 1.0),
        Layer(Medium(0.2, 1.0, 0.7, 1.37), 2.0),
    ]
    run = calc.photon_run(layers, photons=600_000, seed=3)
    assert run.diffuse_reflectance.value == pytest.approx(
        0.2377, abs=5e-4 + 3 * run.diffuse_reflectance.standard_error
    )
    assert run.transmittance.value == pytest.approx(
        0.0965, abs=2e-4 + 3 * run.transmittance.standard_error
    )


def slabs():
    """Twelve single slabs drawn once: albedo, optical thickness, anisotropy, index."""
    draw = np.random.default_rng(20)
    albedo = 1 - 10 ** draw.uniform(-2.3, -0.3, 12)
    return np.c_[albedo, 10 ** draw.uniform(-0.3, 1.2, 12), draw.uniform(0, 0.9, 12)], np.r_[
        np.ones(4), draw.uniform(1.3, 1.5, 8)
    ]


@pytest.mark.parametrize(
    ("albedo", "thickness", "g", "index"),
    [(*row, index) for row, index in zip(*slabs(), strict=True)],
)
def test_single_slabs_by_adding_doubling(albedo, thickness, g, index):
    """16 quadrature points; single layers, for which the package is sound (prahl-1993, read)."""
    sample = iadpython.Sample(a=albedo, b=thickness, g=g, n=index, quad_pts=16)
    reflectance, transmittance, *_ = (float(share) for share in sample.rt())
    slab = Layer(Medium(1 - albedo, albedo, g, index), thickness)
    run = calc.photon_run([slab], photons=200_000, seed=5)
    total = run.specular_reflectance + run.diffuse_reflectance.value
    # 0.0002: what the doubling itself is off by with these points
    assert total == pytest.approx(
        reflectance, abs=2e-4 + 3 * run.diffuse_reflectance.standard_error
    )
    assert run.transmittance.value == pytest.approx(
        transmittance, abs=2e-4 + 3 * run.transmittance.standard_error
    )


@pytest.mark.parametrize(("albedo", "thickness", "g"), [(0.5, 1.0, 0.9), (0.95, 4.0, 0.3)])
def test_a_slab_between_slides_by_adding_doubling(albedo, thickness, g):
    """Index 1.4 between clear slides of 1.5: light bends at faces within (read)."""
    sample = iadpython.Sample(
        a=albedo, b=thickness, g=g, n=1.4, n_above=1.5, n_below=1.5, quad_pts=16
    )
    reflectance, transmittance, *_ = (float(share) for share in sample.rt())
    slide = Layer(Medium(0.0, 0.0, 0.0, 1.5), 0.1)
    slab = Layer(Medium(1 - albedo, albedo, g, 1.4), thickness)
    run = calc.photon_run([slide, slab, slide], photons=400_000, seed=5)
    total = run.specular_reflectance + run.diffuse_reflectance.value
    assert total == pytest.approx(
        reflectance, abs=2e-4 + 3 * run.diffuse_reflectance.standard_error
    )
    assert run.transmittance.value == pytest.approx(
        transmittance, abs=2e-4 + 3 * run.transmittance.standard_error
    )


@pytest.mark.parametrize(
    ("albedo", "reflectance"), [(0.5, 0.11523), (0.9, 0.41495), (0.99, 0.75272)]
)
def test_reweighted_photons_by_adding_doubling(albedo, reflectance):
    """One run for three albedos of an endless isotropic matched medium (read)."""
    absorption = (1 - albedo) / albedo
    medium = Medium(0.01, 1.0, 0.0, 1.0)
    found = calc.photon_paths([Layer(medium, ENDLESS)], photons=100_000, seed=6)
    score = calc.reweighted_reflectance(found, absorptions_per_mm=[absorption])
    value, error = score.detected_reflectance
    assert value == pytest.approx(reflectance, abs=3 * error)
    assert 3 * error < 0.03 * reflectance
