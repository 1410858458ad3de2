"""The contrast of a vein's band, in frames painted by hand."""

import numpy as np
import pytest

from cubital.scene.anatomy.vessels import Vessel, View
from cubital.scene.truth.band_contrast import band_contrast

VIEW = View(320, 240, 0.25)  # its middle column lies between pixels 159 and 160
UPRIGHT = Vessel("one", "vein", *(np.array(v, float) for v in ((0, 0), (30, -30), (2, 2), (3, 3))))
ASLANT = Vessel(
    "two", "vein", *(np.array(v, float) for v in ((-20, 20), (20, -20), (2, 2), (3, 3)))
)


def painted(inside, *, band=150.0, skin=200.0):
    """A frame of even skin with a band where the function of column and row in mm is true."""
    row, column = np.mgrid[:240, :320]
    x, y = (column - 159.5) * 0.25, (row - 119.5) * 0.25
    return np.where(inside(x, y), band, skin)


def measured(frame, vessel=UPRIGHT, at_mm=30.0):
    return band_contrast(frame, view=VIEW, vessel=vessel, at_mm=at_mm)


@pytest.mark.parametrize(("band", "contrast"), [(150, 0.25), (180, 0.1), (200, 0)])
def test_a_band_of_even_darkness_has_its_own_contrast(band, contrast):
    frame = painted(lambda x, _: abs(x) < 2, band=band)
    assert measured(frame) == pytest.approx(contrast)


def test_a_band_brighter_than_the_skin_has_none():
    assert measured(painted(lambda x, _: abs(x) < 2, band=240)) == 0


def test_the_same_share_of_more_light_is_the_same_contrast():
    dim = painted(lambda x, _: abs(x) < 2, band=60, skin=80)
    assert measured(dim) == pytest.approx(measured(3 * dim))


def test_a_band_beside_the_vein_is_not_measured():
    assert measured(painted(lambda x, _: abs(x - 4) < 1)) == 0


def test_a_vein_that_runs_aslant_is_measured_across_its_own_way():
    frame = painted(lambda x, y: abs(x + y) < 2 * np.sqrt(2))
    assert measured(frame, ASLANT, ASLANT.length_mm / 2) == pytest.approx(0.25)
    assert measured(frame, UPRIGHT) < 0.25


def test_only_the_place_that_is_asked_for_counts():
    frame = painted(lambda x, y: (abs(x) < 2) & (y < 0))  # dark in the upper half alone
    ends = measured(frame, at_mm=15), measured(frame, at_mm=45)
    assert sorted(ends) == pytest.approx([0, 0.25])
