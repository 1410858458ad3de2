"""What visibility is worked out by is what textbooks' sums say, held against scipy's own."""

import numpy as np
import pytest
from scipy import signal

from cubital.scene.truth.visibility import _convolved

SIZES = [((30, 20), (5, 7)), ((24, 25), (24, 25)), ((20, 17), (4, 31)), ((12, 9), (40, 1))]


@pytest.mark.parametrize(("picture", "kernel"), SIZES)
def test_a_convolution_is_the_sum_over_each_pixels_surroundings(picture, kernel):
    rng = np.random.default_rng(3)
    one, other = rng.normal(size=picture), rng.normal(size=kernel)
    found = _convolved(one, other)
    by_sums = signal.convolve2d(one, other, mode="full")
    top, left = (kernel[0] - 1) // 2, (kernel[1] - 1) // 2
    by_sums = by_sums[top : top + picture[0], left : left + picture[1]]
    np.testing.assert_allclose(found, by_sums, rtol=0, atol=1e-12)
    np.testing.assert_allclose(
        found, signal.fftconvolve(one, other, mode="same"), rtol=0, atol=1e-12
    )
