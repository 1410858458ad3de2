"""The quick formulas of how veins show: laws, and fresh photon transport."""

import inspect
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc, tables
from cubital.calc.light import skin_visibility
from cubital.calc.light.media import Layer, Medium
from cubital.calc.light.polynomial import Polynomial, powers
from cubital.calc.light.transport import dimming
from cubital.tables import light

USUAL = {
    "lumen_diameter_mm": 3.0,
    "skin_reduced_scattering_per_mm": 1.8,
    "skin_absorption_per_mm": 0.02,
    "vessel_absorption_per_mm": 0.5,
}
IN_SKIN = {
    "lumen_diameter_mm": 3.0,
    "picture_wavelength_nm": 850.0,
    "epidermal_melanin_fraction": 0.05,
}
EVEN = [calc.vein_contrast, calc.apparent_width_mm, calc.blur_mm, calc.deepest_visible_mm]
SKIN = [
    calc.skin_vein_contrast,
    calc.skin_apparent_width_mm,
    calc.skin_brightness_share,
    calc.skin_deepest_visible_mm,
]
NAMED = [pytest.param(function, id=function.__name__) for function in (*EVEN, *SKIN)]


def span(name, number):
    limit = tables.limits()[name]
    return np.linspace(limit.low, limit.high, number)


def log_span(name, number):
    limit = tables.limits()[name]
    return np.geomspace(limit.low, limit.high, number)


def whole_range(function, number=6):
    """Return every argument over its whole range, each along an axis of its own."""
    names = list(inspect.signature(function).parameters)
    return {
        name: log_span(name, number).reshape(-1, *[1] * (len(names) - 1 - place))
        for place, name in enumerate(names)
    }


def call(function, values):
    first, *_ = inspect.signature(function).parameters
    return function(values[first], **{k: v for k, v in values.items() if k != first})


@pytest.mark.parametrize("function", NAMED)
def test_results_are_finite_and_possible_over_the_whole_range(function):
    found = call(function, whole_range(function, 4 if "deepest" in function.__name__ else 6))
    assert np.isfinite(found).all()
    assert (found >= 0).all()
    highest = {"contrast": 1, "share": 1, "width_mm": 30, "blur_mm": 30, "visible_mm": 8}
    (limit,) = (v for k, v in highest.items() if function.__name__.endswith(k))
    assert (found <= limit).all()


@pytest.mark.parametrize("function", NAMED)
def test_a_single_number_gives_a_float_and_arrays_give_what_single_numbers_give(function):
    names = list(inspect.signature(function).parameters)
    rng = np.random.default_rng(1)
    many = {name: rng.permutation(log_span(name, 4)) for name in names}
    together = call(function, many)
    alone = [call(function, {k: float(v[i]) for k, v in many.items()}) for i in range(4)]
    assert all(type(value) is float for value in alone)
    np.testing.assert_allclose(together, alone, rtol=1e-9)


@pytest.mark.parametrize("function", NAMED)
def test_every_argument_is_checked(function):
    limits = tables.limits()
    usual = {name: limits[name].high for name in inspect.signature(function).parameters}
    for name in usual:
        for bad in (limits[name].high * 2 + 1, limits[name].low / 2, math.nan, "1", True):
            with pytest.raises(ValueError, match=limits[name].quantity):
                call(function, usual | {name: bad})


def falls(values, axis):
    return (np.diff(values, axis=axis) < 0).all()


def test_contrast_falls_with_depth_and_grows_with_diameter_everywhere():
    values = whole_range(calc.vein_contrast)
    values["upper_wall_depth_mm"] = span("upper_wall_depth_mm", 30).reshape(-1, 1, 1, 1, 1, 1)
    found = call(calc.vein_contrast, values)
    assert falls(found, 0)
    assert falls(-found, 1)
    assert falls(-found, 4)  # with what the blood absorbs
    values = whole_range(calc.skin_vein_contrast)
    values["upper_wall_depth_mm"] = span("upper_wall_depth_mm", 30).reshape(-1, 1, 1, 1, 1)
    found = call(calc.skin_vein_contrast, values)
    assert falls(found, 0)
    assert falls(found, 3)  # with melanin
    assert falls(-found, 4)
    assert (np.diff(np.log(found), axis=1) > -0.005).all()  # 0.5 %: the fit's own error


