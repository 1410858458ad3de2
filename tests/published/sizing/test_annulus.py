"""Flow round a catheter in a vein, against a published result and a second route."""

import numpy as np
import pytest

from cubital import calc


def share_by_velocity_profile(ratio, steps=600):
    """Solve (1/r)(r v')' = -4 between catheter and wall by finite differences, and sum the flow.

    In an empty vein of radius 1 the same equation gives v = 1 - r^2 and a flow of pi / 2.
    """
    radius = np.linspace(ratio, 1, steps + 1)
    step = radius[1] - radius[0]
    inner = radius[1:-1]
    below, above = inner - step / 2, inner + step / 2
    matrix = np.diag(-(below + above)) + np.diag(above[:-1], 1) + np.diag(below[1:], -1)
    speed = np.zeros_like(radius)
    speed[1:-1] = np.linalg.solve(matrix, -4 * step**2 * inner)
    return np.trapezoid(speed * 2 * np.pi * radius, radius) / (np.pi / 2)


@pytest.mark.parametrize("ratio", [0.05, 0.2, 0.33, 0.45, 0.6, 0.8])
def test_the_velocity_profile_summed_gives_the_same_share(ratio):
    assert calc.annulus_flow_share(ratio) == pytest.approx(
        share_by_velocity_profile(ratio), rel=1e-4
    )


def test_flow_falls_by_as_much_as_the_paper_says():
    """nifong-2011, "as much as 93 %" (second-hand, a summary of the paper): here at 0.60."""
    assert 1 - calc.annulus_flow_share(0.60) == pytest.approx(0.93, abs=0.005)
