"""One run for many absorptions gives what a run for each would."""

from functools import partial

import numpy as np
import pytest

from cubital import calc
from cubital.calc import Layer, Medium, Vein

PALE, DERMIS = Medium(0.05, 10.0, 0.85, 1.4), Medium(0.02, 15.0, 0.9, 1.4)
BLOOD = Medium(0.3, 70.0, 0.98, 1.4)
SKIN = (Layer(PALE, 0.1), Layer(DERMIS, 10.0))
VEIN = Vein(BLOOD, 1.0, 2.0)
OPTIONS = {
    "veins": [VEIN],
    "beam": "broad",
    "across_bin_mm": 1.0,
    "across_bins": 16,
    "radial_bin_mm": 1.0,
    "radial_bins": 5,
    "exit_angle_deg": 70,
}
OWN = (0.05, 0.02, 0.3)
run = partial(calc.photon_run, photons=50_000, seed=1)
paths = partial(calc.photon_paths, photons=50_000, seed=1)


def with_absorptions(epidermis, dermis, blood):
    layers = [
        Layer(PALE._replace(absorption_per_mm=epidermis), 0.1),
        Layer(DERMIS._replace(absorption_per_mm=dermis), 10.0),
    ]
    return layers, [VEIN._replace(medium=BLOOD._replace(absorption_per_mm=blood))]


def test_at_its_own_absorptions_it_is_the_same_run():
    """The same photons: equal up to the single precision in which paths are kept."""
    found = calc.reweighted_reflectance(paths(SKIN, **OPTIONS), absorptions_per_mm=OWN)
    direct = run(SKIN, **OPTIONS)
    for name in ("detected_reflectance", "radial_reflectance_per_mm2", "across_reflectance"):
        ours, theirs = getattr(found, name), getattr(direct, name)
        np.testing.assert_allclose(ours.value, theirs.value, rtol=2e-4)
        np.testing.assert_allclose(ours.standard_error, theirs.standard_error, rtol=2e-3)
    np.testing.assert_array_equal(found.across_mm, direct.across_mm)
    np.testing.assert_array_equal(found.radial_mm, direct.radial_mm)


@pytest.mark.parametrize("absorptions", [(0.3, 0.02, 0.6), (2.0, 0.05, 0.3), (0.05, 0.2, 1.0)])
def test_at_others_it_is_what_a_run_for_these_gives(absorptions):
    found = calc.reweighted_reflectance(paths(SKIN, **OPTIONS), absorptions_per_mm=absorptions)
    layers, veins = with_absorptions(*absorptions)
    direct = run(layers, **OPTIONS | {"veins": veins, "seed": 7})
    error = np.hypot(
        found.detected_reflectance.standard_error, direct.detected_reflectance.standard_error
    )
    assert found.detected_reflectance.value == pytest.approx(
        direct.detected_reflectance.value, abs=3 * error
    )
    apart = found.across_reflectance.value - direct.across_reflectance.value
    errors = np.hypot(
        found.across_reflectance.standard_error, direct.across_reflectance.standard_error
    )
    assert np.sqrt(np.mean((apart / errors) ** 2)) < 1.5


def test_several_sets_give_what_each_gives():
    kept = paths(SKIN, **OPTIONS)
    sets = np.array([OWN, (0.5, 0.02, 0.3), (0.5, 0.1, 1.0)])
    together = calc.reweighted_reflectance(kept, absorptions_per_mm=sets)
    assert together.detected_reflectance.value.shape == (3,)
    assert together.across_reflectance.value.shape == (3, 16)
    for row, one in enumerate(sets):
        alone = calc.reweighted_reflectance(kept, absorptions_per_mm=one)
        assert type(alone.detected_reflectance.value) is float
        assert together.detected_reflectance.value[row] == alone.detected_reflectance.value
        np.testing.assert_array_equal(
            together.across_reflectance.standard_error[row],
            alone.across_reflectance.standard_error,
        )


def test_more_absorption_never_reflects_more():
    """Photon by photon, so without any error."""
    kept = paths(SKIN, **OPTIONS)
    sets = np.outer([1, 1.01, 2, 10, 100], OWN)
    values = calc.reweighted_reflectance(kept, absorptions_per_mm=sets).across_reflectance.value
    assert (np.diff(values, axis=0) <= 0).all()


def test_paths_are_possible_ways():
    exits = paths(SKIN, **OPTIONS).exits
    weight, _, _, cosine, epidermis, dermis, blood = exits.T
    assert (weight > 0).all()
    assert (cosine >= np.cos(np.radians(70)) - 1e-6).all()
    assert (epidermis >= 0.2 - 1e-6).sum() > 0.5 * len(exits)
    assert (epidermis > 0).all()
    assert (dermis >= 0).all()
    assert ((blood > 0) <= (dermis > 0)).all()


def test_what_is_kept_stays_within_bounds_and_true():
    """Thinned at random to the bound, the reflectance stays, with a larger error."""
    full, thin = (paths(SKIN, photons=100_000, keep=keep) for keep in (1_000_000, 5_000))
    assert len(thin.exits) <= 5_000 < len(full.exits)
    scores = [
        calc.reweighted_reflectance(kept, absorptions_per_mm=OWN[:2]).detected_reflectance
        for kept in (full, thin)
    ]
    assert scores[1].standard_error > scores[0].standard_error
    assert scores[1].value == pytest.approx(scores[0].value, abs=3 * scores[1].standard_error)


def test_impossible_absorptions_raise():
    kept = paths(SKIN, photons=1000)
    for bad, message in [
        ((0.1,), "each set must have 2"),
        ((0.1, 0.1, 0.1), "each set must have 2"),
        ((0.1, -0.1), "absorption coefficient is -0.1 1/mm"),
        ((0.1, np.nan), "absorption coefficient is nan 1/mm"),
        ((0.1, 0.009), "is 0.009 1/mm: for these paths it must be from 0.01 1/mm"),
    ]:
        with pytest.raises(ValueError, match=message):
            calc.reweighted_reflectance(kept, absorptions_per_mm=bad)
    with pytest.raises(ValueError, match="number of exits to keep is 10"):
        paths(SKIN, keep=10)