def test_contrast_fades_as_the_skin_absorbs_more_where_it_shows():
    values = whole_range(calc.vein_contrast)
    found = call(calc.vein_contrast, values)
    rise = np.diff(np.log(found), axis=3)[found[:, :, :, 1:] > 0.005]
    assert (rise < 0.04).all()  # 4 %: the fit's own error
    assert (rise < 0).mean() > 0.99


def test_the_band_widens_with_depth_and_a_fine_deep_vein_is_all_blur():
    depth = span("upper_wall_depth_mm", 40)
    width = calc.apparent_width_mm(depth, **USUAL)
    assert falls(-width, 0)
    tissue = {k: v for k, v in USUAL.items() if k != "lumen_diameter_mm"}
    blur = calc.blur_mm(depth, **tissue)
    assert falls(-blur, 0)
    assert (blur < width).all()
    assert blur[-1] > 0.8 * width[-1]  # for veins of 0.5 and 3 mm


def test_a_wide_vein_close_below_looks_narrower_than_it_is_and_a_deep_one_wider():
    wide = USUAL | {"lumen_diameter_mm": 6.0}
    assert calc.apparent_width_mm(0.3, **wide) < 6
    assert calc.apparent_width_mm(4.0, **wide) > 6


@given(st.floats(0.0005, 0.15), st.floats(0.5, 6), st.floats(0.5, 10))
def test_at_the_deepest_depth_contrast_is_ratio_times_noise(noise, diameter, ratio):
    given_ = USUAL | {"lumen_diameter_mm": diameter}
    depth = calc.deepest_visible_mm(noise, contrast_to_noise=ratio, **given_)
    low, high = (calc.vein_contrast(end, **given_) for end in (0.2, 8.0))
    if depth == 0:
        assert low < noise * ratio
    elif depth == 8:
        assert high >= noise * ratio * (1 - 1e-9)
    else:
        assert calc.vein_contrast(depth, **given_) == pytest.approx(noise * ratio, rel=1e-6)


def test_more_noise_or_darker_skin_hides_shallower_veins():
    noise = np.geomspace(0.001, 0.2, 12)
    assert (np.diff(calc.deepest_visible_mm(noise, **USUAL)) <= 0).all()
    assert (np.diff(calc.skin_deepest_visible_mm(noise, **IN_SKIN)) <= 0).all()
    tones = IN_SKIN | {"epidermal_melanin_fraction": np.array([0.02, 0.1, 0.4])}
    assert falls(calc.skin_deepest_visible_mm(0.02, **tones), 0)
    assert falls(
        calc.skin_brightness_share(
            850.0, epidermal_melanin_fraction=tones["epidermal_melanin_fraction"]
        ),
        0,
    )


def test_an_artery_differs_only_by_its_blood():
    place = {"picture_wavelength_nm": 850.0, "epidermal_melanin_fraction": 0.05}
    both = calc.vein_and_artery_contrast(1.0, lumen_diameter_mm=2.0, **place)
    for kind, found in zip(("venous", "arterial"), both, strict=True):
        blood = calc.named_blood(kind)
        absorption = calc.blood_absorption_per_mm(
            850.0, oxygen_saturation=blood.oxygen_saturation, haematocrit=blood.haematocrit
        )
        expected = calc.skin_vein_contrast(
            1.0, lumen_diameter_mm=2.0, vessel_absorption_per_mm=absorption, **place
        )
        assert found == pytest.approx(expected, rel=1e-6)


def test_the_fitted_skin_is_the_skin_of_the_tables():
    table = skin_visibility.skin_table()
    for nm in (700.0, 760.0, 850.0, 945.0, 1000.0):
        for melanin in (0.02, 0.3):
            epidermis, dermis, fat = calc.skin_layers(nm, melanin_fraction=melanin)
            assert skin_visibility.epidermal_depth(nm, melanin) == pytest.approx(
                epidermis.medium.absorption_per_mm * epidermis.thickness_mm, rel=1e-5
            )
            assert dermis.thickness_mm == table["dermis_mm"]
            for name, layer in (("dermis", dermis), ("fat", fat)):
                number = list(table["wavelength_nm"]).index(nm)
                assert table[f"{name}_absorption"][number] == pytest.approx(
                    layer.medium.absorption_per_mm, rel=1e-5
                )
                assert table[f"{name}_reduced_scattering"][number] == pytest.approx(
                    layer.medium.reduced_scattering_per_mm, rel=1e-5
                )


