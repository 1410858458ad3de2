"""Shadows of veins by transport: laws, and the same by following photons through the vein."""

import math

import numpy as np
import pytest

from cubital import calc
from cubital.calc.light.media import Layer, Medium, Vein
from cubital.calc.light.transport import dimming

SKIN = Medium(0.03, 9.0, 0.8, 1.4)
BLOOD = Medium(0.5, 9.0, 0.8, 1.4)
OPEN = [Layer(SKIN, math.inf)]


def shadows(layers=OPEN, **given):
    usual = {
        "vein_medium": BLOOD,
        "depths_mm": [1.0],
        "diameters_mm": [2.0],
        "photons": 10_000,
        "seed": 1,
    }
    return calc.vein_shadows(layers, **(usual | given))


def contrasts(**given):
    return np.array([shadow.contrast.value for shadow in shadows(**given).shadows])


def apart(one, other):
    """Return how many standard errors two scores are apart."""
    error = math.hypot(one.standard_error, other.standard_error)
    return abs(one.value - other.value) / error


def test_a_vein_of_the_same_medium_does_not_show():
    (shadow,) = shadows(vein_medium=SKIN).shadows
    np.testing.assert_allclose(shadow.dimming.value, 0, atol=1e-12)


def test_contrast_falls_with_depth_and_grows_with_diameter():
    depths, diameters = [0.3, 0.8, 1.5, 3.0, 5.0], [0.5, 1.0, 2.0, 4.0]
    found = contrasts(depths_mm=depths, diameters_mm=diameters).reshape(5, 4)
    assert (np.diff(found, axis=0) < 0).all()
    assert (np.diff(found, axis=1) > 0).all()
    assert ((found > 0) & (found < 1)).all()


def test_contrast_grows_with_what_the_blood_absorbs_and_fades_with_what_the_skin_does():
    blood = [contrasts(vein_medium=BLOOD._replace(absorption_per_mm=a)) for a in (0.2, 0.5, 1.0)]
    assert (np.diff(blood, axis=0) > 0).all()
    skin = [
        contrasts(layers=[Layer(SKIN._replace(absorption_per_mm=a), math.inf)])
        for a in (0.01, 0.03, 0.09)
    ]
    assert (np.diff(skin, axis=0) < 0).all()


def test_a_paler_vein_than_its_surroundings_looks_bright():
    assert contrasts(vein_medium=SKIN._replace(absorption_per_mm=0.005)) < 0


def test_the_band_widens_with_depth_and_with_diameter():
    found = shadows(depths_mm=[0.3, 1.0, 2.0, 4.0], diameters_mm=[1.0, 3.0], photons=40_000)
    widths = np.array([shadow.width_mm.value for shadow in found.shadows]).reshape(4, 2)
    assert (np.diff(widths, axis=0) > 0).all()
    assert (np.diff(widths, axis=1) > 0).all()


def test_a_dimming_falls_off_to_the_side():
    (shadow,) = shadows(photons=40_000).shadows
    assert (np.diff(shadow.dimming.value) < shadow.dimming.standard_error[1:]).all()
    assert shadow.dimming.value[-1] < shadow.dimming.value[0] / 3


def test_the_same_seed_gives_the_same_on_any_number_of_cores():
    one, two, other = shadows(cores=1), shadows(cores=2), shadows(seed=2)
    assert one.shadows[0].contrast == two.shadows[0].contrast
    assert one.background == two.background
    assert one.shadows[0].contrast != other.shadows[0].contrast


def test_standard_errors_tell_the_spread_over_seeds():
    found = [shadows(photons=4000, seed=seed).shadows[0] for seed in range(24)]
    for name in ("contrast", "width_mm"):
        values, errors = np.array([getattr(shadow, name) for shadow in found]).T
        # 24 values know their spread to 15 %
        assert 0.6 < values.std(ddof=1) / errors.mean() < 1.5


def test_progress_ends_at_all_photons():
    told = []
    shadows(photons=2000, progress=lambda done, total: told.append((done, total)))
    assert told[-1] == (2000, 2000)


@pytest.mark.parametrize("exit_angle_deg", [90, 40])
def test_the_background_is_what_transport_detects(exit_angle_deg):
    job = {"photons": 60_000, "exit_angle_deg": exit_angle_deg}
    found = shadows(seed=5, **job).background
    assert apart(found, calc.photon_run(OPEN, seed=6, **job).detected_reflectance) < 3.5


def test_layers_are_followed_as_transport_follows_them():
    layers = [
        Layer(Medium(0.4, 20.0, 0.8, 1.45), 0.1),
        Layer(Medium(0.02, 10.0, 0.8, 1.37), 1.0),
        Layer(Medium(0.01, 6.0, 0.7, 1.45), 8.0),
    ]
    found = shadows(layers, photons=60_000, seed=3).background
    assert apart(found, calc.photon_run(layers, photons=60_000, seed=4).diffuse_reflectance) < 3.5


