"""The refill by steps: its numbers against the frames themselves and against plain arithmetic."""

import itertools

import numpy as np
import pytest

from cubital.explore.reading import refill_steps
from cubital.explore.reading.refill_steps import FINGER_MM, LAST, STROKED_TO_MM, RefillSteps
from cubital.scene.light import geometry

VALVE_MM, LEFT = 91.27, 0.1  # the last valve of the stroke; the share that a stroke leaves


def numbers(**state):
    return RefillSteps(**state).show().numbers


def grey_along(frame):
    """Grey levels of the frame along the stroked vein, by the way from its far end."""
    scene = refill_steps.scene()
    vessel = scene.anatomy.vessel("median")
    way = np.arange(50.0, 100.0, 0.5)
    places = (np.interp(way, vessel.along_mm, values) for values in (vessel.x_mm, vessel.y_mm))
    column, row = geometry.to_picture(scene.view, *places)
    near = [
        frame[row.round().astype(int), column.round().astype(int) + shift] for shift in (-1, 0, 1)
    ]
    return way, np.mean(near, axis=0)


def pale_mm(frame, rest):
    """Where the vein is paler than at rest by half of what an empty one is."""
    way, grey = grey_along(frame)
    paler = np.convolve(grey - grey_along(rest)[1], np.ones(5) / 5, mode="same")
    return way[paler > 15]


@pytest.mark.parametrize("frame", [9, 12, 14, 16])
@pytest.mark.parametrize("velocity", [12, 20])
def test_what_is_told_as_empty_is_what_is_pale_in_the_frame(frame, velocity):
    figure = RefillSteps(frame_number=frame, velocity_mm_per_s=velocity)
    ((start, end),) = figure.show().numbers.empty_mm
    rest = RefillSteps(frame_number=0, velocity_mm_per_s=velocity).show().frame
    pale = pale_mm(figure.show().frame, rest)
    assert pale.min() == pytest.approx(start, abs=2)
    assert pale.max() == pytest.approx(end, abs=2)


def test_nothing_is_pale_at_rest_and_once_full():
    rest = RefillSteps(frame_number=0).show().frame
    for frame in (2, 20, LAST):
        assert numbers(frame_number=frame).empty_mm == ()
        assert pale_mm(RefillSteps(frame_number=frame).show().frame, rest).size == 0


@pytest.mark.parametrize("velocity", [6, 20, 40])
def test_the_front_is_faster_than_the_blood_by_what_is_left_and_by_the_width(velocity):
    n = numbers(velocity_mm_per_s=velocity)
    vessel = refill_steps.scene().anatomy.vessel("median")
    way = np.linspace(FINGER_MM, VALVE_MM, 2000)
    width = np.interp(way, vessel.along_mm, vessel.diameter_mm)
    at_finger = width[0] ** 2 / np.mean(width**2)
    front = velocity * at_finger / (1 - LEFT)
    assert n.front_velocity_mm_per_s == pytest.approx(front, rel=0.01)
    assert n.front_lasts_s == pytest.approx((VALVE_MM - FINGER_MM) / front, rel=0.01)


def test_the_emptied_stretch_is_held_by_the_last_valve_of_the_stroke():
    n = numbers(frame_number=10)
    assert n.held_to_mm == pytest.approx(VALVE_MM, abs=0.01)
    assert n.held_length_mm == pytest.approx(VALVE_MM - FINGER_MM, abs=0.01)
    assert n.empty_length_mm == pytest.approx(n.held_length_mm, abs=0.1)
    assert [round(place) for place in refill_steps.valves_shown()] == [63, 91]


def test_the_front_moves_by_its_speed_from_frame_to_frame():
    n = [numbers(frame_number=frame) for frame in (14, 15)]
    (before,), (after,) = (row.empty_mm for row in n)
    assert (after[0] - before[0]) / 0.25 == pytest.approx(n[0].front_velocity_mm_per_s)


def test_without_valves_that_close_it_fills_from_the_heart_with_the_finger_on():
    n = [numbers(frame_number=frame, valves="leak") for frame in (8, 9, 10)]
    for before, after in itertools.pairwise(n):
        assert after.time_s < after.lifted_s
        assert after.empty_mm[0][0] == FINGER_MM
        assert after.empty_mm[0][1] < before.empty_mm[0][1] < STROKED_TO_MM
    assert n[0].stage == "No valve holds: the vein fills back from the heart"
    assert numbers(frame_number=9).empty_mm[0][1] == pytest.approx(VALVE_MM, abs=0.01)


def test_stages_follow_each_other_and_slow_blood_still_fills_it_in_time():
    for valves in ("close", "leak"):
        for velocity in (6, 20, 40):
            run = [
                numbers(frame_number=f, valves=valves, velocity_mm_per_s=velocity).stage
                for f in range(LAST + 1)
            ]
            order = list(dict.fromkeys(run))
            assert order[0] == "At rest"
            assert order[-1] == "Full again"
            assert [run.index(stage) for stage in order] == sorted(map(run.index, order))
            assert sum(a != b for a, b in itertools.pairwise(run)) == len(order) - 1


def test_alt_says_what_the_frame_shows_now():
    figure = RefillSteps(frame_number=0)
    assert "It is dark all along" in figure.picture["alt"]
    figure.frame_number = 10
    assert "It is pale from 54 to 91 mm" in figure.picture["alt"]
    assert "valves at 63 and 91 mm" in figure.picture["alt"]
