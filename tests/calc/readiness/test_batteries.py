"""Laws of run and charge, and shifts counted minute by minute."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from cubital import calc, tables

HOURS = st.floats(1, 8)
SOME = st.integers(1, 6)


def minutes(shift, *, units, chargers, run, charge, stations, start):
    """Count a shift minute by minute: each battery has whole minutes of charge, or of charging.

    Returns the running devices of each minute.
    """
    need = [0] * units if start is None else [round((1 - share) * charge) for share in start]
    left = [run if not missing else 0 for missing in need]
    where = ["ready" if not missing else "empty" for missing in need]
    order = sorted(range(units), key=lambda unit: need[unit])
    ready = [unit for unit in order if where[unit] == "ready"]
    empty = [unit for unit in order if where[unit] == "empty"]
    running, charging, counts = [], [], []
    for _ in range(shift):
        while ready and len(running) < stations:
            running.append(ready.pop(0))
        while empty and len(charging) < chargers:
            charging.append(empty.pop(0))
        counts.append(len(running))
        for unit in running:
            left[unit] -= 1
        for unit in charging:
            need[unit] -= 1
        spent = [unit for unit in running if left[unit] == 0]
        full = [unit for unit in charging if need[unit] == 0]
        running = [unit for unit in running if left[unit]]
        charging = [unit for unit in charging if need[unit]]
        for unit in spent:
            need[unit] = charge
        for unit in full:
            left[unit] = run
        empty += spent
        ready += full
    return counts


WHOLE_MINUTES = {
    "shift": st.integers(30, 900),
    "units": SOME,
    "chargers": st.integers(1, 4),
    "run": st.integers(6, 120),
    "charge": st.integers(6, 160),
    "stations": st.integers(1, 3),
}


@given(st.fixed_dictionaries(WHOLE_MINUTES), st.data())
def test_a_shift_by_events_is_the_shift_by_minutes(plan, data):
    start = data.draw(
        st.none()
        | st.lists(
            st.integers(0, 5).map(lambda fifth: fifth / 5),
            min_size=plan["units"],
            max_size=plan["units"],
        )
    )
    charge = 5 * (plan["charge"] // 5) or 5  # so that fifths of it are whole minutes
    counts = minutes(**plan | {"charge": charge}, start=start)
    found = calc.charge_schedule(
        plan["shift"] / 60,
        batteries=plan["units"],
        chargers=plan["chargers"],
        run_time_h=plan["run"] / 60,
        charge_time_h=charge / 60,
        stations=plan["stations"],
        start_charge=start,
    )
    assert found.kept_h * 60 == pytest.approx(sum(counts), abs=1e-6)
    for begin, end, missing in found.gaps:
        if round(begin * 60) < round(end * 60):
            spell = counts[round(begin * 60) : round(end * 60)]
            assert set(spell) == {plan["stations"] - missing}
    assert found.kept_share == pytest.approx(sum(counts) / (plan["stations"] * plan["shift"]))
    for earlier, later in pairwise(found.gaps):
        assert earlier[1] < later[0] or earlier[2] != later[2]
    standing = sum((end - begin) * missing for begin, end, missing in found.gaps)
    assert found.kept_h + standing == pytest.approx(plan["stations"] * plan["shift"] / 60)


@given(st.fixed_dictionaries(WHOLE_MINUTES))
def test_no_battery_is_in_two_places_and_no_place_has_two_batteries(plan):
    found = calc.charge_schedule(
        plan["shift"] / 60,
        batteries=plan["units"],
        chargers=plan["chargers"],
        run_time_h=plan["run"] / 60,
        charge_time_h=plan["charge"] / 60,
        stations=plan["stations"],
    )
    for battery in range(plan["units"]):
        own = [span for span in found.spans if span.battery == battery]
        assert all(a.end_h <= b.start_h + 1e-12 for a, b in pairwise(own))
        assert all(a.what != b.what for a, b in pairwise(own))
    for what, places in (("run", plan["stations"]), ("charge", plan["chargers"])):
        spans = [span for span in found.spans if span.what == what and span.end_h > span.start_h]
        for span in spans:
            at_once = sum(other.start_h <= span.start_h < other.end_h for other in spans)
            assert at_once <= places


@given(HOURS, HOURS, SOME, SOME, st.integers(1, 3))
def test_in_the_long_run_a_schedule_keeps_what_the_closed_form_says(run, charge, u, m, k):
    """First charges, and the first round of devices that start together, are a small part."""
    run, charge, shift = round(run, 1), round(charge, 1), 120
    found = calc.charge_schedule(
        shift, batteries=u, chargers=m, run_time_h=run, charge_time_h=charge, stations=k
    )
    expected = min(k, calc.stations_kept(u, chargers=m, run_time_h=run, charge_time_h=charge))
    assert found.kept_h == pytest.approx(expected * shift, abs=u * (run + charge))
    if k == 1:
        assert found.kept_h >= expected * shift - 1e-9


@given(HOURS, HOURS, st.floats(1, 24))
def test_one_battery_is_the_cycle_counted_and_the_schedule(run, charge, shift):
    on = calc.on_time_h(shift, run_time_h=run, charge_time_h=charge)
    found = calc.charge_schedule(
        shift, batteries=1, chargers=1, run_time_h=run, charge_time_h=charge
    )
    assert found.kept_h == pytest.approx(on)
    share = calc.charge_availability(run, charge_time_h=charge)
    assert on >= share * shift - 1e-6
    assert calc.on_time_h(
        5 * (run + charge), run_time_h=run, charge_time_h=charge
    ) == pytest.approx(5 * run)


@given(HOURS, HOURS, st.integers(1, 3))
def test_so_many_batteries_leave_no_gap_and_one_less_does(run, charge, stations):
    """Devices that start together are changed together, and settle to changes in turn."""
    run, charge = round(run, 1), round(charge, 1)
    plan = {"run_time_h": run, "charge_time_h": charge, "stations": stations}

    def shift(units, length):
        return calc.charge_schedule(length, batteries=units, chargers=units, **plan)

    together = calc.units_for_always_on(**plan, in_turn=False)
    assert shift(together, 48).first_gap_h is None
    assert shift(together - 1, 200).first_gap_h is not None
    in_turn = calc.units_for_always_on(**plan)
    assert 1 < in_turn <= together
    assert shift(in_turn, 120).kept_h >= stations * (120 - charge) - 1e-9
    times = {"run_time_h": run, "charge_time_h": charge}
    assert calc.stations_kept(in_turn, chargers=99, **times) >= stations - 1e-9
    assert calc.stations_kept(in_turn - 1, chargers=99, **times) < stations


@given(HOURS, HOURS, st.integers(1, 3))
def test_so_many_chargers_are_enough_and_one_less_is_not(run, charge, stations):
    times = {"run_time_h": round(run, 1), "charge_time_h": round(charge, 1)}
    chargers = calc.chargers_for_always_on(**times, stations=stations)
    assert calc.stations_kept(100, chargers=chargers, **times) >= stations - 1e-9
    if chargers > 1:
        assert calc.stations_kept(100, chargers=chargers - 1, **times) < stations


def first_gap_by_recursion(run, charge, units, chargers):
    """One device: charge j ends at D_j = max(j r, D_(j - m)) + c, and must by (u + j - 1) r."""
    ends = {}
    for j in range(1, 400):
        ends[j] = max(j * run, ends.get(j - chargers, 0)) + charge
        if ends[j] > (units + j - 1) * run + 1e-9:
            return (units + j - 1) * run
    return None


@pytest.mark.parametrize("units", [1, 2, 3, 4])
@pytest.mark.parametrize("chargers", [1, 2, 3])
@pytest.mark.parametrize(("run", "charge"), [(3, 4), (1.5, 4), (2.5, 2), (1, 2.5), (2, 6.25)])
def test_the_first_gap_comes_when_the_charges_fall_behind(run, charge, units, chargers):
    found = calc.charge_schedule(
        150, batteries=units, chargers=chargers, run_time_h=run, charge_time_h=charge
    )
    expected = first_gap_by_recursion(run, charge, units, chargers)
    if expected is None or expected >= 150:
        assert found.first_gap_h is None
    else:
        assert found.first_gap_h == pytest.approx(expected)


def test_first_charges_hide_a_shortage_for_a_while():
    """Two batteries of 3 h, one charger of 5 h: 6 h of first charge, then 3 h in every 5."""
    short, long = (
        calc.charge_schedule(shift, batteries=2, chargers=1, run_time_h=3, charge_time_h=5)
        for shift in (6, 180)
    )
    assert short.kept_share == 1
    assert long.kept_share == pytest.approx(0.6, abs=0.03)
    assert long.gaps[0] == (6, 8, 1)


def test_the_scenario_device_with_its_one_battery_runs_for_seven_hours_of_twelve():
    profile = tables.profile()
    found = calc.charge_schedule(
        12,
        batteries=1,
        chargers=1,
        run_time_h=profile.run_time_h,
        charge_time_h=profile.charge_time_h,
    )
    assert (found.kept_h, found.first_gap_h) == (7, 3.5)


def test_a_gap_in_which_the_batteries_change_places_is_one_gap():
    found = calc.charge_schedule(
        10, batteries=2, chargers=2, run_time_h=2, charge_time_h=2, stations=2, start_charge=[1, 0]
    )
    assert (found.gaps, found.kept_h) == (((0, 10, 1),), 10)


def test_a_battery_that_starts_empty_is_charged_first():
    found = calc.charge_schedule(
        8, batteries=1, chargers=1, run_time_h=3, charge_time_h=2, start_charge=[0.25]
    )
    assert found.gaps[0] == (0, 1.5, 1)
    assert found.spans[0] == (0, "charge", 0, 1.5)


@given(HOURS, HOURS, st.integers(1, 10))
def test_the_chance_that_any_is_ready_is_that_of_a_binomial(run, charge, units):
    ready = run / (run + charge)
    chance = calc.any_ready_chance(units, run_time_h=run, charge_time_h=charge)
    assert chance == pytest.approx(binom(units, ready).sf(0))


def test_a_whole_number_of_sessions_is_counted_whole():
    assert calc.sessions_per_charge(0.3, session_time_h=0.1) == 3
    assert calc.sessions_per_charge(2.0, session_time_h=0.7) == 2
    assert calc.units_for_always_on(0.7, charge_time_h=1.4) == 3
    assert calc.chargers_for_always_on(0.7, charge_time_h=2.1) == 3
    kept = calc.stations_kept(np.array([1, 2, 3]), chargers=1, run_time_h=3, charge_time_h=4)
    assert kept == pytest.approx([3 / 7, 3 / 4, 3 / 4])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"batteries": 0}, "number of batteries is 0: it must be from 1 to 100"),
        ({"batteries": 1.5}, "number of batteries is 1.5: it must be a whole number"),
        ({"chargers": [1, 2]}, r"number of chargers is \[1, 2\]: it must be a single number"),
        ({"run_time_h": 0}, "run time of a full battery is 0 h"),
        ({"charge_time_h": np.inf}, "charge time is inf h"),
        ({"shift_h": -8}, "length of the shift is -8 h"),
        ({"start_charge": [1, 1]}, "start_charge has 2 values: it must have one a battery"),
        ({"start_charge": [1.2]}, "charge at the start, as a share of full is 1.2"),
    ],
)
def test_impossible_input_raises(change, message):
    plan = {"shift_h": 8, "batteries": 1, "chargers": 1, "run_time_h": 3, "charge_time_h": 2}
    with pytest.raises(ValueError, match=message):
        calc.charge_schedule(**plan | change)


def test_a_run_time_that_looks_like_minutes_is_remarked():
    assert "run time of a full battery 90 h is outside" in calc.remarks(run_time_h=90)[0]
