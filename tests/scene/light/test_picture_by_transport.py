"""Simulated pictures against fresh photon transport, and against what can be told at all.

Nothing measured on people was found to compare a picture's contrast with: the picture is held to
the transport that the course itself rests on, not to the fits that it is made from.
"""

import dataclasses

import numpy as np
import pytest
from scipy import stats
from scipy.ndimage import gaussian_filter

from cubital import calc, tables
from cubital.scene.anatomy.vessels import Anatomy, Camera, Limb, Scene, Skin, Vessel, View
from cubital.scene.light import picture

FLAT = Limb(half_width_mm=400, sag_mm=0)
DEPTHS_MM, DIAMETERS_MM = (0.5, 1.0, 1.5, 2.0, 3.0), (1.5, 3.5)
PHOTONS = 150_000
SCENES = 200  # with a vein, and as many without


def straight(depth_mm: float, diameter_mm: float, x_mm: float = 0.0) -> Vessel:
    """Lay a straight vein along y, through the picture and far beyond it."""
    y, same = np.linspace(200, -200, 81), np.ones(81)
    return Vessel("a", "vein", x_mm * same, y, depth_mm * same, diameter_mm * same)


def fresh(skin: Skin) -> calc.Shadows:
    """Follow photons through the skin and lay the ten veins across their paths."""
    kind = calc.named_blood("venous")
    return calc.vein_shadows(
        calc.skin_layers(skin.wavelength_nm, melanin_fraction=skin.melanin_fraction),
        vein_medium=calc.blood_medium(
            skin.wavelength_nm,
            oxygen_saturation=kind.oxygen_saturation,
            haematocrit=kind.haematocrit,
        ),
        depths_mm=DEPTHS_MM,
        diameters_mm=DIAMETERS_MM,
        photons=PHOTONS,
        seed=71,
    )


def photographed(depth_mm: float, diameter_mm: float, skin: Skin) -> tuple[float, float]:
    """Measure contrast and full width at half of it on a frame without noise [-, mm]."""
    view = View(width_px=641, height_px=32, mm_per_px=0.15)
    camera = Camera(noise_share=0, fall_off=0)
    of = Scene(
        Anatomy("", "adult", 1, FLAT, (straight(depth_mm, diameter_mm),)), skin, view, camera
    )
    light, bare = picture.light(of)[16], picture.background(of)[16]
    dark = 1 - light / bare
    side = dark[dark.argmax() :]
    half = np.interp(-side.max() / 2, -side, np.arange(len(side)))
    return float(dark.max()), 2 * half * view.mm_per_px


def test_contrast_and_width_in_the_picture_are_those_of_fresh_transport():
    """Ten veins: contrast within 10 %, width within 0.3 mm of runs.

    Standard errors of the runs are below 2 % of the contrast and 0.12 mm of the width.
    """
    skin = Skin(texture_share=0)
    found = fresh(skin).shadows
    assert len(found) == 10
    for shadow in found:
        assert shadow.contrast.standard_error < 0.02 * shadow.contrast.value
        assert shadow.width_mm.standard_error < 0.12
        contrast, width = photographed(shadow.depth_mm, shadow.diameter_mm, skin)
        assert contrast == pytest.approx(shadow.contrast.value, rel=0.1)
        assert width == pytest.approx(shadow.width_mm.value, abs=0.3)


# ---- what can be told at all

VIEW = View(width_px=96, height_px=96, mm_per_px=0.5)
CAMERA = Camera(noise_share=0.01, fall_off=0)
SKIN = Skin(texture_share=0.02)


def pictured(depth_mm: float | None, seed: int, skin: Skin = SKIN) -> Scene:
    """Return a small scene with one straight vein 3 mm wide, or none."""
    vessels = () if depth_mm is None else (straight(depth_mm, 3.0),)
    return Scene(Anatomy("", "adult", 1, FLAT, vessels), skin, VIEW, CAMERA, seed)


def template(depth_mm: float) -> np.ndarray:
    """Return what a vein changes in the even picture, whole length and width."""
    even = dataclasses.replace(SKIN, texture_share=0)
    with_vein, without = (picture.light(pictured(z, 0, even)) for z in (depth_mm, None))
    return (with_vein - without).astype(float)


def separation(depth_mm: float) -> float:
    """Predict d' of the matched filter from contrast, noise and texture.

    d' = sum of squares of the template over the spread of the filter's answer: white noise and
    rounding, and unevenness that is white noise blurred by normal curves of the stated spreads.
    """
    t = template(depth_mm)
    level = picture.brightness(SKIN)
    white = CAMERA.noise_share**2 * level + 1 / 12 / 255**2
    variance = white * (t**2).sum()
    share = tables.constant("texture-broad-share").value
    wide = np.pad(t, 64)
    for name, part in (("texture-fine", 1 - share), ("texture-broad", share)):
        spread = tables.constant(name).value / VIEW.mm_per_px
        # a blur of variance 1 in all: the sum of squares of its weights is 1 / (4 pi spread^2)
        filtered = gaussian_filter(wide, spread, mode="constant", truncate=4)
        own = 4 * np.pi * spread**2 * (filtered**2).sum()
        variance += (SKIN.texture_share * level) ** 2 * part * own
    return (t**2).sum() / np.sqrt(variance)


def area_under_curve(depth_mm: float, scenes: int) -> tuple[float, float, float]:
    """Return the area under the matched filter's curve and its 95 % interval (DeLong)."""
    t = template(depth_mm)
    answers = [
        np.array([(t * picture.frame(pictured(z, seed))).sum() for seed in seeds])
        for z, seeds in (
            (depth_mm, range(scenes)),
            (None, range(scenes, 2 * scenes)),
        )
    ]
    above = (answers[0][:, None] > answers[1]) + 0.5 * (answers[0][:, None] == answers[1])
    area = above.mean()
    spread = np.sqrt(sum(above.mean(axis=axis).var(ddof=1) for axis in (0, 1)) / scenes)
    return area, area - 1.96 * spread, area + 1.96 * spread


def test_beyond_the_detectable_depth_nobody_can_tell():
    """400 scenes; deeper than where the whole vein's d' falls to 0.1 the area holds a half."""
    depths = np.arange(1.0, 30.0)
    beyond = next(z for z in depths if separation(z) < 0.1)
    assert 6 < beyond < 25
    area, low, high = area_under_curve(beyond, SCENES)
    assert low < 0.5 < high
    assert area < 0.6


def test_a_shallow_vein_is_always_told():
    assert separation(1.5) > 4
    area, low, _ = area_under_curve(1.5, 40)
    assert area > 0.99
    assert low > 0.97


def test_the_filter_tells_veins_between_as_often_as_predicted():
    """Area = Phi(d' / sqrt 2) for answers that are normal with equal spread."""
    depth = next(z for z in np.arange(2.0, 20.0, 0.25) if separation(z) < 1.2)
    _, low, high = area_under_curve(depth, SCENES)
    assert low - 0.02 < stats.norm.cdf(separation(depth) / np.sqrt(2)) < high + 0.02
