"""Photons followed many at a time, in whole arrays, against those that are compiled."""

import math

import numpy as np
import pytest
from scipy import stats

from cubital.calc.light.media import Layer, Medium
from cubital.calc.light.transport import batches, crowd, dimming

SKIN = [
    Layer(Medium(0.6, 27.0, 0.87, 1.42), 0.1),
    Layer(Medium(0.05, 16.0, 0.87, 1.39), 1.0),
    Layer(Medium(0.03, 9.0, 0.8, 1.45), math.inf),
]
SHEET = [Layer(Medium(0.1, 2.0, 0.0, 1.4), 0.4), Layer(Medium(0.05, 3.0, 0.5, 1.33), 0.6)]
OPEN = [Layer(Medium(0.03, 9.0, 0.8, 1.4), math.inf)]
JOB = {
    "veins": np.array([[0.3, 2.0], [1.5, 3.0]]),
    "across_mm": np.array([[0.0, 0.8], [0.0, 2.0]]),
    "absorptions_per_mm": [0.3, 0.8],
    "photons": 20_000,
}


@pytest.fixture
def without_numba(monkeypatch):
    monkeypatch.setattr(dimming, "can_compile", lambda: False)


def scores(sums):
    """Return the share that left and all dimmings, each with its error."""
    per_photon = sums.left / batches.batch_sizes(sums.photons)[:, None]
    left = per_photon.mean(axis=0), per_photon.std(axis=0, ddof=1) / math.sqrt(len(per_photon))
    dim = sums.dimming(), dimming.jackknife(sums.without_each())
    return tuple(np.concatenate([a.ravel(), b.ravel()]) for a, b in zip(left, dim, strict=True))


@pytest.mark.parametrize(
    ("layers", "more"),
    [
        pytest.param(SKIN, {}, id="three layers"),
        pytest.param(SHEET, {"veins": np.array([[0.1, 0.5], [0.2, 0.3]])}, id="a sheet"),
        pytest.param(SKIN, {"exit_angle_deg": 40}, id="some angles"),
        pytest.param(OPEN, {"scatterings_per_mm": (0.0, 8.5)}, id="a vein of its own scattering"),
        pytest.param(OPEN, {"backgrounds_per_mm": [[0.03], [0.06]]}, id="two backgrounds"),
    ],
)
def test_both_forms_agree_within_their_errors(monkeypatch, layers, more):
    """Of some thirty numbers none lies far off, and they are off as chance has it."""
    compiled = dimming.sums(layers, seed=11, **(JOB | more))
    monkeypatch.setattr(dimming, "can_compile", lambda: False)
    crowded = dimming.sums(layers, seed=12, **(JOB | more))
    (one, one_error), (other, other_error) = scores(compiled), scores(crowded)
    apart = (one - other) / np.hypot(one_error, other_error)
    assert np.abs(apart).max() < 3.5
    assert other_error == pytest.approx(one_error, rel=0.5)
    assert crowded.lost == compiled.lost == 0


def test_batches_are_spread_as_those_that_are_compiled(monkeypatch):
    """What each batch says of one vein: two samples of one distribution."""
    found = []
    for which in (True, False):
        monkeypatch.setattr(dimming, "can_compile", lambda which=which: which)
        of = dimming.sums(OPEN, seed=5, **JOB)
        found.append(of.taken[:, 0, 0, 1, 0, 0] / of.left[:, 0])
    assert stats.ks_2samp(*found).pvalue > 0.01


def test_the_same_seed_gives_the_same_and_another_another(without_numba):
    job = JOB | {"photons": 2000}
    one, again, other = (dimming.sums(OPEN, seed=seed, **job) for seed in (1, 1, 2))
    assert (one.taken == again.taken).all()
    assert (one.left != other.left).any()


def test_photons_are_used_up_in_parts_as_at_once(without_numba, monkeypatch):
    whole = dimming.sums(OPEN, seed=1, **JOB)
    monkeypatch.setattr(crowd, "KEPT", 20_000)
    parts = dimming.sums(OPEN, seed=1, **JOB)
    assert parts.left == pytest.approx(whole.left, rel=1e-12)
    assert parts.taken == pytest.approx(whole.taken, rel=1e-9, abs=1e-12)


def test_progress_climbs_to_all_photons(without_numba):
    told = []
    dimming.sums(OPEN, seed=1, progress=lambda *done: told.append(done), **JOB)
    assert told == sorted(told)
    assert told[-1] == (JOB["photons"],) * 2
    assert len(told) > 20


def test_paths_that_are_too_long_are_given_up_and_counted(without_numba, monkeypatch):
    monkeypatch.setattr(crowd, "STEPS", 30)
    clear = [Layer(Medium(1e-6, 9.0, 0.8, 1.0), math.inf)]
    found = dimming.sums(clear, seed=1, **(JOB | {"photons": 1000}))
    assert 100 < found.lost < 1000


def test_mirrored_light_is_fresnels():
    """Straight down from 1.5 into air 4 % is mirrored; beyond the critical angle all is.

    At a cosine of 3/4 the sine beyond is sqrt(63/64): amplitudes of 4/5 across and 3/5 along.
    """
    reflectance, beyond = crowd.fresnel(np.array([1.0, 0.75, 0.7]), np.full(3, 1.5))
    assert reflectance == pytest.approx([0.04, 0.5, 1.0])
    assert beyond[0] == 1
    assert beyond[2] == 0
