"""Flow beside an off-centre catheter, against three second ways and a published limit."""

import numpy as np
import pytest
from scipy.sparse import diags_array
from scipy.sparse.linalg import spsolve
from scipy.special import polygamma

from cubital import calc
from cubital.calc.sizing import annulus


def share_by_collocation(k, eccentricity, terms=24, points=400):
    """Solve the flow by harmonic functions fitted to the catheter's wall, and integrate it.

    v = 1 - r^2 + harmonic; each harmonic has its pole in the catheter and its image outside the
    vein, so the vein's wall is met exactly; the catheter's wall by least squares.
    """
    c = eccentricity * (1 - k)

    def harmonics(z):
        image = z.conj() / (1 - c * z.conj())  # of 1 / (z - c) in the unit circle
        parts = [np.log(np.abs(z - c)) - np.log(np.abs(1 - c * z))]
        parts += [((k / (z - c)) ** n).real - ((k * image) ** n).real for n in range(1, terms)]
        return np.stack(parts, axis=-1)

    angles = 2 * np.pi * (np.arange(points) + 0.5) / points
    wall = c + k * np.exp(1j * angles)
    fit, *_ = np.linalg.lstsq(harmonics(wall), np.abs(wall) ** 2 - 1, rcond=None)

    # from the catheter's wall to the vein's, along rays from the catheter's middle
    ray = np.exp(1j * angles)
    along = c * ray.real
    outer = -along + np.sqrt(along**2 + 1 - c**2)
    nodes, weights = np.polynomial.legendre.leggauss(40)
    radius = k + (outer - k)[:, None] * (nodes + 1) / 2
    z = c + radius * ray[:, None]
    speed = 1 - np.abs(z) ** 2 + harmonics(z) @ fit
    area = weights * radius * (outer - k)[:, None] / 2 * (2 * np.pi / points)
    return (speed * area).sum() / (np.pi / 2)


def share_by_finite_differences(k, steps):
    """Solve Poisson's equation on a square grid, with the catheter touching the wall."""
    places = (np.arange(2 * steps) + 0.5) / steps - 1
    x, y = np.meshgrid(places, places)
    open_cell = (np.hypot(x, y) < 1) & (np.hypot(x - (1 - k), y) > k)
    index = np.full(open_cell.shape, -1)
    index[open_cell] = np.arange(open_cell.sum())
    n = int(open_cell.sum())
    matrix = diags_array(np.full(n, 4.0)).tolil()
    for axis in (0, 1):
        for shift in (1, -1):
            there = np.roll(index, shift, axis)[open_cell]
            here = np.flatnonzero(there >= 0)
            matrix[here, there[here]] = -1
    speed = spsolve(matrix.tocsr(), np.full(n, 4 / steps**2))
    return speed.sum() / steps**2 / (np.pi / 2)


@pytest.mark.parametrize("eccentricity", [0.1, 0.4, 0.7, 0.85])
@pytest.mark.parametrize("k", [0.2, 0.33, 0.45, 0.6, 0.8])
def test_the_series_is_the_flow_that_collocation_finds(k, eccentricity):
    ours = calc.eccentric_flow_share(k, eccentricity=eccentricity)
    assert ours == pytest.approx(share_by_collocation(k, eccentricity), rel=2e-4)


@pytest.mark.parametrize("k", [0.33, 0.5])
def test_at_the_wall_finite_differences_close_in_on_the_exact_share(k):
    """A stair-stepped wall errs by the grid's width, so two grids are carried on to none."""
    coarse, fine = (share_by_finite_differences(k, steps) for steps in (60, 120))
    ours = calc.eccentric_flow_share(k, eccentricity=1)
    assert ours == pytest.approx(2 * fine - coarse, rel=0.01)


def test_the_sum_at_the_wall_is_scipys_trigamma_function():
    x = np.geomspace(1, 1e4, 60)
    np.testing.assert_allclose(annulus._trigamma(x), polygamma(1, x), rtol=1e-12)


@pytest.mark.parametrize("eccentricity", [0.25, 0.5, 0.75, 1])
def test_a_narrow_gap_leaves_1_plus_3_halves_eccentricity_squared(eccentricity):
    """Lubrication theory, from memory of textbooks: 2.5 times as much at the wall."""
    k = 0.995
    gain = calc.eccentric_flow_share(k, eccentricity=eccentricity) / calc.annulus_flow_share(k)
    assert gain == pytest.approx(1 + 1.5 * eccentricity**2, rel=1e-3)


@pytest.mark.parametrize("k", [0.1, 0.25, 1 / 3, 0.45, 0.6, 0.8, 0.95])
def test_up_to_two_and_a_half_times_more_at_the_wall(k):
    low, high = calc.flow_left_share(k)
    assert 1 < high / low < 2.5


def test_in_the_middle_are_the_concentric_shares():
    """Worked outside this project from the concentric formula: k and Q / Q0."""
    worked = {0.1: 0.57425, 0.25: 0.36210, 1 / 3: 0.26845, 0.45: 0.16250, 0.6: 0.06856}
    for k, share in worked.items():
        assert calc.eccentric_flow_share(k, eccentricity=0) == pytest.approx(share, abs=5e-6)
        near = calc.eccentric_flow_share(k, eccentricity=1e-4)
        assert near == pytest.approx(share, abs=5e-6)


@pytest.mark.parametrize("k", [0.05, 0.33, 0.45, 0.8, 0.99])
def test_at_the_wall_the_series_has_become_scipys_trigamma_function(k):
    exact = 1 - k**4 - 4 * k**2 * polygamma(1, 1 / (1 - k))
    assert calc.eccentric_flow_share(k, eccentricity=1) == pytest.approx(exact, rel=1e-6)
