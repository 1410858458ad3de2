"""The check before use: where marks fall, by hand; and which answers stop the device."""

import math
from xml.etree import ElementTree

import pytest

from cubital.explore.readiness.pre_use import (
    AGAIN,
    ENLARGED,
    REGISTRATION,
    SHORT,
    OtherAnswers,
    PreUseCheck,
    pre_use_table,
)
from cubital.tables.readiness import pre_use_check

SVG = "{http://www.w3.org/2000/svg}"
RIGHT, UP = 36, 27  # three quarters of half of 96 and 72 mm


def shown(**state):
    return PreUseCheck(**state).show()


def farthest_by_hand(*, shift=0.0, size=0.0, turn=0.0):
    found = []
    for sign, (x, y) in zip(
        (1, -1, 1, -1), ((-RIGHT, -UP), (RIGHT, -UP), (RIGHT, UP), (-RIGHT, UP)), strict=True
    ):
        # as a complex number: turned and grown by one factor
        read = (
            complex(x, y)
            * (1 + size / 100)
            * complex(math.cos(math.radians(turn)), math.sin(math.radians(turn)))
        )
        found.append(abs(read + shift + 0.1 * sign - complex(x, y)))
    return max(found)


@pytest.mark.parametrize("shift", [-2, 0.2, 1.2])
@pytest.mark.parametrize("size", [-3, 0, 2])
@pytest.mark.parametrize("turn", [-2, 0, 1.5])
def test_the_farthest_mark_is_as_far_as_shift_size_and_turn_put_it(shift, size, turn):
    n = shown(
        projected_shift_mm=shift, projected_size_percent=size, projected_turn_deg=turn
    ).numbers
    wanted = farthest_by_hand(shift=shift, size=size, turn=turn)
    assert n.largest_error_mm == pytest.approx(wanted)
    assert n.passes == (wanted <= 1)


@pytest.mark.parametrize(
    ("tolerance", "says"), [(0.5, "Do not use it"), (1, "Do not use it"), (1.4, "Ready for use")]
)
def test_a_mark_farther_off_than_is_tolerated_stops_the_device(tolerance, says):
    picture = shown(projected_shift_mm=1.2, registration_tolerance_mm=tolerance)
    assert picture.readings[0].value == says
    assert (AGAIN in picture.readings[0].note) == (says == "Do not use it")


def test_every_other_question_has_a_no_and_the_table_decides_what_it_does():
    steps = {step.key: step for step in pre_use_check()}
    assert set(SHORT) == set(steps) - {REGISTRATION}
    for key in SHORT:
        picture = shown(other=key)
        first = picture.readings[0]
        stops = "Do not use it" if steps[key].stops else "Ready, with something to do first"
        assert first.value == stops, key
        assert first.note == steps[key].if_not
        assert picture.readings[3].value == OtherAnswers("yes").options()[key]


def test_a_good_device_is_ready_and_nothing_is_left_to_do():
    first = shown().readings[0]
    assert (first.value, first.note) == ("Ready for use", "")


def test_a_failed_mark_is_not_made_good_by_the_other_answers_nor_the_other_way_round():
    assert shown(projected_shift_mm=2, other="charged").readings[0].value == "Do not use it"
    assert shown(projected_shift_mm=0, other="clean").readings[0].value == "Do not use it"


def test_what_stands_out_is_said():
    assert "shifted by 1.2 mm" in shown(projected_shift_mm=1.2).readings[2].note
    assert "3.0% too large" in shown(projected_size_percent=3).readings[2].note
    assert "turned by 2.0 degrees" in shown(projected_turn_deg=2).readings[2].note


def test_a_ring_lies_in_its_circle_if_its_mark_is_tolerated():
    for shift in (0.2, 0.8, 1.2):
        figure = shown(projected_shift_mm=shift)
        circles = list(ElementTree.fromstring(figure.svg).iter(f"{SVG}circle"))[:8]
        inside = []
        for around, ring in zip(circles[::2], circles[1::2], strict=True):
            away = math.hypot(*(float(around.get(k)) - float(ring.get(k)) for k in ("cx", "cy")))
            inside.append(away <= float(around.get("r")) + 0.1)
        assert all(inside) == figure.numbers.passes, shift
        assert f"{sum(inside)} of 4 rings" in figure.alt


def test_errors_are_drawn_as_much_larger_as_is_said():
    figure = shown(projected_shift_mm=1.0)
    circles = list(ElementTree.fromstring(figure.svg).iter(f"{SVG}circle"))[:8]
    centres, rings = ([float(c.get("cx")) for c in circles[k::2]] for k in (0, 1))
    px_per_mm = (max(centres) - min(centres)) / (2 * RIGHT)
    assert (sum(rings) - sum(centres)) / 4 == pytest.approx(ENLARGED * px_per_mm * 1.0, abs=0.1)
    assert f"{ENLARGED} times too large" in figure.svg


def test_alt_says_what_the_figure_shows_now():
    figure = PreUseCheck()
    assert "the farthest is 0.30 mm off" in figure.picture["alt"]
    assert figure.picture["alt"].endswith("Ready for use.")
    figure.projected_shift_mm = 1.2
    assert "the farthest is 1.30 mm off" in figure.picture["alt"]
    assert figure.picture["alt"].endswith("Do not use it.")


def test_the_table_of_questions_has_each_with_its_consequence():
    rows = pre_use_table().rows
    assert [row[0] for row in rows] == [step.ask for step in pre_use_check()]
    assert [row[3] for row in rows].count("yes") == 6