def test_one_medium_cut_in_two_layers_is_the_same_medium():
    cut = [Layer(SKIN, 1.2), Layer(SKIN, math.inf)]  # through the vein
    one, two = shadows(photons=40_000), shadows(cut, photons=40_000, seed=2)
    assert apart(one.shadows[0].contrast, two.shadows[0].contrast) < 3.5
    assert apart(one.shadows[0].width_mm, two.shadows[0].width_mm) < 3.5


@pytest.mark.parametrize(
    "blood",
    [
        pytest.param(BLOOD, id="scatters as the skin"),
        pytest.param(Medium(0.5, 50.0, 0.98, 1.4), id="scatters as blood"),
        pytest.param(Medium(0.5, 6.0, 0.5, 1.4), id="scatters more"),
    ],
)
def test_photons_followed_through_the_vein_give_the_same(blood):
    (shadow,) = shadows(
        vein_medium=blood, depths_mm=[0.4], diameters_mm=[3.0], photons=40_000
    ).shadows
    followed = calc.followed_contrast(OPEN, vein=Vein(blood, 0.4, 3.0), photons=300_000, seed=2)
    assert followed.standard_error < 0.02
    assert apart(shadow.contrast, followed) < 3.5


def test_the_whole_band_is_that_of_a_broad_beam():
    strips, width = 61, 0.25
    run = calc.photon_run(
        OPEN,
        photons=300_000,
        seed=9,
        veins=[Vein(BLOOD, 0.6, 2.0)],
        beam="broad",
        across_bin_mm=width,
        across_bins=strips,
    )
    found = shadows(depths_mm=[0.6], photons=40_000)
    (shadow,) = found.shadows
    expected = np.interp(np.abs(run.across_mm), shadow.across_mm, shadow.dimming.value)
    near = np.abs(run.across_mm) <= shadow.across_mm[-1]
    dim = 1 - run.across_reflectance.value / found.background.value
    error = np.hypot(run.across_reflectance.standard_error / found.background.value, 0.003)
    off = ((dim - expected) / error)[near]
    assert np.mean(off**2) < 1.8
    assert abs(off.mean()) < 0.6


def test_the_scattering_of_the_vein_alone_is_weighed_right():
    """A vein that only scatters otherwise, weak enough for the plain weights: both ways agree."""
    even, paler = Medium(0.1, 1.8, 0.0, 1.4), Medium(0.1, 1.2, 0.0, 1.4)
    layers = [Layer(even, math.inf)]
    (shadow,) = shadows(
        layers, vein_medium=paler, depths_mm=[0.2], diameters_mm=[1.5], photons=200_000
    ).shadows
    followed = calc.followed_contrast(
        layers, vein=Vein(paler, 0.2, 1.5), photons=400_000, seed=2, cores=None
    )
    assert shadow.contrast.value > 3 * shadow.contrast.standard_error
    assert apart(shadow.contrast, followed) < 3.5


def test_a_width_is_where_the_profile_halves():
    across = np.linspace(0, 5, 501)
    bell = np.exp(-((across / 1.5) ** 2))
    expected = 2 * 1.5 * math.sqrt(math.log(2))
    assert dimming.full_width_at_half(bell, across) == pytest.approx(expected, rel=1e-4)
    assert np.isnan(dimming.full_width_at_half(np.ones(501), across))
    assert np.isnan(dimming.full_width_at_half(-bell, across))


def test_the_jackknife_of_a_mean_is_its_textbook_error():
    values = np.random.default_rng(1).normal(size=50)
    without = (values.sum() - values) / 49
    expected = values.std(ddof=1) / math.sqrt(50)
    assert dimming.jackknife(without) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("given", "fault"),
    [
        ({"layers": []}, "there is no layer"),
        ({"layers": [Layer(SKIN, 2.5)]}, "a vein reaches 3 mm deep"),
        ({"layers": [Layer(SKIN._replace(scattering_per_mm=0), 9)]}, "it must be above 0 1/mm"),
        ({"layers": [Layer(SKIN._replace(absorption_per_mm=0), math.inf)]}, "above 0 1/mm"),
        ({"vein_medium": BLOOD._replace(absorption_per_mm=math.nan)}, "absorption coefficient"),
        ({"depths_mm": [0]}, "depth of the vein"),
        ({"diameters_mm": [math.inf]}, "vein diameter"),
        ({"photons": 10}, "photons"),
        ({"exit_angle_deg": 0}, "exit angle"),
    ],
)
def test_impossible_values_raise(given, fault):
    with pytest.raises(ValueError, match=fault):
        shadows(**given)
