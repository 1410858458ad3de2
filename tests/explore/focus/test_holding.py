"""Holding: shares of time by the normal distribution, and holds that come back the same."""

from statistics import NormalDist
from xml.etree import ElementTree

import numpy as np
import pytest

from cubital import tables
from cubital.explore.focus.holding import HandOrStand
from cubital.tables.focus import holdings

SVG = "{http://www.w3.org/2000/svg}"


def shown(**state):
    return HandOrStand(**state).show()


@pytest.mark.parametrize("holding", ["hand-held", "braced"])
@pytest.mark.parametrize("setting", [-24, 0, 6, 12])
def test_long_holds_spend_what_the_normal_distribution_says(holding, setting):
    n = shown(holding=holding, setting_error_mm=setting).numbers
    moving = NormalDist(setting, holdings()[holding].drift_sd_mm)
    for share, half in ((n.window_share, 18), (n.tolerance_share, 220 / 24)):
        # the tremor, a twentieth of a millimetre, is left out here
        wanted = moving.cdf(half) - moving.cdf(-half)
        assert share == pytest.approx(wanted, abs=1e-3)


@pytest.mark.parametrize("hold", [1, 4, 12])
def test_shares_of_this_hold_are_counted_on_the_curve(hold):
    n = shown(hold=hold, setting_error_mm=12).numbers
    for share, half in ((n.this_window_share, 18), (n.this_tolerance_share, 220 / 24)):
        inside = sum(-half <= error <= half for error in n.errors_mm)
        assert share == pytest.approx(inside / len(n.errors_mm))
    assert n.errors_mm[0] == pytest.approx(12, abs=0.06)  # at rest where it was set


def test_one_hold_is_always_the_same_and_the_next_another():
    first, again, other = (shown(hold=k).numbers.errors_mm for k in (3, 3, 5))
    assert np.array_equal(first, again)
    assert not np.allclose(first, other)


def test_setting_farther_off_moves_the_whole_hold():
    near, far = (shown(setting_error_mm=e).numbers.errors_mm for e in (-5, 10))
    assert np.allclose(far - near, 15)


def test_many_holds_wander_as_widely_as_the_table_says():
    late = [shown(hold=k, setting_error_mm=0).numbers.errors_mm[100:] for k in range(1, 13)]
    assert np.std(late) == pytest.approx(holdings()["hand-held"].drift_sd_mm, rel=0.35)


def test_a_stand_that_was_set_wrong_stays_wrong():
    n = shown(holding="fixed-stand", setting_error_mm=12).numbers
    assert n.window_share == pytest.approx(1)
    assert n.tolerance_share == pytest.approx(0, abs=1e-6)


def test_levels_are_those_of_window_and_tolerance():
    root = ElementTree.fromstring(shown().svg)
    labels = {t.text: float(t.get("y")) - 4 for t in root.iter(f"{SVG}text")}
    low, twelve = labels["\N{MINUS SIGN}12"], labels["+12"]
    zero = (low + twelve) / 2
    dashes = {"7 4": tables.profile().window_mm, "2 3": 220 / 24}
    for dash, wanted in dashes.items():
        found = [
            (zero - float(line.get("y1"))) / (zero - twelve) * 12
            for line in root.iter(f"{SVG}line")
            if line.get("stroke-dasharray") == dash
        ]
        assert sorted(found) == pytest.approx([-wanted, wanted], abs=0.05)


def test_alt_says_what_the_figure_shows_now():
    figure = HandOrStand()
    assert "held in the free hand, set 6 mm too far: hold 4 of 12" in figure.picture["alt"]
    figure.holding = "fixed-stand"
    assert "on a fixed stand" in figure.picture["alt"]
    assert "100 % of the time in the window" in figure.picture["alt"]
