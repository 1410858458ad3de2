"""The check on a target: shifts and turns by hand, and the verdict on the farthest mark."""

import cmath
import math
from xml.etree import ElementTree

import pytest

from cubital.explore.focus.target_check import (
    ERROR_PX,
    MIDDLE,
    PX_PER_MM,
    READ_OFF_MM,
    TRUE_MM,
    CheckOnTarget,
)

SVG = "{http://www.w3.org/2000/svg}"


def checked(**state):
    return CheckOnTarget(**state).show()


def errors_by_hand(error, turn):
    """Marks as complex numbers, turned, shifted by baseline over distance, and misread."""
    shift = 24 * error / 220
    turned = (complex(x, y) * cmath.exp(1j * math.pi * turn / 180) for x, y in TRUE_MM)
    return [
        abs(mark + shift + complex(*off) - complex(*true))
        for mark, off, true in zip(turned, READ_OFF_MM, TRUE_MM, strict=True)
    ]


@pytest.mark.parametrize("turn", [-3, -1, 0, 0.5, 2])
@pytest.mark.parametrize("error", [-24, -6, 0, 5, 15])
def test_verdict_is_on_the_farthest_mark(error, turn):
    n = checked(distance_error_mm=error, rotation_deg=turn).numbers
    errors = errors_by_hand(error, turn)
    assert n.farthest_mm == pytest.approx(max(errors))
    assert n.verdict == ("Pass" if max(errors) <= 1 else "Fail")
    assert n.is_in_place.tolist() == [e <= 1 for e in errors]


def test_readings_are_right_on_average():
    assert [sum(part) for part in zip(*READ_OFF_MM, strict=True)] == pytest.approx([0, 0])


@pytest.mark.parametrize("error", [-18, 7, 15])
def test_a_wrong_distance_shows_as_a_shift_of_all_marks(error):
    n = checked(distance_error_mm=error).numbers
    assert n.shift_mm == pytest.approx(abs(24 * error / 220))
    assert n.turn_deg == pytest.approx(0, abs=0.3)


@pytest.mark.parametrize("turn", [-3, 2])
def test_a_turned_picture_shows_as_a_turn_and_no_distance_mends_it(turn):
    n = checked(rotation_deg=turn).numbers
    assert n.turn_deg == pytest.approx(turn, abs=0.3)
    assert n.shift_mm == pytest.approx(0, abs=0.05)
    verdicts = {
        checked(rotation_deg=turn, distance_error_mm=e).numbers.verdict for e in range(-24, 25)
    }
    assert verdicts == {"Fail"}


def test_remarks_name_what_stands_out():
    notes = {r.label: r.note for r in checked(distance_error_mm=15).readings}
    assert "check the distance first" in notes["Whole picture shifted by"]
    assert notes["Turned by"] == ""
    notes = {r.label: r.note for r in checked(rotation_deg=3).readings}
    assert "check how the target lay" in notes["Turned by"]
    assert notes["Whole picture shifted by"] == ""


@pytest.mark.parametrize("state", [{}, {"distance_error_mm": 15}, {"rotation_deg": 2}])
def test_dots_are_in_place_and_triangles_are_not(state):
    picture = checked(**state)
    root = ElementTree.fromstring(picture.svg)
    dots = [c for c in root.iter(f"{SVG}circle") if c.get("r") == "4"]
    triangles = list(root.iter(f"{SVG}polygon"))
    inside = int(picture.numbers.is_in_place.sum())
    assert (len(dots), len(triangles)) == (inside, 9 - inside)
    tips = [t.get("points").split()[0].split(",") for t in triangles]
    drawn = {(float(c.get("cx")), float(c.get("cy"))) for c in dots} | {
        (float(x), float(y)) for x, y in tips
    }
    wanted = [
        tuple(
            m + PX_PER_MM * t + ERROR_PX * (v - t)
            for m, t, v in zip(MIDDLE, true, mark, strict=True)
        )
        for true, mark in zip(TRUE_MM, picture.numbers.shown_mm, strict=True)
    ]
    assert sorted(drawn) == [pytest.approx(place, abs=0.06) for place in sorted(wanted)]


def test_alt_says_what_the_figure_shows_now():
    figure = CheckOnTarget()
    assert "9 projected marks lie in their circle" in figure.picture["alt"]
    assert "at the working distance" in figure.picture["alt"]
    figure.distance_error_mm = 15
    assert "0 projected marks lie in their circle" in figure.picture["alt"]
    assert "Fail." in figure.picture["alt"]
