"""Tables of the lesson on where the line falls, against arithmetic by hand."""

import math

import pytest

from cubital.explore.focus.view_tables import (
    LIMBS_MM,
    PLACES_MM,
    holding_table,
    limb_table,
    picture_size_table,
)


def plain(text):
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_beside_the_highest_line_the_skin_falls_away_as_a_circle_does():
    for row, radius in zip(limb_table().rows, LIMBS_MM.values(), strict=True):
        for cell, place in zip(row[1:], PLACES_MM, strict=True):
            drop = radius * (1 - math.cos(math.asin(place / radius)))
            error = 24 * drop / 220
            assert plain(cell) == f"{drop:.1f} mm farther, line {error:.1f} mm beside it"


def test_parts_of_a_budget_add_up_by_hand():
    rows = holding_table(room_lx=500, place_mm=20, tilt_deg=10).rows
    tilt = 20 * math.sin(math.radians(10))
    # set by eye, tilt, and twice the drift with the tremor, as squares
    hand = 6 + tilt + math.hypot(2 * 5, 0.05)
    stand = 3 + tilt + 2 * 0.4
    assert plain(rows[0][1]) == f"{hand:.1f} mm, {100 * hand / 18:.0f} %"
    assert plain(rows[2][1]) == f"{stand:.1f} mm, {100 * stand / 18:.0f} %"
    assert [row[3] for row in rows] == [
        "outside the window; line beside the vein",
        "line beside the vein",
        "holds",
    ]


def test_a_room_that_is_too_bright_fails_every_way_of_holding():
    rows = holding_table(room_lx=20_000, place_mm=0, tilt_deg=0).rows
    assert all("room too bright" in row[3] for row in rows)


def test_a_larger_picture_spreads_its_lumens_and_reaches_farther_down_the_slope():
    rows = picture_size_table(tilt_deg=10).rows
    for row, width in zip(rows, (48, 96, 192), strict=True):
        lit = 14 / (width / 1000 * 0.75 * width / 1000)
        below = width / 2 * math.sin(math.radians(10))
        assert plain(row[0]) == f"{width} by {0.75 * width:.0f} mm"
        assert plain(row[1]) == f"{lit:,.0f} lx"
        assert plain(row[2]) == f"{2 * lit:,.0f} lx"
        assert float(plain(row[3]).split()[0]) == pytest.approx(
            24 * below / 220, rel=0.09, abs=0.05
        )
