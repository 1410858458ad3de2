"""The line and the vein: where two straight rays meet the skin."""

import math
from xml.etree import ElementTree

import pytest

from cubital import tables
from cubital.explore.focus.registration import SIDE_PX, TOP_PX, ShownAndTrue

SVG = "{http://www.w3.org/2000/svg}"
WORKING = tables.profile().working_distance_mm


def shown(**state):
    return ShownAndTrue(**state).show()


def by_rays(error, baseline):
    """The projector's ray: from (b, 0) through (0, s) on to the depth of the skin."""
    down = (WORKING + error) / WORKING
    return abs(baseline + (0 - baseline) * down)


@pytest.mark.parametrize("turn", [0, 30, 90, 135, 180])
@pytest.mark.parametrize("baseline", [0, 24, 48])
@pytest.mark.parametrize("error", [-30, -7, 0, 18])
def test_shift_is_where_the_projectors_ray_meets_the_skin(error, baseline, turn):
    n = shown(distance_error_mm=error, baseline_mm=baseline, rotation_deg=turn).numbers
    assert n.size_mm == pytest.approx(by_rays(error, baseline), abs=1e-12)
    # a turn changes neither the size nor, with the sideways part, what is left along the vein
    assert math.hypot(n.sideways_mm, n.along_mm) == pytest.approx(n.size_mm)
    assert n.sideways_mm == pytest.approx(
        by_rays(error, baseline) * abs(math.sin(math.pi * (90 - turn) / 180)), abs=1e-12
    )


def test_a_quarter_turn_takes_the_line_back_onto_the_vein_but_not_the_fork():
    n = shown(distance_error_mm=18, rotation_deg=90).numbers
    assert n.sideways_mm == pytest.approx(0, abs=1e-12)
    assert n.along_mm == pytest.approx(by_rays(18, 24))


def test_inside_the_window_it_can_be_sharp_and_beside_the_vein():
    n = shown(distance_error_mm=tables.profile().window_mm, baseline_mm=24).numbers
    assert n.is_sharp
    assert n.size_mm > n.tolerance_mm
    assert by_rays(n.allowed_mm, 24) == pytest.approx(n.tolerance_mm)


def test_with_one_axis_any_distance_does():
    values = {r.label: r.value for r in shown(baseline_mm=0, distance_error_mm=30).readings}
    assert "any distance" in values.values()


@pytest.mark.parametrize(("error", "turn"), [(18, 0), (-18, 0), (30, 60), (12, 90)])
def test_the_arrow_from_true_to_shown_fork_is_drawn_to_scale(error, turn):
    picture = shown(distance_error_mm=error, rotation_deg=turn)
    root = ElementTree.fromstring(picture.svg)
    above, beside = (c for c in root.iter(f"{SVG}circle") if c.get("r") == "8")
    x, y = float(above.get("cx")), float(above.get("cy"))
    e = 24 * error / WORKING
    assert (x - 320) / TOP_PX == pytest.approx(e * math.cos(math.radians(turn)), abs=0.01)
    assert (y - 136) / TOP_PX == pytest.approx(e * math.sin(math.radians(turn)), abs=0.01)
    camera = next(c for c in root.iter(f"{SVG}circle") if c.get("r") == "6")
    assert (float(camera.get("cx")) - float(beside.get("cx"))) / SIDE_PX == pytest.approx(
        e, abs=0.02
    )


def test_alt_says_what_the_figure_shows_now():
    figure = ShownAndTrue(distance_error_mm=18)
    assert "The line lies 2.0 mm beside the vein, to the right" in figure.picture["alt"]
    figure.distance_error_mm = -18
    assert "The line lies 2.0 mm beside the vein, to the left" in figure.picture["alt"]
    assert "the skin is 18 mm too near" in figure.picture["alt"]
