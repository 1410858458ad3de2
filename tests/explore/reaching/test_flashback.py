"""Blood in the chamber: the four stages, and the room straight on and lowered."""

import math

import pytest

from cubital import tables
from cubital.explore.reaching.flashback import BOTH, NEEDLE_ONLY, SHORT, THROUGH, TipsAtTheVein

LEAD_MM, LOWERED_DEG = 2, 10  # teaching assumptions of assets/reaching/constants.toml


def numbers(**state):
    return TipsAtTheVein(**state).show().numbers


def test_the_assumptions_are_the_ones_meant_here():
    assert tables.constant("needle-lead").value == LEAD_MM
    assert tables.constant("lowered-angle").value == LOWERED_DEG


@pytest.mark.parametrize(
    ("needle", "stage"),
    # at 30 degrees everything is twice its depth along the needle: walls at 12 and 18 mm
    [
        (2, SHORT),
        (11.5, SHORT),
        (12.5, NEEDLE_ONLY),
        (13.5, NEEDLE_ONLY),
        (14.5, BOTH),
        (17.5, BOTH),
        (18.5, THROUGH),
        (25, THROUGH),
    ],
)
def test_stages_follow_each_other_along_the_needle(needle, stage):
    n = numbers(needle_in_mm=needle, insertion_angle_deg=30)
    assert n.stage is stage
    assert n.catheter_end_mm == max(0, needle - LEAD_MM)


@pytest.mark.parametrize("angle", [12, 25, 45])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_room_is_the_depth_that_is_left_over_the_sine(angle, share):
    depth, vein = 4, 5
    needle = round(2 * (depth + share * vein) / math.sin(math.radians(angle))) / 2
    state = {"near_wall_depth_mm": depth, "vein_diameter_mm": vein, "insertion_angle_deg": angle}
    needle = min(needle, 25)
    n = numbers(needle_in_mm=needle, **state)
    left = depth + vein - needle * math.sin(math.radians(angle))
    assert n.room_mm == pytest.approx(max(left, 0) / math.sin(math.radians(angle)))
    assert n.room_lowered_mm == pytest.approx(max(left, 0) / math.sin(math.radians(LOWERED_DEG)))


def test_lowering_never_takes_room_away_and_a_flat_needle_is_not_raised():
    for angle in (10, 20, 45):
        n = numbers(needle_in_mm=9, near_wall_depth_mm=1, insertion_angle_deg=angle)
        assert n.room_lowered_mm >= n.room_mm
        assert n.lowered_angle_deg <= angle


def test_blood_is_never_called_proof():
    for stage in (SHORT, NEEDLE_ONLY, BOTH, THROUGH):
        assert "proves" not in stage.blood + stage.next_step
    assert "may have shown" in THROUGH.blood
    assert "stop" in THROUGH.next_step
    assert NEEDLE_ONLY.blood == BOTH.blood


def test_alt_says_what_the_figure_shows_now():
    figure = TipsAtTheVein(needle_in_mm=10)
    assert "Short of the vein" in figure.picture["alt"]
    figure.needle_in_mm = 15
    assert "Needle in the vein, catheter not yet" in figure.picture["alt"]
    # 9 mm less 15 sin 25 leave 2.66 mm: 6.3 mm at 25 degrees, 15.3 mm at 10
    assert "the far wall is 6.3 mm away; lowered to 10 degrees, 15.3 mm" in figure.picture["alt"]


def test_only_inside_the_vein_is_there_a_room_to_read():
    def readings(**state):
        return [r.value for r in TipsAtTheVein(**state).show().readings]

    assert readings(needle_in_mm=10).count("not in the vein") == 2
    assert readings(needle_in_mm=15).count("not in the vein") == 0
    assert readings(needle_in_mm=24).count("not in the vein") == 2
