"""Leaks that are seen and that are not, and a haematoma: pictures, volumes, tape."""

import math
from xml.etree import ElementTree

import numpy as np
import pytest

from cubital.explore.complications.haematoma_series import (
    NEVER,
    OFF,
    ON,
    HaematomaGrowing,
    blood_series,
)
from cubital.explore.complications.leak_series import (
    DEEP,
    LOOSE,
    OVER,
    VIEW,
    SeenAndUnseen,
    leak_series,
)

SVG = "{http://www.w3.org/2000/svg}"
WIDE = VIEW.width_px


def leaked(**state):
    return SeenAndUnseen(**state).show()


def blood(**state):
    return HaematomaGrowing(**state).show()


def halves(picture):
    return picture.frame[:, :WIDE], picture.frame[:, -WIDE:]


@pytest.mark.parametrize("minute", [0, 1, 2, 3, 10, 20])
@pytest.mark.parametrize("leak", [DEEP, LOOSE])
def test_an_unseen_leak_gives_the_very_picture_of_an_arm_without_a_leak(leak, minute):
    picture = leaked(leak=leak, minute=minute)
    left, right = halves(picture)
    assert np.array_equal(left, right)
    assert picture.numbers.differing == 0
    assert (picture.numbers.volume_ml > 0) == (minute > 2)
    assert picture.numbers.contrasts == picture.numbers.quiet_contrasts


def test_a_leak_over_the_vein_is_seen_from_the_first_picture_after_it_began():
    for minute in (0, 1, 2):
        left, right = halves(leaked(minute=minute))
        assert np.array_equal(left, right)
    for minute in (3, 10, 20):
        picture = leaked(minute=minute)
        left, right = halves(picture)
        assert picture.numbers.differing == np.count_nonzero(left - right)
        assert picture.numbers.differing > 0.05 * left.size
    (seen,), (unseen,) = leak_series(OVER).events, leak_series(DEEP).events
    assert (seen.picture_changes, seen.shown_frame) == (True, 3)
    assert (unseen.picture_changes, unseen.shown_frame) == (False, None)


@pytest.mark.parametrize("minute", [0, 2, 3, 12, 20])
def test_volume_and_tape_by_plain_arithmetic(minute):
    n = leaked(minute=minute, leak=DEEP).numbers
    volume = 30 / 60 * max(minute - 2, 0)
    assert n.volume_ml == pytest.approx(volume)
    # a round arm, as wide as the forearm of the scene, that takes it up along 100 mm
    radius = 36.3868
    thicker = math.sqrt(radius**2 + volume * 1000 / (math.pi * 100))
    assert n.girth_rise_mm == pytest.approx(2 * math.pi * (thicker - radius), abs=1e-3)
    along_200 = leaked(minute=minute, leak=LOOSE).numbers.girth_rise_mm
    assert along_200 <= n.girth_rise_mm


@pytest.mark.parametrize(("leak", "minute"), [(OVER, 0), (OVER, 2), (OVER, 12), (DEEP, 12)])
def test_darkness_of_the_band_is_what_plain_rows_of_the_picture_show(leak, minute):
    picture = leaked(leak=leak, minute=minute)
    rows = halves(picture)[0][122:143].astype(float).mean(axis=0)
    band = rows[98:111].min()
    skin = (rows[78:85].mean() + rows[124:131].mean()) / 2
    assert picture.numbers.contrast == pytest.approx(max(1 - band / skin, 0), abs=0.03)


def test_band_vanishes_where_the_fluid_is_over_it_and_stays_where_it_is_not():
    seen, unseen = leaked(minute=20).numbers, leaked(minute=20, leak=DEEP).numbers
    assert seen.at_first > 0.15
    assert seen.contrast < 0.02
    assert unseen.contrast == pytest.approx(unseen.at_first, abs=0.01)


