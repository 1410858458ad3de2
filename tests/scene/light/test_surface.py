"""How creases, tendons, moles, scars and glare look: measured in pictures without noise."""

import dataclasses

import numpy as np
import pytest

from cubital.scene.anatomy.vessels import (
    Anatomy,
    Camera,
    Limb,
    Line,
    Scene,
    Skin,
    Vessel,
    View,
)
from cubital.scene.light import picture, surface

FLAT = Limb(half_width_mm=400, sag_mm=0)
SHARP = View(200, 160, mm_per_px=0.2)
CREASE = Line("crease", (-25.0, 0.0, 25.0), (0.0, 0.0, 0.0), (0.08, 0.08, 0.08), 0.8)
TENDON = Line("tendon", (0.0, 0.0, 0.0), (-40.0, 0.0, 40.0), (0.05, 0.05, 0.05), 1.5)


def scene(*lines, vessels=(), view=SHARP, seed=0):
    who = Anatomy("none", "adult", 1, FLAT, vessels)
    camera = Camera(noise_share=0, fall_off=0)
    return Scene(who, Skin(texture_share=0), view, camera, seed, lines)


def change(of):
    """By which share the light differs from that of the same skin that shows nothing."""
    return picture.light(of) / picture.light(scene(view=of.view)) - 1


def test_a_crease_is_a_thin_dark_line_across():
    found = change(scene(CREASE))
    column = found[:, 100]
    assert column.min() == pytest.approx(-0.08, abs=0.004)  # less what the lens blurs
    assert abs(int(column.argmin()) - 79.5) <= 1
    dark = column < column.min() / 2
    # full width at half of a normal curve: 2.355 spreads of 0.8 mm
    assert dark.sum() * SHARP.mm_per_px == pytest.approx(2.355 * 0.8, abs=0.4)
    assert np.ptp(found[80]) < 0.002  # alike all along


def test_a_tendon_is_a_light_ridge_between_two_darker_furrows():
    row = change(scene(TENDON))[80]
    ridge = int(row.argmax())
    assert row[ridge] == pytest.approx(0.05, abs=0.004)
    left, right = int(row[:ridge].argmin()), ridge + int(row[ridge:].argmin())
    assert row[left] == pytest.approx(row[right], abs=0.002)
    assert -0.03 < row[left] < -0.015
    # alike on both sides, some 2.4 spreads of 1.5 mm away
    assert (ridge - left) * 0.2 == pytest.approx(3.6, abs=0.5)
    assert (right - ridge) * 0.2 == pytest.approx(3.6, abs=0.5)
    assert surface.darkest(TENDON) == pytest.approx(-row.min(), abs=0.002)


def test_a_mole_is_a_dark_spot_of_its_size_with_an_edge():
    # 4 mm long across the picture and 3 mm wide: the line is half as long again as the mole
    mole = Line("mole", (-3.0, 0.0, 3.0), (0.0, 0.0, 0.0), (0.2, 0.2, 0.2), 1.5)
    found = change(scene(mole))
    assert found.min() == pytest.approx(-0.2, abs=0.005)
    dark = found < -0.1
    assert dark[80].sum() * SHARP.mm_per_px == pytest.approx(4.0, abs=0.3)
    assert dark[:, 100].sum() * SHARP.mm_per_px == pytest.approx(3.0, abs=0.3)
    # an ellipse: pi / 4 of its box
    assert dark.sum() * SHARP.mm_per_px**2 == pytest.approx(np.pi / 4 * 12, rel=0.08)
    assert np.abs(found[:, 130]).max() < 1e-3


def test_an_old_scar_is_a_light_line():
    scar = Line("scar", (-15.0, 0.0, 15.0), (0.0, 0.0, 0.0), (0.0, 0.07, 0.0), 0.7)
    found = change(scene(scar))
    middle = found[:, 100]
    assert middle.max() == pytest.approx(0.07, abs=0.006)
    assert -0.025 < middle.min() < -0.005
    assert surface.darkest(scar) == pytest.approx(-middle.min(), abs=0.004)


SHEEN = Line("glare", (0.0, 0.0, 0.0), (-12.0, 0.0, 12.0), (0.1, 0.1, 0.1), 2.5)


def test_glare_saturates_in_flecks_and_hides_what_lies_below():
    y = np.linspace(150, -150, 61)
    same = np.ones(61)
    vein = Vessel("a", "vein", 0 * same, y, 1 * same, 3 * same)
    bare, full = scene(SHEEN), scene(SHEEN, vessels=(vein,))
    light, below = picture.background(bare), picture.light(full)
    assert light.max() == 1  # of full scale: no more can be recorded
    flecks = light == 1
    assert 20 < flecks.sum() < 0.05 * flecks.size
    assert below[flecks].min() > 0.8
    plain = picture.light(scene(vessels=(vein,)))
    hidden = 1 - below / light
    assert hidden[flecks].mean() < 0.25 * (1 - plain / picture.background(scene()))[flecks].mean()
    assert surface.darkest(SHEEN) == 0


def test_glare_adds_as_much_in_dark_skin():
    def most(melanin):
        skin = Skin(melanin_fraction=melanin, texture_share=0)
        pair = (dataclasses.replace(scene(*lines), skin=skin) for lines in ((SHEEN,), ()))
        glaring, even = (picture.background(one) for one in pair)
        return np.percentile(glaring - even, 90)

    assert most(0.3) == pytest.approx(most(0.02), rel=0.01)


def test_the_brightest_skin_is_told_beside_glare():
    wide = View(320, 240, mm_per_px=0.25)
    rest, shining = (picture.background(scene(*lines, view=wide)) for lines in ((), (SHEEN,)))
    assert picture.skin_top(shining) == pytest.approx(picture.skin_top(rest), rel=0.26)
    assert shining.max() > 1.3 * picture.skin_top(shining)


def test_skin_far_from_a_line_is_as_it_was():
    found = change(scene(CREASE))
    away = np.abs(np.arange(160) - 79.5) * SHARP.mm_per_px > surface.REACH * 0.8 + 1
    assert np.abs(found[away]).max() == 0


def test_a_line_follows_its_points_and_its_strength():
    bowed = Line("crease", (-15.0, 0.0, 15.0), (0.0, 4.0, 0.0), (0.02, 0.1, 0.02), 0.6)
    found = change(scene(bowed))
    middle = found[:, 100]
    assert (int(middle.argmin()) - 79.5) * 0.2 == pytest.approx(4.0, abs=0.3)
    assert found[:, 40].min() > 0.6 * middle.min()  # fainter towards its end
    assert np.abs(found[:, :20]).max() < 1e-4  # and gone beyond it


def test_a_line_keeps_its_place_on_the_skin_however_the_camera_looks():
    turned = View(200, 160, mm_per_px=0.2, turn_deg=90)
    upright = change(scene(CREASE, view=turned))
    assert upright[80].argmin() == pytest.approx(99.5, abs=1)
    assert np.ptp(upright[20:140, int(upright[80].argmin())]) < 0.01


def test_vessels_below_it_are_as_dark_as_without_it():
    y = np.linspace(150, -150, 61)
    same = np.ones(61)
    vein = Vessel("a", "vein", 0 * same, y, 2 * same, 3 * same)
    with_line, without = (
        picture.light(one) / picture.background(one)
        for one in (scene(CREASE, vessels=(vein,)), scene(vessels=(vein,)))
    )
    assert with_line == pytest.approx(without, abs=2e-3)
