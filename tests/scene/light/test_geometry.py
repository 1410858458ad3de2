"""Between skin and picture: there and back, and how much skin a pixel shows."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital.scene.anatomy.vessels import View
from cubital.scene.light.geometry import mm_per_px_at, to_picture, to_skin

VIEWS = st.builds(
    View,
    mm_per_px=st.floats(0.05, 0.4),
    turn_deg=st.floats(-180, 180),
    tilt_deg=st.floats(0, 40),
    tilt_towards_deg=st.floats(0, 360),
    distance_mm=st.floats(150, 300),
    centre_mm=st.tuples(st.floats(-20, 20), st.floats(-20, 20)),
)
PIXELS = st.tuples(st.floats(0, 639), st.floats(0, 479))


@given(VIEWS, PIXELS)
def test_a_pixel_taken_to_the_skin_and_back_is_the_same(view, pixel):
    assert to_picture(view, *to_skin(view, *pixel)) == pytest.approx(pixel, abs=1e-6)


@given(VIEWS, PIXELS)
def test_a_pixel_shows_as_much_skin_as_its_corners_span(view, pixel):
    """Second method: the area between four places on the skin, by their differences."""
    column, row = pixel
    steps = 0.01
    right, left = (np.array(to_skin(view, column + s, row)) for s in (steps, -steps))
    low, high = (np.array(to_skin(view, column, row + s)) for s in (steps, -steps))
    (a, b), (c, d) = right - left, low - high
    area = abs(a * d - b * c) / (2 * steps) ** 2
    assert float(mm_per_px_at(view, column, row)) == pytest.approx(np.sqrt(area), rel=1e-4)


def test_twice_as_far_a_pixel_shows_twice_as_much():
    near, far = (mm_per_px_at(View(distance_mm=d), 320, 240) for d in (150.0, 300.0))
    assert far / near == pytest.approx(2)
