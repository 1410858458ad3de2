"""Tables of the lesson on where the line falls, against arithmetic by hand."""

import math

import pytest

from cubital.explore.view_tables import (
    CHECKED_MM,
    LIMBS_MM,
    MARKS_MM,
    PLACES_MM,
    READ_OFF_MM,
    holding_table,
    limb_table,
    target_check,
    target_table,
)


def plain(text):
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_beside_the_highest_line_the_skin_falls_away_as_a_circle_does():
    for row, radius in zip(limb_table().rows, LIMBS_MM.values(), strict=True):
        for cell, place in zip(row[1:], PLACES_MM, strict=True):
            drop = radius * (1 - math.cos(math.asin(place / radius)))
            error = 24 * drop / 220
            assert plain(cell) == f"{drop:.1f} mm farther, line {error:.1f} mm beside it"


def test_farthest_mark_is_the_shift_with_the_worst_reading():
    for error in CHECKED_MM:
        shift = 24 * error / 220
        farthest = max(math.hypot(shift + x, y) for x, y in READ_OFF_MM)
        found = target_check(error)
        assert found.fit.largest_error_mm == pytest.approx(farthest)
        assert found.fit.offset_x_mm == pytest.approx(shift)  # readings are right on average
        assert found.verdict == ("pass" if farthest <= 1 else "fail")
    assert len(MARKS_MM) == len(READ_OFF_MM)


def test_table_of_the_check_says_pass_fail_and_what_stands_out():
    rows = target_table().rows
    assert [row[2] for row in rows] == ["pass", "pass", "fail"]
    assert rows[0][3] == "nothing stands out"
    assert "check the distance first" in rows[2][3]


def test_parts_of_a_budget_add_up_by_hand():
    rows = holding_table(room_lx=500, place_mm=20, tilt_deg=10).rows
    tilt = 20 * math.sin(math.radians(10))
    # set by eye, tilt, and twice the drift with the tremor, as squares
    hand = 6 + tilt + math.hypot(2 * 5, 0.05)
    stand = 3 + tilt + 2 * 0.4
    assert plain(rows[0][1]) == f"{hand:.1f} mm, {100 * hand / 18:.0f} %"
    assert plain(rows[2][1]) == f"{stand:.1f} mm, {100 * stand / 18:.0f} %"
    assert "beside the vein" in rows[0][3]
    assert rows[2][3] == "holds"
