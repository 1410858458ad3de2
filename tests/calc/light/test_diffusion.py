"""Laws of the diffusion approximation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc

ABSORPTION = st.floats(0, 100)
SCATTERING = st.floats(0.001, 1000)
INDEX = st.floats(1, 3)


def media(**others):
    return st.fixed_dictionaries(
        {
            "absorption_per_mm": ABSORPTION,
            "reduced_scattering_per_mm": SCATTERING,
            "refractive_index": INDEX,
            **others,
        }
    )


@given(st.floats(1e-9, 100), SCATTERING)
def test_depth_and_attenuation_are_inverse(absorption, scattering):
    medium = {"reduced_scattering_per_mm": scattering}
    depth = calc.penetration_depth_mm(absorption, **medium)
    assert depth * calc.effective_attenuation_per_mm(absorption, **medium) == pytest.approx(1)


@given(ABSORPTION, ABSORPTION, SCATTERING)
def test_more_absorption_never_attenuates_less(one, other, scattering):
    low, high = (
        calc.effective_attenuation_per_mm(mua, reduced_scattering_per_mm=scattering)
        for mua in sorted((one, other))
    )
    assert low <= high


@given(INDEX, INDEX)
def test_a_larger_index_sends_more_back(one, other):
    low, high = (calc.internal_reflection(index) for index in sorted((one, other)))
    assert low * (1 + 1e-9) >= 1
    assert low <= high * (1 + 1e-9)


def test_a_matched_surface_sends_nothing_back():
    assert calc.internal_reflection(1.0) == pytest.approx(1, abs=1e-12)


def test_the_integral_is_that_of_many_thin_slices():
    """A second way: midpoints of 400 000 equal steps of the cosine."""
    cosine = (np.arange(400_000) + 0.5) / 400_000
    share = calc.reflectance_share(
        np.degrees(np.arccos(cosine)), refractive_index=1.38, refractive_index_beyond=1
    )
    fluence, flux = 2 * np.mean(share * cosine), 3 * np.mean(share * cosine**2)
    assert calc.internal_reflection(1.38) == pytest.approx((1 + flux) / (1 - fluence), rel=1e-6)


@given(media(distance_mm=st.floats(0, 1000)), st.sampled_from(["flux", "hybrid"]))
def test_reflectance_round_a_beam_is_finite_and_not_negative(values, form):
    found = calc.radial_reflectance_per_mm2(values.pop("distance_mm"), form=form, **values)
    assert type(found) is float
    assert 0 <= found < np.inf


@given(media(), st.floats(0, 100), st.floats(0, 100))
def test_further_from_the_beam_comes_no_more(values, one, other):
    near, far = (calc.radial_reflectance_per_mm2(rho, **values) for rho in sorted((one, other)))
    assert near >= far


@given(media())
def test_total_reflectance_is_a_share(values):
    absorption = values.pop("absorption_per_mm")
    assert 0 <= calc.total_diffuse_reflectance(absorption, **values) <= 1


@given(ABSORPTION, media())
def test_more_absorption_never_reflects_more(absorption, values):
    first = values.pop("absorption_per_mm")
    low, high = sorted((first, absorption))
    pale, dark = (calc.total_diffuse_reflectance(mua, **values) for mua in (low, high))
    assert dark <= pale


def test_without_absorption_all_comes_back():
    for index in (1.0, 1.4):
        found = calc.total_diffuse_reflectance(
            0.0, reduced_scattering_per_mm=1.5, refractive_index=index
        )
        assert found == pytest.approx(1)


@pytest.mark.parametrize("index", [1.0, 1.4])
@pytest.mark.parametrize("absorption", [0.01, 0.1])
def test_rings_of_flux_add_to_what_a_source_and_its_image_send_through_a_plane(absorption, index):
    """Integrated by hand, a point source sends e^(-mueff z)/2 through a plane at distance z."""
    medium = {"reduced_scattering_per_mm": 1.2, "refractive_index": index}
    edges = np.r_[0, np.geomspace(1e-4, 400, 40_001)]
    middles, areas = (edges[1:] + edges[:-1]) / 2, np.pi * np.diff(edges**2)
    rings = calc.radial_reflectance_per_mm2(
        middles, absorption_per_mm=absorption, form="flux", **medium
    )
    transport = absorption + 1.2
    mueff = np.sqrt(3 * absorption * transport)
    deep = 1 / transport
    image = deep + 4 * calc.internal_reflection(index) / (3 * transport)
    by_hand = 1.2 / transport * (np.exp(-mueff * deep) + np.exp(-mueff * image)) / 2
    assert (rings * areas).sum() == pytest.approx(by_hand, rel=1e-4)


def test_arrays_give_what_single_numbers_give():
    rho, mua = np.array([[0.5], [2.0], [9.0]]), np.array([0.01, 0.03])
    medium = {"reduced_scattering_per_mm": 1.5, "refractive_index": 1.4}
    table = calc.radial_reflectance_per_mm2(rho, absorption_per_mm=mua, **medium)
    assert table.shape == (3, 2)
    for i, one in enumerate(rho[:, 0]):
        for j, two in enumerate(mua):
            alone = calc.radial_reflectance_per_mm2(one, absorption_per_mm=two, **medium)
            assert table[i, j] == pytest.approx(alone, rel=1e-12)


def test_impossible_values_raise():
    with pytest.raises(ValueError, match=r"absorption coefficient is 0 1/mm: .* above 0 1/mm"):
        calc.penetration_depth_mm(0.0, reduced_scattering_per_mm=1)
    with pytest.raises(ValueError, match=r"absorption coefficient is -0.1 1/mm"):
        calc.effective_attenuation_per_mm(-0.1, reduced_scattering_per_mm=1)
    with pytest.raises(ValueError, match=r"reduced scattering coefficient is 0 1/mm"):
        calc.effective_attenuation_per_mm(0.1, reduced_scattering_per_mm=0)
    with pytest.raises(ValueError, match="surface is 'rough': choose one of integral, cubic"):
        calc.internal_reflection(1.4, surface="rough")
    medium = {"absorption_per_mm": 0.1, "reduced_scattering_per_mm": 1, "refractive_index": 1.4}
    with pytest.raises(ValueError, match="form is 'fluence': choose one of flux, hybrid"):
        calc.radial_reflectance_per_mm2(1.0, form="fluence", **medium)
    with pytest.raises(ValueError, match="distance from the beam is nan mm"):
        calc.radial_reflectance_per_mm2(np.nan, **medium)
