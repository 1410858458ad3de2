"""Drops and hours."""

from xml.etree import ElementTree

import pytest

from cubital.explore.sizing.drip import DripAndTime

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize(
    ("volume", "hours", "factor", "rate", "drops"),
    [
        (1000, 8, 20, 125, 125 * 20 / 60),  # 41.67
        (1000, 8, 15, 125, 31.25),
        (800, 8, 60, 100, 100),
        (100, 0.5, 20, 200, 200 / 3),
        (50, 24, 10, 50 / 24, 50 / 24 / 6),
    ],
)
def test_rate_and_drops_are_those_of_plain_arithmetic(volume, hours, factor, rate, drops):
    figure = DripAndTime(volume_ml=volume, time_h=hours, drop_factor_per_ml=factor)
    numbers = figure.show().numbers
    assert numbers.rate_ml_per_h == pytest.approx(rate, rel=1e-12)
    assert numbers.drops_per_min == pytest.approx(drops, rel=1e-12)


def test_the_minute_shows_its_drops():
    root = ElementTree.fromstring(
        DripAndTime(volume_ml=500, time_h=5, drop_factor_per_ml=15).show().svg
    )
    # 100 mL/h x 15 / 60 = 25 drops, the first one drawn at nought
    marks = [
        line
        for line in root.iter(f"{SVG}line")
        if line.get("x1") == line.get("x2") and float(line.get("y2")) - float(line.get("y1")) == 22
    ]
    assert len(marks) == 26


def test_alt_says_what_the_figure_shows_now():
    figure = DripAndTime(volume_ml=500, time_h=4, drop_factor_per_ml=20)
    assert "42 drops" in figure.picture["alt"]
    assert "from 500 mL down to nothing after 4 hours" in figure.picture["alt"]
    figure.time_h = 8
    assert "21 drops" in figure.picture["alt"]
    assert "after 8 hours" in figure.picture["alt"]
