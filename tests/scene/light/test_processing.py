"""Laws of processing: what it brings out, what it hides, what it invents."""

import dataclasses

import numpy as np
import pytest
from scipy.optimize import brentq

from cubital.scene.anatomy.vessels import Anatomy, Camera, Limb, Scene, Skin, Vessel, View
from cubital.scene.light import picture, processing

FLAT = Limb(half_width_mm=400, sag_mm=0)
VIEW = View(240, 180, mm_per_px=0.25)
QUIET = Camera(noise_share=0, fall_off=0)


def scene(*vessels, skin=None, camera=QUIET, seed=0):
    """Return a scene of vessels on even skin, seen by a camera without noise."""
    skin = skin or Skin(texture_share=0)
    return Scene(Anatomy("", "adult", 1, FLAT, vessels), skin, VIEW, camera, seed)


def bar(width_px, contrast=0.1, shape=(160, 600)):
    """Return an upright dark band with the profile of a normal curve, finer than grey levels."""
    x = np.arange(shape[1]) - shape[1] // 2
    dark = contrast * np.exp(-4 * np.log(2) * (x / width_px) ** 2)
    row = 200 * (1 - dark)
    # the rest of each level is spread over the rows, so that the mean of them is right
    steps = (np.arange(shape[0]) + 0.5) / shape[0]
    return np.floor(row + steps[:, None]).astype(np.uint8)


def left(width_px, filter_px, gain=4.0):
    """Return how much of a band's contrast is left after processing, before the gain."""
    shown = processing.process(bar(width_px), filter_px=filter_px, gain=gain).astype(float)
    middle = shown.shape[1] // 2
    return (127.5 - shown[40:120, middle].mean()) / 255 / gain / 0.1


@pytest.mark.parametrize("width", [6, 12, 24, 48, 96])
def test_what_is_left_of_a_band_is_as_said(width):
    """Measured on a frame against the formula; what surrounds a band is a little darker by it."""
    expected = processing.passed_share(width * 0.25, filter_mm=24 * 0.25)
    assert left(width, 24) == pytest.approx(expected, rel=0.12, abs=0.01)


def test_bands_as_wide_as_the_filter_stand_out_most():
    widths = np.geomspace(4, 140, 30)
    shares = processing.passed_share(widths, filter_mm=24.0)
    assert shares.max() == pytest.approx(1, abs=0.01)
    assert widths[shares.argmax()] == pytest.approx(24, rel=0.13)
    found = [left(width, 24) for width in (6, 24, 96)]
    assert found[1] > 1.5 * max(found[0], found[2])


def test_the_range_of_widths_ends_where_the_share_is_left():
    for kernel, share in ((3.0, 0.5), (8.0, 0.8)):
        ends = processing.width_range_mm(kernel, least_share=share)
        assert ends[0] < kernel < ends[1]
        assert processing.passed_share(np.array(ends), filter_mm=kernel) == pytest.approx(share)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.95])
def test_the_range_of_widths_is_as_scipy_finds_it(share):
    def above(width_mm):
        return processing.passed_share(width_mm, filter_mm=4.0) - share

    expected = [brentq(above, *sides, xtol=1e-13) for sides in ((0.01, 4.0), (4.0, 200.0))]
    found = processing.width_range_mm(4.0, least_share=share)
    assert found == pytest.approx(expected, rel=1e-12)


def test_the_range_moves_with_the_filter():
    ends = [np.array(processing.width_range_mm(kernel)) for kernel in (2.0, 6.0)]
    assert ends[1] / ends[0] == pytest.approx(3)


def test_an_even_frame_becomes_middle_grey_however_bright():
    for level in (40, 128, 250):
        frame = np.full((60, 80), level, np.uint8)
        found = processing.process(frame, filter_mm=2.0, gain=10)
        assert np.abs(found.astype(float) - 127.5).max() <= 0.5


def test_the_step_grows_with_the_gain():
    small, large = (
        127.5 - processing.process(bar(24), filter_px=24, gain=gain)[40:120, 300].mean()
        for gain in (1, 4)
    )
    assert large / small == pytest.approx(4, rel=0.05)


def test_no_gain_shows_nothing():
    found = processing.process(bar(24), filter_px=24, gain=0)
    assert (found == 128).all()


def test_brightness_does_not_matter_but_contrast_does():
    """A frame half as bright looks the same when processed: noise alone then differs."""
    frame = bar(24)
    half = (frame.astype(float) / 2).round().astype(np.uint8)
    full, dimmed = (processing.process(f, filter_px=24, gain=3).astype(int) for f in (frame, half))
    assert np.abs(full - dimmed).max() <= 5  # grey levels are twice as coarse
    assert np.abs(full.mean(axis=0) - dimmed.mean(axis=0)).max() < 2


