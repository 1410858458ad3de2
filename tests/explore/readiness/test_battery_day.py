"""A shift of batteries: stretches, gaps and needs, against the arithmetic of run and charge."""

from xml.etree import ElementTree

import pytest

from cubital import calc
from cubital.explore.readiness.battery_day import EMPTY, FULL, BatteryDay

SVG = "{http://www.w3.org/2000/svg}"
RUN_H, CHARGE_H, SHIFT_H = 3.5, 2.5, 12


def numbers(**state):
    return BatteryDay(**state).show().numbers


def values(**state):
    return {r.label: r.value.replace("\N{NO-BREAK SPACE}", " ") for r in _readings(state)}


def _readings(state):
    return BatteryDay(**state).show().readings


def test_one_unit_runs_and_charges_by_turns():
    n = numbers()
    (line,) = n.lines
    assert [(what, start, end) for what, start, end, *_ in line] == [
        ("run", 0, RUN_H),
        ("charge", RUN_H, RUN_H + CHARGE_H),
        ("run", 6, 9.5),
        ("charge", 9.5, SHIFT_H),
    ]
    assert n.first_gap_h == RUN_H
    assert n.gap_h == pytest.approx(2 * CHARGE_H)


@pytest.mark.parametrize("use", [5, 25, 50, 100])
def test_a_full_unit_lasts_longer_when_it_is_off_in_between(use):
    assert numbers(use_percent=use).run_time_h == pytest.approx(RUN_H / (use / 100))


@pytest.mark.parametrize(
    ("state", "gap_h"),
    [
        ({"units": 2}, None),
        ({"use_percent": 25}, None),  # 14 h are longer than the shift
        ({"use_percent": 35}, 10),  # 3.5 h / 0.35
        ({"at_start": "empty", "units": 6, "chargers": 4}, 0),
        ({"stations": 2, "units": 3, "chargers": 1}, RUN_H),
        ({"stations": 2, "units": 4, "chargers": 2}, None),
    ],
)
def test_the_first_gap_comes_when_no_full_unit_is_left(state, gap_h):
    assert numbers(**state).first_gap_h == (None if gap_h is None else pytest.approx(gap_h))


def test_empty_at_the_start_costs_one_charge_however_many_units_there_are():
    for units in (1, 2, 6):
        n = numbers(at_start="empty", units=units, chargers=4, use_percent=25)
        assert n.gap_h == pytest.approx(CHARGE_H)


@pytest.mark.parametrize("use", [5, 30, 50, 70, 75, 100])
@pytest.mark.parametrize("stations", [1, 2, 3])
def test_what_is_said_to_be_enough_leaves_no_gap_in_a_week_and_less_of_it_does(stations, use):
    n = numbers(stations=stations, use_percent=use)
    units, chargers = n.units_needed, n.chargers_needed
    run = RUN_H / (use / 100)

    def gaps(units, chargers):
        return calc.charge_schedule(
            168,
            batteries=units,
            chargers=chargers,
            run_time_h=run,
            charge_time_h=CHARGE_H,
            stations=stations,
        ).gaps

    assert not gaps(units, chargers)
    assert gaps(units - 1, chargers)
    if chargers > 1:
        assert gaps(units, chargers - 1)


def test_devices_that_are_changed_together_need_more_than_those_changed_in_turn():
    # 4.67 h of use: three empty units at once take one charger 7.5 h, two 5 h, three 2.5 h
    n = numbers(stations=3, use_percent=75)
    assert (n.units_needed, n.chargers_needed) == (6, 3)
    # 7 h: 9.5 h / 7 h for each, rounded up, is two units; in turn it would be five in all
    assert numbers(stations=3, use_percent=50).units_needed == 6


def test_every_line_covers_the_shift_and_moves_as_run_and_charge_do():
    n = numbers(at_start="one", units=5, chargers=2, stations=2, use_percent=70)
    slopes = {"run": -0.7 / RUN_H, "charge": 1 / CHARGE_H, FULL: 0, EMPTY: 0}
    for line in n.lines:
        assert line[0][1] == 0
        assert line[-1][2] == SHIFT_H
        for (what, start, end, before, after), following in zip(
            line, [*line[1:], None], strict=True
        ):
            assert (after - before) / (end - start) == pytest.approx(slopes[what], abs=1e-9)
            assert 0 <= after <= 1
            if following:
                assert following[1] == end
                assert following[3] == pytest.approx(after)
    assert {what for line in n.lines for what, *_ in line} == set(slopes)


def test_more_units_than_chargers_wait_empty():
    (first, second) = numbers(at_start="empty", units=2).lines
    assert first[0][0] == "charge"
    assert second[0][:3] == (EMPTY, 0, CHARGE_H)


def test_gaps_are_drawn_where_the_hours_say_and_as_high_as_devices_are_missing():
    figure = BatteryDay(stations=2, units=2)
    root = ElementTree.fromstring(figure.show().svg)
    ticks = {t.text: float(t.get("x")) for t in root.iter(f"{SVG}text") if t.text in ("0", "12")}
    px_per_h = (ticks["12"] - ticks["0"]) / SHIFT_H
    boxes = [
        [tuple(map(float, p.split(","))) for p in line.get("points").split()]
        for line in root.iter(f"{SVG}polyline")
        if line.get("stroke-width") == "2"
    ]
    starts = [(box[0][0] - ticks["0"]) / px_per_h for box in boxes]
    gaps = figure.show().numbers.schedule.gaps
    assert starts == pytest.approx([start for start, *_ in gaps], abs=0.01)
    assert starts[0] == pytest.approx(RUN_H, abs=0.01)
    heights = [box[2][1] - box[0][1] for box in boxes]
    missing = [count for *_, count in gaps]
    assert heights == pytest.approx([9 * count for count in missing], abs=0.1)
    assert set(missing) == {1, 2}


def test_words_say_the_gap_and_what_would_be_enough():
    said = values()
    assert said["First gap"] == "3.5 h into the shift"
    assert said["Without a device, in all"] == "5.0 h"
    assert said["To go on day and night without a break"] == "2 units, 1 charger"
    assert said["One unit alone, in the long run"] == "58 % of the time"  # 3.5 / 6.0
    assert values(units=2)["First gap"] == "none"


def test_alt_says_what_the_figure_shows_now():
    figure = BatteryDay()
    assert "Gaps: 3.5 to 6.0 h, 9.5 to 12.0 h." in figure.picture["alt"]
    figure.units = 2
    assert "No gap in this shift. Gaps: none." in figure.picture["alt"]
    figure.at_start = "empty"
    assert "A gap at once" in figure.picture["alt"]