def test_pictures_stand_beside_each_other_with_nothing_on_them():
    frame = leaked(minute=5).frame
    assert frame.shape == (240, 2 * 320 + 8)
    assert np.array_equal(frame[:, :320], leak_series(OVER).frames[5])
    assert np.array_equal(frame[:, 328:], leak_series(None).frames[5])
    assert (frame[:, 320:328] == 255).all()
    shown = blood(minute=4).frame
    assert np.array_equal(shown, blood_series(ON, NEVER)[1].frames[4])


@pytest.mark.parametrize("minute", [0, 1, 4, 10])
@pytest.mark.parametrize(("tourniquet", "pressure"), [(ON, 40), (OFF, 10)])
@pytest.mark.parametrize("pressing", [NEVER, 3, 1])
def test_blood_outside_by_the_equation(minute, tourniquet, pressure, pressing):
    # teaching assumptions of the course: 0.02 mL/min/mmHg, 0.15 mL/mmHg, height a tenth
    n = blood(minute=minute, tourniquet=tourniquet, pressing=pressing).numbers
    time = minute if pressing == NEVER else min(minute, pressing)
    volume = 0.15 * pressure * (1 - math.exp(-0.02 * time / 0.15))
    assert n.volume_ml == pytest.approx(volume)
    assert n.limit_ml == pytest.approx(0.15 * pressure)
    assert n.patch_mm == pytest.approx((6 * volume * 1000 / (math.pi * 0.1)) ** (1 / 3))


def test_a_darker_patch_grows_until_it_is_pressed():
    def dark(**state):
        first, now = blood().frame.astype(int), blood(**state).frame.astype(int)
        return np.count_nonzero(first - now > 15)

    assert 0 == dark(minute=0) < dark(minute=1) < dark(minute=4) < dark(minute=10)
    assert dark(minute=10, tourniquet=OFF) < dark(minute=10)
    assert dark(minute=10, pressing=1) == pytest.approx(dark(minute=1), rel=0.05)


@pytest.mark.parametrize("explorer", [SeenAndUnseen, HaematomaGrowing])
def test_the_ring_stands_on_the_solid_curve(explorer):
    root = ElementTree.fromstring(explorer(minute=7).show().svg)
    lines = [
        [tuple(map(float, pair.split(","))) for pair in line.get("points").split()]
        for line in root.iter(f"{SVG}polyline")
        if not line.get("stroke-dasharray")
    ]
    (ring,) = root.iter(f"{SVG}circle")
    x, y = float(ring.get("cx")), float(ring.get("cy"))
    assert any(
        y == pytest.approx(np.interp(x, *zip(*line, strict=True)), abs=0.3) for line in lines
    )


@pytest.mark.parametrize(("explorer", "most"), [(SeenAndUnseen, 20), (HaematomaGrowing, 10)])
def test_no_curve_goes_beyond_the_minute_shown(explorer, most):
    def lines(minute):
        root = ElementTree.fromstring(explorer(minute=minute).show().svg)
        (ring,) = root.iter(f"{SVG}circle")
        ends = [
            float(line.get("points").split()[-1].split(",")[0])
            for line in root.iter(f"{SVG}polyline")
        ]
        return float(ring.get("cx")), ends

    assert lines(0)[1] == []
    for minute in (1, 5, most):
        now, ends = lines(minute)
        assert len(ends) >= 2
        assert ends == pytest.approx([now] * len(ends), abs=0.1)


def test_alt_says_what_the_figure_shows_now():
    figure = SeenAndUnseen(minute=20)
    assert "over the vein: 9.0 mL so far" in figure.picture["alt"]
    assert "The two pictures differ" in figure.picture["alt"]
    figure.leak = DEEP
    assert "Fluid leaks, and the two pictures are the same" in figure.picture["alt"]
    figure = HaematomaGrowing(minute=0)
    assert "no patch yet" in figure.picture["alt"]
    figure.minute = 10
    assert "44 mm across, lies over one vein" in figure.picture["alt"]
    figure.tourniquet = OFF
    assert "Tourniquet taken off at once" in figure.picture["alt"]
