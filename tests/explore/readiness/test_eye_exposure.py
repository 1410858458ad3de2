"""Light at the eye: against the inverse square, the printed limits, and where it is drawn."""

import math
from xml.etree import ElementTree

import numpy as np
import pytest

from cubital.explore.readiness.eye_exposure import EyeExposure

SVG = "{http://www.w3.org/2000/svg}"
INTENSITY = 0.45  # W/sr, of the invented lamp


def limit_by_hand(time_s):
    return 18000 / time_s**0.75 if time_s < 1000 else 100


def shown(**state):
    return EyeExposure(**state).show()


def said(**state):
    return {r.label: r.value.replace("\N{NO-BREAK SPACE}", " ") for r in shown(**state).readings}


@pytest.mark.parametrize("distance_mm", [30, 110, 220, 600])
@pytest.mark.parametrize("time_s", [1, 5, 60, 600, 3600, 28800])
def test_margin_is_the_printed_limit_over_the_inverse_square(distance_mm, time_s):
    n = shown(source_distance_mm=distance_mm, exposure_time_s=time_s).numbers
    light = INTENSITY / (distance_mm / 1000) ** 2
    assert n.eye.exposure == pytest.approx(light)
    assert n.eye.limit == pytest.approx(limit_by_hand(time_s))
    assert n.eye.margin == pytest.approx(limit_by_hand(time_s) / light)
    assert (n.skin is None) == (time_s >= 10)


def test_the_curve_is_the_limit_at_every_time():
    n = shown().numbers
    assert np.allclose(n.limits_w_per_m2, [limit_by_hand(t) for t in n.times_s])
    assert (n.times_s[0], n.times_s[-1]) == pytest.approx((1, 30000))


def test_half_the_distance_leaves_a_quarter_of_the_margin():
    near, far = (shown(source_distance_mm=d).numbers.eye.margin for d in (110, 220))
    assert near == pytest.approx(far / 4)


def test_the_lower_of_two_limits_for_the_retina_counts():
    # 0.45 W/sr from a disc of 6 mm, weighted at 850 nm; 6000 over 6/220 rad, by the older rule
    weighted = INTENSITY / (math.pi * 0.003**2) * 10**-0.3
    retina = shown().numbers.retina
    assert retina.margin == pytest.approx(6000 / (6 / 220) / weighted)
    assert retina.guideline == "iec-62471-2006"


def test_skin_has_a_limit_only_in_a_short_time():
    assert said()["Skin"] == "no limit in numbers"
    # 5 s: 20000 t^0.25 over 5 s of light
    margin = 20000 * 5**0.25 / (5 * INTENSITY / 0.22**2)
    assert said(exposure_time_s=5)["Skin"] == f"{margin:.0f} times below the limit"


def test_over_the_limit_is_said_as_that():
    near = {"source_distance_mm": 30, "exposure_time_s": 3600}
    assert said(**near)["Cornea and lens"] == "over the limit, 5.00 times as much"
    assert "it is above the limit of 100 W/m²" in shown(**near).alt
    assert "over the limit" in shown(**near).spoken


@pytest.mark.parametrize(("distance_mm", "time_s"), [(220, 600), (30, 28800), (600, 1)])
def test_the_two_rings_stand_where_the_scales_say(distance_mm, time_s):
    root = ElementTree.fromstring(shown(source_distance_mm=distance_mm, exposure_time_s=time_s).svg)
    up, across = {}, {}
    for text in root.iter(f"{SVG}text"):
        if text.text.replace(",", "").isdigit():
            axis = up if text.get("text-anchor") == "end" else across
            axis[text.text] = text
    low, high = (float(up[key].get("y")) - 4 for key in ("1", "100,000"))
    left, right = (float(across[key].get("x")) for key in ("1", "10,000"))
    rings = list(root.iter(f"{SVG}circle"))
    powers = [5 * (low - float(ring.get("cy"))) / (low - high) for ring in rings]
    light = INTENSITY / (distance_mm / 1000) ** 2
    wanted = [math.log10(limit_by_hand(time_s)), math.log10(light)]
    assert powers == pytest.approx(wanted, abs=0.005)
    for ring in rings:
        power = 4 * (float(ring.get("cx")) - left) / (right - left)
        assert power == pytest.approx(math.log10(time_s), abs=0.005)


def test_alt_says_what_the_figure_shows_now():
    figure = EyeExposure()
    assert "light at 220 mm, 9.30 W/m². At 10 minutes it is below" in figure.picture["alt"]
    figure.exposure_time_s = 28800
    assert "At 8 hours it is below the limit of 100 W/m²" in figure.picture["alt"]


def test_says_that_the_lamp_is_invented_and_that_a_margin_permits_nothing():
    assert "Invented for teaching" in EyeExposure().notice
    assert "permits nobody to look into a light" in EyeExposure().notice
