"""What a catheter leaves in a vein, by the sides of a right-angled triangle."""

import math

import pytest

from cubital.explore.light.reach import reach_table

SPACE = "\N{NO-BREAK SPACE}"


@pytest.mark.parametrize("angle", [15, 30, 45])
@pytest.mark.parametrize("length", [19, 25, 48])
def test_left_is_length_less_the_long_side(angle, length):
    depths = (2, 5, 8)
    table = reach_table(length, insertion_angle_deg=angle, depths_mm=depths)
    for row, depth in zip(table.rows, depths, strict=True):
        way = math.hypot(depth, depth / math.tan(math.radians(angle)))
        assert row[1] == f"{way:.0f}{SPACE}mm"
        if way < length:
            assert row[2] == f"{length - way:.0f}{SPACE}mm"
            assert row[3] == f"{100 * (1 - way / length):.0f}{SPACE}%"
        else:
            assert "ends before the vein" in row[2]
            assert row[3] == f"0{SPACE}%"


def test_a_vein_as_deep_as_half_the_catheter_is_out_of_reach_at_30_degrees():
    rows = reach_table(25, insertion_angle_deg=30, depths_mm=(2, 10, 13)).rows
    assert [row[2].replace(SPACE, " ") for row in rows] == [
        "21 mm",
        "5 mm",
        "none: it ends before the vein",
    ]