def compared(layers, blood, veins, fitted, photons):
    """Return how far a fit is from fresh transport, beyond three standard errors."""
    found, others, run = dimming.dimmed(
        layers,
        vein_medium=blood,
        veins=np.array(veins),
        across_mm=np.zeros((len(veins), 1)),
        photons=photons,
        seed=77,
    )
    value, error = found[:, 0], dimming.together(others)[:, 0]
    assert (error < 0.05 * value).all()
    return np.maximum(np.abs(fitted - value) - 3 * error, 0) / value, run


@pytest.mark.parametrize(
    ("scattering", "absorption", "blood"), [(0.9, 0.006, 0.3), (1.7, 0.02, 0.5), (2.8, 0.05, 1.0)]
)
def test_the_fit_agrees_with_fresh_transport(scattering, absorption, blood):
    veins = [(0.3, 0.7), (0.7, 5.0), (1.5, 2.0), (2.5, 4.0)]
    depths, diameters = np.array(veins).T
    fitted = calc.vein_contrast(
        depths,
        lumen_diameter_mm=diameters,
        skin_reduced_scattering_per_mm=scattering,
        skin_absorption_per_mm=absorption,
        vessel_absorption_per_mm=blood,
    )
    skin = Medium(absorption, scattering / 0.1, 0.9, 1.4)
    vein = Medium(blood, 1.25 / 0.02, 0.98, 1.4)
    off, _ = compared([Layer(skin, math.inf)], vein, veins, fitted, 40_000)
    assert off.max() < 0.05


@pytest.mark.parametrize(("nm", "melanin"), [(735.0, 0.03), (840.0, 0.3), (937.0, 0.1)])
def test_the_fit_of_layered_skin_agrees_with_fresh_transport(nm, melanin):
    veins = [(0.3, 0.7), (0.7, 5.0), (1.5, 2.0), (3.0, 4.0)]
    depths, diameters = np.array(veins).T
    place = {"picture_wavelength_nm": nm, "epidermal_melanin_fraction": melanin}
    fitted = calc.skin_vein_contrast(depths, lumen_diameter_mm=diameters, **place)
    layers = calc.skin_layers(nm, melanin_fraction=melanin)
    blood = calc.blood_medium(nm, oxygen_saturation=0.7, haematocrit=0.45)
    off, run = compared(layers, blood, veins, fitted, 60_000)
    assert off.max() < 0.06
    enters = 1 - (0.42 / 2.42) ** 2
    bright = calc.skin_brightness_share(nm, epidermal_melanin_fraction=melanin)
    assert bright == pytest.approx(enters * run.left.sum() / run.photons, rel=0.03)


@pytest.mark.parametrize("depth_mm", [0.5, 2.0])
def test_the_fitted_width_agrees_with_fresh_transport(depth_mm):
    found = calc.vein_shadows(
        [Layer(Medium(0.02, 18.0, 0.9, 1.4), math.inf)],
        vein_medium=Medium(0.5, 62.5, 0.98, 1.4),
        depths_mm=[depth_mm],
        diameters_mm=[1.0, 4.0],
        photons=40_000,
        seed=3,
    )
    for shadow in found.shadows:
        fitted = calc.apparent_width_mm(
            depth_mm, **USUAL | {"lumen_diameter_mm": shadow.diameter_mm}
        )
        width, error = shadow.width_mm
        assert fitted == pytest.approx(width, rel=0.05, abs=3 * error)


