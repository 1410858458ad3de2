"""The steps of a picture on whole arrays, each against a second way of computing it."""

import math

import numpy as np
import pytest
from scipy import ndimage

from cubital.scene.anatomy import person
from cubital.scene.anatomy.vessels import Scene, View
from cubital.scene.light import shading, stamping

CHANCE = np.random.default_rng(5)
PICTURE = CHANCE.random((40, 53), np.float32)


@pytest.mark.parametrize("site", person.SITES)
def test_the_nearest_place_on_a_vessel_is_the_nearest_of_points_laid_close_along_it(site):
    scene = Scene(person.anatomy(site, seed=3), view=View(160, 120))
    grid = shading.Grid.of(scene.view, 4)
    places = grid.x_mm.ravel(), grid.y_mm.ravel()
    for vessel in scene.anatomy.vessels:
        points = vessel.x_mm, vessel.y_mm
        found = stamping.nearest(places, points, vessel.along_mm, (False, False), 15.0)
        close = np.linspace(0, vessel.length_mm, 4001)
        x, y = (np.interp(close, vessel.along_mm, values) for values in points)
        far = np.hypot(places[0][:, None] - x, places[1][:, None] - y)
        assert set(found.index) == set(np.flatnonzero(far.min(axis=1) <= 15))
        assert found.beside == pytest.approx(far[found.index].min(axis=1), abs=0.02)
        # the way as well leads to a place as near
        on_way = [np.interp(found.way, vessel.along_mm, values) for values in points]
        aside = np.hypot(*(p[found.index] - q for p, q in zip(places, on_way, strict=True)))
        assert aside == pytest.approx(found.beside, abs=1e-4)


def test_beyond_an_open_end_the_way_goes_on_and_beyond_a_closed_one_it_ends():
    line = np.linspace(0, 10, 21)
    places = np.array([-3.0, 14.0]), np.array([4.0, 3.0])
    for is_open, way, beside in ((True, [-3, 14], [4, 3]), (False, [0, 10], [5, 5])):
        found = stamping.nearest(places, (line, 0 * line), line, (is_open, is_open), 9.0)
        assert found.way == pytest.approx(way)
        assert found.beside == pytest.approx(beside)


def test_places_beyond_reach_are_left_out():
    line = np.linspace(0, 10, 21)
    places = np.full(3, 5.0), np.array([2.9, 3.1, 40.0])
    found = stamping.nearest(places, (line, 0 * line), line, (False, False), 3.0)
    assert found.index.tolist() == [0]
    nothing = stamping.nearest(places, (line, 0 * line), line, (False, False), 1.0)
    assert [len(part) for part in nothing[:3]] == [0, 0, 0]


def test_blur_is_that_of_two_correlations():
    kernel = np.array([0.05, 0.2, 0.5, 0.2, 0.05], np.float32)
    expected = PICTURE.astype(float)
    for axis in (0, 1):
        expected = ndimage.correlate1d(expected, kernel.astype(float), axis, mode="nearest")
    found = stamping.blurred(PICTURE, kernel)
    assert found.dtype == np.float32
    assert found == pytest.approx(expected, rel=1e-6)


def test_a_tile_is_read_between_its_elements_and_beyond_its_edges():
    rows, columns = CHANCE.uniform(-90, 90, (2, 30, 20))
    found = stamping.sampled(PICTURE, rows, columns)
    wide = np.tile(PICTURE.astype(float), (7, 7))
    places = [rows + 3 * PICTURE.shape[0], columns + 3 * PICTURE.shape[1]]
    assert found == pytest.approx(ndimage.map_coordinates(wide, places, order=1), abs=1e-5)


def test_a_picture_is_enlarged_by_the_weights_as_matrices():
    (rows, row_weights), (columns, column_weights) = (
        (CHANCE.integers(0, length - 4, many), CHANCE.random((many, 4), np.float32))
        for length, many in zip(PICTURE.shape, (90, 120), strict=True)
    )
    across, down = np.zeros((120, 53)), np.zeros((90, 40))
    for matrix, first, weights in (
        (across, columns, column_weights),
        (down, rows, row_weights),
    ):
        for k in range(4):
            matrix[np.arange(len(first)), first + k] += weights[:, k]
    found = stamping.enlarged(PICTURE, rows, row_weights, columns, column_weights)
    assert found.dtype == np.float32
    assert found == pytest.approx(down @ PICTURE @ across.T, rel=1e-5)


def test_hair_covers_its_length_times_its_width_where_it_lies():
    """The thick half at its width, the other half, to the tip, at half of it on the average."""
    columns = np.linspace(10, 40, 13)[None]
    rows = np.full((1, 13), 20.25)
    covered = stamping.strewn(columns, rows, np.array([0.4]), PICTURE.shape)
    assert covered.sum() == pytest.approx(30 * 0.4 * 0.75, rel=1e-3)
    assert covered[20].sum() == pytest.approx(3 * covered[21].sum(), rel=1e-5)
    assert covered[20, 12:24] == pytest.approx(0.75 * 0.4, rel=0.03)
    assert covered[20, 30:40].mean() < 0.75 * covered[20, 20:30].mean()
    assert np.delete(covered, (20, 21), axis=0).max() == 0


def test_hair_beside_the_picture_covers_what_reaches_into_it():
    columns, rows = CHANCE.uniform(-20, 70, (2, 40, 1)) + np.linspace(0, 9, 13)
    widths = CHANCE.uniform(0.1, 1, 40)
    whole = stamping.strewn(columns + 60, rows + 60, widths, (190, 190))
    part = stamping.strewn(columns, rows, widths, PICTURE.shape)
    assert part == pytest.approx(whole[60:100, 60:113], abs=1e-5)
    assert part.max() > 0


def test_noise_grows_as_the_square_root_of_light_and_grey_ends_at_its_limits():
    light = np.array([[0.25, 0.25, 0.01, 1.0, 0.0]], np.float32)
    noise = np.array([[1, -1, 1, 3, -3]], np.float32)
    levels = [255 * (v + 0.1 * math.sqrt(v) * n) for v, n in zip(light[0], noise[0], strict=True)]
    expected = [min(max(math.floor(level + 0.5), 0), 255) for level in levels]
    assert stamping.recorded(light, noise, 0.1)[0].tolist() == expected
