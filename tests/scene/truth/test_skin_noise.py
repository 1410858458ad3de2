"""The noise of a band's measure on skin without bands: against patches drawn one by one."""

from dataclasses import replace

import numpy as np
import pytest

from cubital import tables
from cubital.scene.anatomy.vessels import Anatomy, Camera, Limb, Scene, View
from cubital.scene.truth.segments import Stretch
from cubital.scene.truth.skin_noise import SkinNoise

WIDTH_PX = 8  # of the band: its piece is 16 px long, each strip beside it 2 px wide
BARE = Anatomy("none", "adult", 1, Limb(60), ())
SCENE = Scene(BARE, view=View(mm_per_px=0.05), camera=Camera(noise_share=0.0))
EYE = tables.constant("eye-contrast-noise").value
DRAWS = 20_000


def stretch_at(column, row):
    """An upright stretch about one place of the picture."""
    along = np.arange(3.0)
    columns, rows = np.full(3, float(column)), row + along
    return Stretch("one", "vein", along, *(along,) * 4, columns, rows, "end", "end")


def noise(background, *, share=0.0, at=(320, 240)):
    scene = replace(SCENE, camera=Camera(noise_share=share))
    return SkinNoise(scene, background).at(stretch_at(*at), WIDTH_PX)


def test_on_even_skin_without_camera_noise_the_eye_s_own_is_left():
    assert noise(np.ones((480, 640))) == pytest.approx(EYE)


@pytest.mark.parametrize("brightness", [0.2, 1.0])
def test_camera_noise_is_that_of_a_piece_of_band_against_one_strip(brightness):
    share = 0.1
    pixel = np.random.default_rng(3).normal(0, share / np.sqrt(brightness), (DRAWS, 16, 10))
    by_hand = np.std(pixel[:, :, :8].mean(axis=(1, 2)) - pixel[:, :, 8:].mean(axis=(1, 2)))
    background = np.full((480, 640), brightness)
    assert noise(background, share=share) == pytest.approx(np.hypot(by_hand, EYE), rel=0.02)


def test_texture_counts_against_the_darker_of_the_two_strips():
    texture = 0.2
    rng = np.random.default_rng(4)
    spots = 1 - rng.exponential(texture, (240, 320)) + texture  # few dark ones, as of hair
    background = spots.repeat(2, axis=0).repeat(2, axis=1)
    spot = -rng.exponential(texture, (DRAWS, 8, 6))  # the same, spots of 2 px by 2 px
    strips = np.minimum(spot[:, :, 4].mean(axis=1), spot[:, :, 5].mean(axis=1))
    by_hand = np.std(spot[:, :, :4].mean(axis=(1, 2)) - strips)
    assert noise(background) == pytest.approx(np.hypot(by_hand, EYE), rel=0.05)


def test_camera_noise_is_taken_by_the_light_at_the_stretch():
    background = np.ones((480, 640))
    background[:, :100] = 0.1
    dark, bright = (noise(background, share=0.1, at=(column, 240)) for column in (50, 500))
    assert dark > 2 * bright
