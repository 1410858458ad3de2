"""Diffusion against VTS (a library of light transport), adding-doubling, and photon transport.

How far each source was opened stands beside it: read, or from memory.
"""

import iadpython
import numpy as np
import pytest

from cubital import calc

VTS = {"absorption_per_mm": 0.01, "reduced_scattering_per_mm": 1.0}
ALBEDO = 1 / 1.01  # of these; the library's source is a full photon, ours leaves some behind


def test_effective_attenuation_of_vts():
    """Its tests of the parameters of diffusion, n 1.4 (read, the last digit cut off)."""
    found = calc.effective_attenuation_per_mm(0.01, reduced_scattering_per_mm=1.0)
    assert found == pytest.approx(0.174068, abs=1e-6)
    assert calc.internal_reflection(1.4, surface="cubic") == pytest.approx(2.950078, abs=1e-6)


@pytest.mark.parametrize(
    ("distance", "reflectance"), [(1, 0.0224959), (3, 0.00448017), (10, 0.000170622)]
)
def test_radial_reflectance_of_vts(distance, reflectance):
    """Its tests of the point source: hybrid form, cubic fits of the surface (read)."""
    found = calc.radial_reflectance_per_mm2(distance, refractive_index=1.4, surface="cubic", **VTS)
    assert found / ALBEDO == pytest.approx(reflectance, rel=3e-6)


@pytest.mark.parametrize(
    ("distance", "reflectance"), [(1, 0.0300108), (3, 0.0037548), (10, 0.0001565)]
)
def test_flux_form(distance, reflectance):
    """The same case by Farrell's form, computed by another script for this project."""
    found = calc.radial_reflectance_per_mm2(
        distance, refractive_index=1.4, form="flux", surface="cubic", **VTS
    )
    assert found / ALBEDO == pytest.approx(reflectance, rel=2e-4)


@pytest.mark.parametrize(
    ("mua_per_cm", "mus_per_cm", "g", "depth_cm"), [(1.8, 820, 0.9, 0.047), (0.23, 210, 0.9, 0.261)]
)
def test_penetration_depths_of_rsmcrt(mua_per_cm, mus_per_cm, g, depth_cm):
    """Constants in the validation files of that transport program (rsmcrt, read)."""
    found = calc.penetration_depth_mm(
        mua_per_cm / 10, reduced_scattering_per_mm=mus_per_cm / 10 * (1 - g)
    )
    assert found / 10 == pytest.approx(depth_cm, abs=6e-4)


@pytest.mark.parametrize(
    ("index", "integral", "cubic", "groenhuis"),
    [
        (1.33, 2.5154, 2.5181, 2.790),
        (1.37, 2.7586, 2.7604, 3.050),
        (1.4, 2.9485, 2.9501, 3.251),
        (1.5, 3.6279, 3.6311, 3.959),
    ],
)
def test_three_forms_of_the_surface(index, integral, cubic, groenhuis):
    """Fits as a library carries them (read); integral computed by another script."""
    assert calc.internal_reflection(index) == pytest.approx(integral, abs=6e-5)
    assert calc.internal_reflection(index, surface="cubic") == pytest.approx(cubic, abs=6e-5)
    assert calc.internal_reflection(index, surface="groenhuis") == pytest.approx(
        groenhuis, abs=6e-4
    )


def test_effective_reflection_of_skin():
    """R_eff = (A - 1) / (A + 1) is usually quoted as 0.493 for an index of 1.4 (memory)."""
    parameter = calc.internal_reflection(1.4)
    assert (parameter - 1) / (parameter + 1) == pytest.approx(0.493, abs=1e-3)


@pytest.mark.parametrize(
    ("albedo", "reflectance"),
    [(0.5, 0.1237), (0.8, 0.2973), (0.9, 0.4260), (0.95, 0.5443), (0.99, 0.7565)],
)
def test_total_reflectance_of_a_matched_medium(albedo, reflectance):
    """The closed form by another script, and within 8 % of adding-doubling, 1 % at 0.99 (read)."""
    found = calc.total_diffuse_reflectance(
        1 - albedo, reduced_scattering_per_mm=albedo, refractive_index=1.0
    )
    assert found == pytest.approx(reflectance, abs=6e-5)
    doubled = iadpython.Sample(a=albedo, b=np.inf, g=0, n=1, quad_pts=16).rt()[0]
    assert 0 < found / doubled - 1 < (0.01 if albedo == 0.99 else 0.08)


def test_radial_reflectance_meets_photon_transport_some_way_from_the_beam():
    """The hybrid form within 5 % and three standard errors, from 3 to 6 mm."""
    skin = calc.Layer(calc.Medium(0.02, 9.0, 0.8, 1.4), np.inf)
    run = calc.photon_run([skin], photons=400_000, seed=4, radial_bin_mm=1.0, radial_bins=6)
    diffuse = calc.radial_reflectance_per_mm2(
        run.radial_mm, absorption_per_mm=0.02, reduced_scattering_per_mm=1.8, refractive_index=1.4
    )
    entered = 1 - run.specular_reflectance
    value, error = (part / entered for part in run.radial_reflectance_per_mm2)
    far = slice(3, 6)
    assert (np.abs(value - diffuse)[far] < 0.05 * diffuse[far] + 3 * error[far]).all()
