"""The step in grey of a band in a processed frame: on frames whose greys are set by hand."""

import numpy as np
import pytest

from cubital.scene.truth.processed_bands import RealBand


def upright(width_mm=4.0):
    """A band up the middle of a frame of 120 by 100."""
    return RealBand(np.full(41, 60.0), np.arange(30.0, 71.0), width_mm, 0.1)


def banded():
    """Grey 150 on the left, 100 on the band, 20 picture elements wide, and 130 on the right."""
    frame = np.full((100, 120), 150, np.uint8)
    frame[:, 50:71] = 100
    frame[:, 71:] = 130
    return frame


def test_the_step_is_that_to_the_darker_side():
    assert upright().step(banded(), mm_per_px=0.2) == pytest.approx(30 / 255)
    assert upright().step(banded()[:, ::-1], mm_per_px=0.2) == pytest.approx(30 / 255)


def test_a_band_that_is_lighter_has_a_step_below_nought():
    assert upright().step(255 - banded(), mm_per_px=0.2) == pytest.approx(-50 / 255)


def test_the_direction_of_the_band_does_not_matter():
    across = RealBand(upright().row, upright().column, 4.0, 0.1)
    assert across.step(banded().T, mm_per_px=0.2) == pytest.approx(30 / 255)


def test_the_sides_lie_a_width_away():
    wide, narrow = upright(8.0), upright(1.0)  # 40 and 5 picture elements
    assert wide.step(banded(), mm_per_px=0.2) == pytest.approx(30 / 255)
    assert narrow.step(banded(), mm_per_px=0.2) == pytest.approx(0)  # still on the band
