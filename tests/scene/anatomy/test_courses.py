"""The smooth curve through points is the one that `scipy.interpolate` draws, to the bit."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from cubital.scene.anatomy.courses import smooth

height = st.integers(-3, 3) | st.floats(-9, 9, width=16)  # so that neighbours are often equal
point = st.tuples(st.floats(0.125, 9, width=16), height, height)


@given(st.lists(point, min_size=3, max_size=9))
def test_a_curve_through_points_is_as_scipy_draws_it(rows):
    steps, *heights = np.array(rows, float).T
    along, points = np.cumsum(steps), np.column_stack(heights)
    places = np.concatenate([along, np.linspace(along[0], along[-1], 41)])
    assert np.array_equal(smooth(points, along, places), PchipInterpolator(along, points)(places))