@pytest.mark.parametrize(
    ("nm", "melanin", "photons"),
    [
        (850.0, 0.05, 60_000),
        pytest.param(850.0, 0.05, 200_000, marks=pytest.mark.long),
        pytest.param(760.0, 0.2, 400_000, marks=pytest.mark.long),
        pytest.param(940.0, 0.02, 200_000, marks=pytest.mark.long),
    ],
)
def test_the_width_in_layered_skin_agrees_with_fresh_transport_where_dermis_gives_way_to_fat(
    nm, melanin, photons
):
    found = calc.vein_shadows(
        calc.skin_layers(nm, melanin_fraction=melanin),
        vein_medium=calc.blood_medium(nm, oxygen_saturation=0.7, haematocrit=0.45),
        depths_mm=[1.0, 1.2, 1.5, 3.0],
        diameters_mm=[3.0],
        photons=photons,
        seed=41,
    )
    skin = {"picture_wavelength_nm": nm, "epidermal_melanin_fraction": melanin}
    for shadow in found.shadows:
        fitted = calc.skin_apparent_width_mm(shadow.depth_mm, lumen_diameter_mm=3.0, **skin)
        width, error = shadow.width_mm
        assert error < 0.02 * width
        assert fitted == pytest.approx(width, abs=0.015 * width + 3 * error)
    bright = calc.skin_brightness_share(nm, epidermal_melanin_fraction=melanin)
    value, error = found.background
    assert bright == pytest.approx(value, abs=0.005 * value + 2 * error)


def test_the_width_beneath_the_dermis_is_that_of_long_runs():
    """850 nm, melanin 0.05, 3 mm: two long runs of `vein_shadows`, within 0.02 to 0.07 mm."""
    depths, widths = np.array([1.0, 1.2, 1.5, 3.0]), [5.27, 5.68, 6.20, 8.56]
    fitted = calc.skin_apparent_width_mm(depths, **IN_SKIN)
    np.testing.assert_allclose(fitted, widths, rtol=0.01)


def test_the_brightness_at_850_nm_is_that_of_long_runs():
    bright = calc.skin_brightness_share(850.0, epidermal_melanin_fraction=0.05)
    assert bright == pytest.approx(0.4792, rel=0.003)


@pytest.mark.long
def test_a_camera_straight_above_sees_some_per_cent_more_contrast_than_all_angles_have():
    aside, above = (
        calc.vein_shadows(
            calc.skin_layers(850, melanin_fraction=0.05),
            vein_medium=calc.blood_medium(850, oxygen_saturation=0.7, haematocrit=0.45),
            depths_mm=[0.5, 1.0],
            diameters_mm=[3.0],
            photons=photons,
            seed=5,
            exit_angle_deg=angle,
        ).shadows
        for angle, photons in ((90, 400_000), (20, 1_500_000))
    )
    for wide, narrow in zip(aside, above, strict=True):
        more = narrow.contrast.value / wide.contrast.value - 1
        error = math.hypot(*(s.contrast.standard_error / s.contrast.value for s in (wide, narrow)))
        assert error < 0.01
        assert 0.04 - 2 * error < more < 0.08 + 2 * error


def test_the_fit_says_what_it_was_made_for():
    fitted = light.fitted()
    assert fitted["anisotropy"] == 0.9
    assert fitted["exit_angle_deg"] == 90
    for name in ("contrast", "width", "skin_contrast", "skin_width", "skin_brightness"):
        row = fitted[name]
        assert len(row["coefficients"]) == len(powers(tuple(row["most"]), row["degree"]))


def test_a_polynomial_is_the_sum_of_its_terms():
    rng = np.random.default_rng(4)
    most, degree = (3, 2, 1), 4
    coefficients = tuple(rng.normal(size=len(powers(most, degree))))
    polynomial = Polynomial((1.0,) * 3, (5.0,) * 3, (0.0, 0.5, 0.0), most, degree, coefficients)
    points = rng.uniform(1, 5, (3, 20))
    expected = polynomial.terms(*points) @ coefficients
    np.testing.assert_allclose(polynomial(*points), expected, rtol=1e-12)
    x, y, z = (
        2 * np.log((points[i] + s) / (1 + s)) / np.log((5 + s) / (1 + s)) - 1
        for i, s in enumerate((0, 0.5, 0))
    )
    by_hand = sum(
        c * x**i * y**j * z**k
        for c, (i, j, k) in zip(coefficients, powers(most, degree), strict=True)
    )
    np.testing.assert_allclose(polynomial(*points), by_hand, rtol=1e-10)
    column, row = points[0][:, None], points[1][None, :]
    table = polynomial(column, row, 2.0)
    assert table.shape == (20, 20)
    assert table[3, 7] == pytest.approx(float(polynomial(points[0, 3], points[1, 7], 2.0)))