def test_millimetres_and_picture_elements_are_the_same_filter():
    frame = bar(24)
    first = processing.process(frame, filter_mm=6.0, mm_per_px=0.25, gain=3)
    assert (first == processing.process(frame, filter_px=24, gain=3)).all()


@pytest.mark.parametrize("kernel", [4.0, 12.0])
def test_noise_after_processing_is_as_said(kernel):
    rng = np.random.default_rng(2)
    frame = (150 * (1 + 0.05 * rng.standard_normal((400, 500)))).round().astype(np.uint8)
    found = processing.process(frame, filter_px=kernel, gain=1.0)[60:-60, 60:-60]
    expected = processing.noise_after(0.05, filter_px=kernel, gain=1.0)
    assert found.std() / 255 == pytest.approx(expected, rel=0.05)


def test_pure_noise_grows_into_bands_with_the_gain():
    bare = scene(camera=Camera(noise_share=0.02, fall_off=0))
    found = [processing.invented(bare, filter_mm=2.0, gain=gain) for gain in (1, 10, 40)]
    assert found[0].number == 0
    assert found[2].number > max(found[1].number, 3)
    assert found[2].strongest > found[1].strongest


def test_hair_makes_bands_for_a_narrow_filter_and_hardly_for_a_wide_one():
    hairy = scene(skin=Skin(hairs_per_cm2=3, texture_share=0))
    bald = scene()
    narrow, wide = (processing.invented(hairy, filter_mm=k, gain=3) for k in (0.8, 6.0))
    assert narrow.number > 10
    assert wide.number <= 0.2 * narrow.number
    assert processing.invented(bald, filter_mm=0.8, gain=3).number == 0


def test_a_vein_is_a_band_and_without_it_there_is_none():
    y, same = np.linspace(100, -100, 41), np.ones(41)
    vein = Vessel("a", "vein", 0 * y, y, 2 * same, 3 * same)
    of = scene(vein, camera=Camera(noise_share=0.01, fall_off=0))
    shown = processing.process(picture.frame(of), filter_mm=6, mm_per_px=0.25, gain=2)
    seen = processing.bands(shown, filter_px=24)
    assert seen.number == 1
    assert seen.length_px >= 180
    assert processing.invented(of, filter_mm=6, gain=2).number == 0


def test_veins_far_narrower_or_wider_than_the_filter_are_hidden():
    y, same = np.linspace(100, -100, 41), np.ones(41)
    fine = Vessel("fine", "vein", 0 * y, y, 0.3 * same, 0.6 * same)
    deep = Vessel("deep", "vein", 0 * y + 20, y, 5 * same, 4 * same)
    of = scene(fine, deep)
    narrow, wide = (
        {kept.vessel: kept.share.mean() for kept in processing.kept(of, filter_mm=kernel)}
        for kernel in (1.5, 12.0)
    )
    assert narrow["fine"] > 0.95
    assert narrow["deep"] < 0.5
    assert wide["deep"] > 0.95
    assert wide["fine"] < 0.5


def test_bands_are_long_and_narrow():
    frame = np.full((200, 200), 128, np.uint8)
    frame[20:60, 20:60] = 60  # a patch, not a band
    frame[100:104, 10:190] = 60
    frame[150:154, 10:24] = 60  # too short
    found = processing.bands(frame, filter_px=8)
    assert found.number == 1
    assert found.strongest == pytest.approx(67.5 / 255)
    region = np.zeros(frame.shape, bool)
    region[:90] = True
    assert processing.bands(frame, filter_px=8, region=region).number == 0


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"filter_mm": 0.0}, "width of the processing's filter is 0 mm"),
        ({"filter_mm": 3.0, "gain": -1}, "gain of the processing is -1"),
        ({"filter_mm": 3.0, "filter_px": 9}, "filter's width once"),
        ({}, "filter's width once"),
    ],
)
def test_impossible_controls_raise(wrong, words):
    with pytest.raises(ValueError, match=words):
        processing.process(np.full((40, 40), 100, np.uint8), **wrong)


def test_only_grey_frames_are_processed():
    for frame in (np.zeros((4, 4, 3), np.uint8), np.zeros((40, 40))):
        with pytest.raises(ValueError, match="it must be uint8"):
            processing.process(frame, filter_mm=2.0)


def test_nothing_of_the_scene_changes_by_looking_for_inventions():
    of = scene(camera=Camera())
    before = picture.frame(of).tobytes()
    processing.invented(dataclasses.replace(of), filter_mm=3.0, gain=10)
    assert picture.frame(of).tobytes() == before
