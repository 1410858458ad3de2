"""Laws of light at a smooth face."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc

INDEX = st.floats(1, 3)
ANGLE = st.floats(0, 90)


@given(ANGLE, INDEX, INDEX)
def test_a_face_reflects_between_nothing_and_all(angle, before, after):
    share = calc.reflectance_share(angle, refractive_index=before, refractive_index_beyond=after)
    assert 0 <= share <= 1


@given(st.floats(0, 89), INDEX)
def test_a_matched_face_reflects_nothing(angle, index):
    share = calc.reflectance_share(angle, refractive_index=index, refractive_index_beyond=index)
    assert share == pytest.approx(0, abs=1e-12)


@given(st.floats(0, 89), INDEX, INDEX)
def test_the_way_back_reflects_as_much(angle, rare, dense):
    """Reciprocity: the refracted light, sent back, meets the same reflectance."""
    rare, dense = sorted((rare, dense))
    there = calc.refraction_angle_deg(angle, refractive_index=rare, refractive_index_beyond=dense)
    back = calc.reflectance_share(there, refractive_index=dense, refractive_index_beyond=rare)
    out = calc.reflectance_share(angle, refractive_index=rare, refractive_index_beyond=dense)
    assert back == pytest.approx(out, abs=1e-6)


@given(INDEX, INDEX)
def test_from_the_critical_angle_on_all_is_reflected(rare, dense):
    rare, dense = sorted((rare, dense))
    critical = calc.critical_angle_deg(dense, refractive_index_beyond=rare)
    faces = {"refractive_index": dense, "refractive_index_beyond": rare}
    if critical < 89:
        assert calc.reflectance_share(critical + 0.01, **faces) == 1
        assert calc.reflectance_share(critical - 0.5, **faces) < 1
        assert calc.refraction_angle_deg(critical - 1e-9, **faces) == pytest.approx(90, abs=0.1)


def test_no_reflection_of_one_polarisation_leaves_half_of_the_other():
    """At Brewster's angle, tan i = n2 / n1, only the light across the plane is reflected."""
    angle = np.degrees(np.arctan(1.5))
    across = ((1 - 1.5**2) / (1 + 1.5**2)) ** 2
    share = calc.reflectance_share(angle, refractive_index=1, refractive_index_beyond=1.5)
    assert share == pytest.approx(across / 2, rel=1e-12)


def test_arrays_give_what_single_numbers_give():
    angles = np.array([[0.0], [30.0], [80.0]])
    indices = np.array([1.33, 1.5])
    table = calc.reflectance_share(angles, refractive_index=1.4, refractive_index_beyond=indices)
    assert table.shape == (3, 2)
    for row, angle in zip(table, angles[:, 0], strict=True):
        for share, index in zip(row, indices, strict=True):
            assert share == calc.reflectance_share(
                angle, refractive_index=1.4, refractive_index_beyond=index
            )


def test_light_past_the_critical_angle_has_no_direction_beyond():
    with pytest.raises(ValueError, match=r"angle of incidence is 60 degrees: .* 0 to 45.58 degr"):
        calc.refraction_angle_deg(60, refractive_index=1.4, refractive_index_beyond=1)
    with pytest.raises(ValueError, match=r"beyond the boundary is 1.5: .* from 1 to 1.4"):
        calc.critical_angle_deg(1.4, refractive_index_beyond=1.5)


@pytest.mark.parametrize("bad", [-1, 91, np.nan, np.inf, "30", True])
def test_an_impossible_angle_raises(bad):
    for function in (calc.reflectance_share, calc.refraction_angle_deg):
        with pytest.raises(ValueError, match="angle of incidence is"):
            function(bad, refractive_index=1, refractive_index_beyond=1.4)


@pytest.mark.parametrize("bad", [0.9, 4, np.nan])
def test_an_impossible_index_raises(bad):
    with pytest.raises(ValueError, match="refractive index is"):
        calc.reflectance_share(0, refractive_index=bad, refractive_index_beyond=1.4)
    with pytest.raises(ValueError, match="refractive index beyond the boundary is"):
        calc.critical_angle_deg(1.4, refractive_index_beyond=bad)
