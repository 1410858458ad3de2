"""Events of a series: what they change, when, and what is true of them."""

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from cubital.scene.anatomy.vessels import Anatomy, Confluence, Limb, Scene, Valve, Vessel
from cubital.scene.happening import events
from cubital.scene.happening.events import EVENTS, Nothing, drawn
from cubital.scene.happening.flushing import Flush
from cubital.scene.happening.leaking import WHY_UNSEEN, Haematoma, Infiltration, UnseenInfiltration
from cubital.scene.happening.moving import Roll
from cubital.scene.happening.refilling import Refill
from cubital.scene.light.shading import dome_share

LEFT = 0.1  # of the cross-section stays in a stroked vein: assets/reading/constants.toml
SPEED = 20.0  # of blood [mm/s]: assets/scene/constants.toml
TIMES = np.arange(40) * 0.25


def tube(key, start, end, *, diameter=3.0, kind="vein", points=241, **ends):
    """A straight vessel of one width."""
    x, y = (np.linspace(a, b, points) for a, b in zip(start, end, strict=True))
    return Vessel(key, kind, x, y, np.full(points, 1.5), np.full(points, diameter), **ends)


def scene_of(*vessels, valves=(), seed=3):
    found = [Valve("main", place) for place in valves]
    forks = [
        Confluence(float(v.x_mm[-1]), float(v.y_mm[-1]), v.key, v.into) for v in vessels if v.into
    ]
    return Scene(
        Anatomy("forearm", "adult", 1, Limb(45), tuple(vessels), tuple(found), tuple(forks)),
        seed=seed,
    )


MAIN = tube("main", (0, 60), (0, -60))  # 120 mm, a point each 0.5 mm
SIDE = tube("side", (30, 40), (0, 0), diameter=2.0, into="main")  # 50 mm, comes in at 60 mm
EXIT = tube("exit", (0, 0), (-30, -40), diameter=4.0, out_of="main")  # leaves at 60 mm
DEEP = tube("artery", (8, 60), (8, -60), kind="artery")
ALONE = scene_of(MAIN, valves=(40, 90))
DIVIDED = scene_of(MAIN, EXIT, valves=(40, 90))
JOINED = scene_of(MAIN, SIDE, DEEP, valves=(40, 90))
PALE = 1 - LEFT


def one_of_each(onset=2.0):
    return [
        Refill("main", 45, 100, onset_s=onset),
        Flush("side", 10, onset_s=onset),
        Roll("main", 60, onset_s=onset),
        Infiltration("main", 60, onset_s=onset),
        UnseenInfiltration("main", 60, onset_s=onset),
        Haematoma("main", 60, onset_s=onset),
        Nothing(),
    ]


def is_empty(change):
    return not (change.filling or change.vessels or change.swellings or change.pools)


def pale_mm(change, key="main", vessel=MAIN):
    """Length of vein without blood, by a sum over its points of their share of the way."""
    if key not in change.filling:
        return 0.0
    return float(np.sum((1 - change.filling[key]) * np.gradient(vessel.along_mm)) / PALE)


def test_there_is_one_event_of_each_kind():
    assert [type(event) for event in one_of_each()] == list(EVENTS.values())


@pytest.mark.parametrize("event", one_of_each(), ids=lambda event: event.kind)
def test_nothing_changes_until_the_onset(event):
    assert all(is_empty(event.change(JOINED, t)) for t in (0, 0.25, 1.99, 2.0))
    assert is_empty(event.change(JOINED, 2.3)) != event.picture_changes


@pytest.mark.parametrize("event", one_of_each(), ids=lambda event: event.kind)
def test_a_record_is_plain_and_tells_the_onset(event):
    record = event.record(JOINED, TIMES)
    plain = json.loads(json.dumps(record.plain(), allow_nan=False))
    assert plain["kind"] == event.kind
    assert len(plain["seen"]) > 40
    if event.kind == "nothing":
        assert (plain["onset_s"], plain["onset_frame"], plain["x_mm"]) == (None, None, None)
    else:
        assert (plain["onset_s"], plain["onset_frame"]) == (2.0, 8)
        assert plain["vessel"] in {"main", "side"}
    assert record.picture_changes == (event.kind != "nothing" and "why" not in plain["details"])


def test_a_record_tells_where_it_happens():
    for event in (Roll("main", 70), Infiltration("main", 70), Haematoma("main", 70)):
        assert event.place(JOINED) == pytest.approx((0, -10))  # 70 mm from (0, 60) upwards
    assert Refill("main", 45, 100).place(JOINED) == pytest.approx((0, 15))
    assert Flush("side", 25).place(JOINED) == pytest.approx((15, 20))  # half-way


# Stroked empty, and refilled


def test_the_stroke_empties_the_vein_behind_it():
    event = Refill("main", 45, 100, onset_s=1, stroke_velocity_mm_per_s=50)
    assert pale_mm(event.change(ALONE, 1.5)) == pytest.approx(25, abs=0.01)  # 50 mm/s for 0.5 s
    assert event.change(ALONE, 1.5).filling["main"].min() == pytest.approx(LEFT)


@pytest.mark.parametrize("since", [0.2, 0.9, 1.7])
def test_the_front_runs_up_from_the_finger_at_the_speed_of_the_flow(since):
    event = Refill("main", 45, 90, onset_s=1, stroke_velocity_mm_per_s=50, hold_time_s=1.1)
    lifted = 1 + 45 / 50 + 1.1
    share = event.change(ALONE, lifted + since).filling["main"]
    # blood comes in at 20 mm/s over the whole cross-section, of which a tenth is still filled
    front = 45 + since * SPEED / (1 - LEFT)
    way = MAIN.along_mm
    assert share[way < front - 0.5] == pytest.approx(1)
    assert share[(way > front + 0.5) & (way < 89.5)] == pytest.approx(LEFT)
    assert 90 - pale_mm(event.change(ALONE, lifted + since)) == pytest.approx(front, abs=0.01)


def test_refilling_takes_in_what_flows_in():
    wider = Vessel("main", "vein", MAIN.x_mm, MAIN.y_mm, MAIN.depth_mm, np.linspace(2, 4, 241))
    scene = scene_of(wider, valves=(90,))
    event = Refill("main", 45, 90, onset_s=0)
    missing = np.trapezoid(PALE * np.pi / 4 * wider.diameter_mm[90:181] ** 2, dx=0.5)
    inflow = SPEED * np.pi / 4 * wider.at(45)[3] ** 2
    truth = event.details(scene, TIMES)
    assert truth["filled_s"] - truth["lifted_s"] == pytest.approx(missing / inflow, rel=1e-3)
    assert is_empty(event.change(scene, truth["filled_s"] + 0.01))
    assert not is_empty(event.change(scene, truth["filled_s"] - 0.05))


def test_a_valve_keeps_the_vein_below_it_empty_while_the_finger_holds():
    event = Refill("main", 45, 110, onset_s=0, hold_time_s=30)
    way = MAIN.along_mm
    for time_s in (10, 20, 30):
        share = event.change(ALONE, time_s).filling["main"]
        assert share[(way > 45) & (way < 90)] == pytest.approx(LEFT)
        assert share[way > 90.5] == pytest.approx(1)
        assert share[way < 44.5] == pytest.approx(1)
    assert event.details(ALONE, TIMES)["held_by"] == "a valve"
    assert event.details(ALONE, TIMES)["held_y_mm"] == pytest.approx(-30)


def test_blood_runs_back_from_above_until_the_valve():
    event = Refill("main", 45, 110, onset_s=0, hold_time_s=30, stroke_velocity_mm_per_s=65)
    share = event.change(ALONE, 1 + 0.45).filling["main"]  # 0.45 s: 10 of the 20 mm
    way = MAIN.along_mm
    assert share[way > 100.5] == pytest.approx(1)
    assert share[(way > 45.5) & (way < 99.5)] == pytest.approx(LEFT)


@pytest.mark.parametrize("scene", [scene_of(MAIN), ALONE], ids=["no valve", "leaking valves"])
def test_without_a_closing_valve_it_fills_from_above_while_the_finger_holds(scene):
    event = Refill("main", 45, 100, onset_s=0, hold_time_s=30, valves_close=False)
    stroked = 55 / 60
    share = event.change(scene, stroked + 0.9).filling["main"]  # 0.9 s: 20 mm
    way = MAIN.along_mm
    assert share[way > 80.5] == pytest.approx(1)
    assert share[(way > 45.5) & (way < 79.5)] == pytest.approx(LEFT)
    assert is_empty(event.change(scene, stroked + 55 / SPEED))
    assert "no valve" in event.seen()
    assert event.details(scene, TIMES)["held_by"].startswith("nothing")


def test_a_vein_that_joins_fills_it_on_to_the_heart_and_back_to_the_valve():
    event = Refill("main", 20, 100, onset_s=0, hold_time_s=60)
    way = MAIN.along_mm
    share = event.change(JOINED, 50).filling["main"]
    assert share[(way > 20.5) & (way < 39.5)] == pytest.approx(LEFT)
    assert share[way > 40.5] == pytest.approx(1)


def test_a_vein_that_joins_gives_what_flows_in_it():
    event = Refill("main", 20, 100, onset_s=0, hold_time_s=60, stroke_velocity_mm_per_s=400)
    begins, stroked = 40 / 400, 80 / 400
    inflow = SPEED * np.pi / 4 * 2.0**2
    area = np.pi / 4 * 3.0**2
    for time_s in (1.0, 1.6):
        change = event.change(JOINED, time_s)
        from_above = SPEED / PALE * min(time_s - stroked, 10 / SPEED * PALE)  # stops at the valve
        filled = 80 - pale_mm(change) - from_above
        assert filled * area * PALE == pytest.approx(inflow * (time_s - begins), rel=0.01)
        # two branches of one width take the same: 60 mm is the middle of what it has filled
        share, way = change.filling["main"], MAIN.along_mm
        within = (share > 0.5) & (way > 40) & (way < 80)
        assert way[within].mean() == pytest.approx(60, abs=0.5)


def test_beyond_a_vein_that_leaves_the_front_is_slower():
    event = Refill("main", 50, 90, onset_s=0)
    truth = event.details(DIVIDED, TIMES)
    # by cross-section 9 parts of 9 + 16 run on in the vein itself
    expected = PALE * (10 / SPEED + 30 / (SPEED * 9 / 25))
    assert truth["filled_s"] - truth["lifted_s"] == pytest.approx(expected, rel=1e-4)
    assert [front["comes_from"] for front in truth["fronts"]] == ["below", "below", "above"]


def test_the_end_of_refilling_is_when_nothing_is_pale_any_more():
    for event, scene in ((Refill("main", 20, 100, onset_s=0), JOINED), (one_of_each()[0], ALONE)):
        filled = event.details(scene, TIMES)["filled_s"]
        assert is_empty(event.change(scene, filled + 0.01))
        assert not is_empty(event.change(scene, filled - 0.05))


def test_a_vein_with_few_points_is_drawn_with_more():
    coarse = tube("main", (0, 60), (0, -60), points=2)
    change = Refill("main", 45, 90, onset_s=0).change(scene_of(coarse, valves=(90,)), 1.0)
    (finer,) = change.vessels
    assert len(finer.x_mm) == len(change.filling["main"])
    assert np.diff(finer.along_mm).max() <= 1
    assert finer.length_mm == pytest.approx(120)
    assert pale_mm(change, vessel=finer) == pytest.approx(45, abs=0.01)


# Flushed


def fluid_mm3(change, scene):
    total = 0.0
    for key, share in change.filling.items():
        vessel = scene.anatomy.vessel(key)
        area = np.pi / 4 * vessel.diameter_mm**2
        total += float(np.sum((1 - share) * area * np.gradient(vessel.along_mm)))
    return total


@pytest.mark.parametrize("since", [0.1, 0.3, 0.5])
def test_the_veins_hold_the_fluid_that_was_pushed(since):
    # 12 mL/min is 200 mm3/s
    event = Flush("side", 10, onset_s=1, volume_ml=5, rate_ml_per_min=12)
    change = event.change(JOINED, 1 + since)
    assert fluid_mm3(change, JOINED) == pytest.approx(200 * since, rel=0.02)


def test_a_small_flush_stays_the_same_volume_on_its_way():
    event = Flush("side", 10, onset_s=0, volume_ml=0.1, rate_ml_per_min=60)
    for time_s in (0.2, 0.6, 1.2, 2.0):
        change = event.change(JOINED, time_s)
        assert fluid_mm3(change, JOINED) == pytest.approx(100, rel=0.03)


def test_blood_of_a_joining_vein_thins_the_fluid():
    event = Flush("side", 10, onset_s=0, volume_ml=10, rate_ml_per_min=12)
    change = event.change(JOINED, 5)
    q, q_side, q_main = 200, SPEED * np.pi / 4 * 4, SPEED * np.pi / 4 * 9
    assert change.filling["side"][-1] == pytest.approx(1 - q / (q + q_side))
    assert change.filling["main"][-1] == pytest.approx(1 - q / (q + q_side + q_main))
    assert change.filling["main"][:119] == pytest.approx(1)  # above the mouth, towards the hand
    assert change.filling["side"][:47] == pytest.approx(1)


def test_where_a_vein_divides_both_branches_take_their_part():
    event = Flush("main", 30, onset_s=0, volume_ml=0.2, rate_ml_per_min=60)
    for time_s in (0.15, 0.5, 1.0, 1.6):
        change = event.change(DIVIDED, time_s)
        pushed = min(1000 * time_s, 200)
        assert fluid_mm3(change, DIVIDED) == pytest.approx(pushed, rel=0.03)
    change = Flush("main", 30, onset_s=0, volume_ml=20).change(DIVIDED, 10)
    mixed = 1 - 1000 / (1000 + SPEED * np.pi / 4 * 9)
    assert change.filling["exit"][1:] == pytest.approx(mixed)
    assert change.filling["main"][-1] == pytest.approx(mixed)


def test_a_vein_that_joins_on_the_way_thins_the_fluid_from_there():
    change = Flush("main", 30, onset_s=0, volume_ml=10, rate_ml_per_min=12).change(JOINED, 6)
    share, way = change.filling["main"], MAIN.along_mm
    q_main, q_side = SPEED * np.pi / 4 * 9, SPEED * np.pi / 4 * 4
    assert share[(way > 31) & (way < 59)] == pytest.approx(1 - 200 / (200 + q_main))
    assert share[way > 61] == pytest.approx(1 - 200 / (200 + q_main + q_side))


def test_blood_returns_from_the_tip_at_its_own_speed():
    event = Flush("main", 30, onset_s=0, volume_ml=2, rate_ml_per_min=60)  # for 2 s
    share = event.change(ALONE, 2 + 1.5).filling["main"]
    way = MAIN.along_mm
    assert share[way < 30 + 1.5 * SPEED - 0.5] == pytest.approx(1)
    assert np.all(share[way > 30 + 1.5 * SPEED + 0.5] < 0.2)
    assert is_empty(event.change(ALONE, 2 + 90 / SPEED + 0.1))


# Moved


@pytest.mark.parametrize(("push", "skin"), [(0.8, "loose"), (0.3, "resting"), (2, "stretched")])
def test_a_touched_vein_moves_as_far_as_asked_and_nowhere_else(push, skin):
    give, most = {"loose": (4, 8), "resting": (2, 4), "stretched": (0.5, 1.5)}[skin]
    asked = most * (1 - math.exp(-give * push / most))
    event = Roll("main", 60.2, skin, onset_s=0, push_n=push, reach_mm=15)
    (moved,) = event.change(ALONE, 1.0).vessels
    shift = np.hypot(moved.x_mm, 0)  # the vein ran along x = 0
    assert shift.max() == pytest.approx(asked)
    way = 60 - moved.y_mm
    assert way[shift.argmax()] == pytest.approx(60.2)
    assert np.all(shift[np.abs(way - 60.2) >= 15] == 0)
    assert np.abs(np.diff(shift) / np.diff(way)).max() < asked * np.pi / 2 / 15 * 1.01  # smooth


def test_a_vein_that_joins_moves_along_and_stays_joined():
    change = Roll("main", 62, onset_s=0).change(JOINED, 1.0)
    main, side = change.vessels
    assert {v.key for v in change.vessels} == {"main", "side"}
    gap = np.hypot(main.x_mm - side.x_mm[-1], main.y_mm - side.y_mm[-1]).min()
    assert gap < 0.01
    assert side.x_mm[-1] != pytest.approx(0, abs=1)
    assert (side.x_mm[0], side.y_mm[0]) == (30, 40)


def test_a_vein_that_leaves_moves_along_too():
    main, branch = Roll("main", 62, onset_s=0).change(DIVIDED, 1.0).vessels
    assert np.hypot(main.x_mm - branch.x_mm[0], main.y_mm - branch.y_mm[0]).min() < 0.01
    assert (branch.x_mm[-1], branch.y_mm[-1]) == (-30, -40)
    assert branch.out_of == "main"


def test_left_is_the_left_of_one_who_looks_along_the_flow():
    # the flow runs up the picture, so that its left is the picture's left
    (left,) = Roll("main", 60, onset_s=0, side="left").change(ALONE, 1.0).vessels
    (right,) = Roll("main", 60, onset_s=0, side="right").change(ALONE, 1.0).vessels
    assert left.x_mm.min() < -1 < 1 < right.x_mm.max()
    assert left.x_mm == pytest.approx(-right.x_mm)


def test_a_moved_vein_comes_back():
    event = Roll("main", 60, onset_s=1)
    back = event.details(ALONE, TIMES)["back_s"]
    assert not is_empty(event.change(ALONE, back - 0.05))
    assert is_empty(event.change(ALONE, back + 0.001))


def test_a_vein_moves_up_to_its_own_ends_only():
    (moved,) = Roll("main", 8, onset_s=0, reach_mm=30).change(ALONE, 1.0).vessels
    assert (moved.x_mm[0], moved.y_mm[0]) == (0, 60)


# Leaked


@pytest.mark.parametrize("minutes", [0.05, 1, 10])
def test_a_swelling_holds_what_has_leaked(minutes):
    event = Infiltration("main", 60, onset_s=30, rate_ml_per_h=90, outside_share=0.6)
    (dome,) = event.change(ALONE, 30 + 60 * minutes).swellings
    # the dome that the picture draws, ring by ring
    r = np.linspace(0, dome.radius_mm, 2001)
    volume_ml = np.trapezoid(2 * np.pi * r * dome.rise_mm * dome_share(dome, r, 0 * r), r) / 1000
    assert volume_ml == pytest.approx(0.6 * 90 * minutes / 60, rel=1e-5)
    assert (dome.x_mm, dome.y_mm) == (0, 0)


@pytest.mark.parametrize("minutes", [0.1, 2, 15])
def test_a_pool_holds_the_blood_that_has_leaked(minutes):
    event = Haematoma("main", 60, onset_s=10, vein_pressure_mmhg=35)
    pools = event.change(ALONE, 10 + 60 * minutes).pools
    # the lenses that the picture draws: half of base times thickness
    volume_ml = sum(np.pi * p.radius_mm**2 * p.thickness_mm / 2 for p in pools) / 1000
    # the leak's law stepped by another hand: 0.02 mL/min/mmHg against a give of 0.15 mL/mmHg
    run = solve_ivp(lambda t, v: 0.02 * (35 - v / 0.15), (0, minutes), [0.0], rtol=1e-8, atol=1e-10)
    assert volume_ml == pytest.approx(run.y[0, -1], rel=1e-5)
    assert {pool.depth_mm for pool in pools} == {1.5}


def test_a_pool_of_blood_is_one_patch_that_keeps_its_shape_as_it_grows():
    event = Haematoma("main", 60, onset_s=0)
    early, late = (event.change(ALONE, t).pools for t in (60, 200))
    scale = late[0].radius_mm / early[0].radius_mm
    assert scale > 1.2
    for one, other in zip(early, late, strict=True):
        assert (other.x_mm, other.y_mm) == pytest.approx((one.x_mm * scale, one.y_mm * scale))
        assert np.hypot(one.x_mm, one.y_mm) < early[0].radius_mm + one.radius_mm


def test_a_pressed_haematoma_grows_no_more():
    event = Haematoma("main", 60, onset_s=0, pressed_after_min=1)
    assert event.volume_ml(600) == event.volume_ml(60) > event.volume_ml(59)


@pytest.mark.parametrize("why", WHY_UNSEEN)
def test_an_unseen_infiltration_leaks_and_changes_nothing(why):
    event = UnseenInfiltration("main", 60, why, onset_s=10, rate_ml_per_h=1)
    assert all(event.change(ALONE, t) is Nothing().change(ALONE, t) for t in (0, 20, 300))
    record = event.record(ALONE, np.arange(10) * 30.0)
    assert record.details["volume_at_end_ml"] == pytest.approx((270 - 10) / 3600)
    assert "no picture rules out an infiltration" in record.seen
    assert not record.picture_changes


# By chance, and at any time


@pytest.mark.parametrize("kind", EVENTS)
def test_an_event_by_chance_suits_the_scene_and_comes_again_from_its_seed(kind):
    for seed in range(8):
        event = drawn(kind, JOINED, seed=seed)
        times = np.arange(40) * event.usual_interval_s()
        event.verify(JOINED, times)
        assert event == drawn(kind, JOINED, seed=seed)
        place = event.place(JOINED)
        if kind != "nothing":
            assert abs(place[0]) <= 64 - 8
            assert abs(place[1]) <= 48 - 8 + 0.01
            assert times[5] <= event.onset_s <= times[14]


@pytest.mark.parametrize("kind", ["refill", "flush", "roll", "infiltration", "haematoma"])
def test_an_event_by_chance_is_put_where_it_can_be_seen(kind):
    deep = tube("deep", (-20, 60), (-20, -60))
    deep = replace(deep, depth_mm=np.full(241, 7.5))
    scene = scene_of(MAIN, deep, valves=(90,))
    valves = (*scene.anatomy.valves, Valve("deep", 90))
    scene = replace(scene, anatomy=replace(scene.anatomy, valves=valves))
    found = {drawn(kind, scene, seed=seed).vessel for seed in range(20)}
    assert found == {"main"}


def test_an_infant_is_given_less():
    infant = Scene(replace(JOINED.anatomy, age_group="infant"), seed=3)
    for kind, name, most in (
        ("flush", "volume_ml", 1),
        ("infiltration", "rate_ml_per_h", 8),
        ("infiltration-unseen", "rate_ml_per_h", 8),
    ):
        assert getattr(drawn(kind, infant), name) == most < getattr(drawn(kind, JOINED), name)
    assert drawn("flush", infant, volume_ml=2).volume_ml == 2


@given(
    finger=st.floats(0, 80),
    stroke=st.floats(1, 40),
    hold=st.floats(0, 5),
    tip=st.floats(0, 115),
    time_s=st.floats(0, 30),
)
@settings(max_examples=60)
def test_a_vein_is_never_more_than_full_nor_less_than_empty(finger, stroke, hold, tip, time_s):
    refill = Refill("main", finger, finger + stroke, onset_s=1, hold_time_s=hold)
    for event in (refill, Flush("main", tip, onset_s=1)):
        for share in event.change(JOINED, time_s).filling.values():
            assert np.all((share >= 0) & (share <= 1))


def test_the_pulse_of_an_artery_lies_below_the_noise():
    widths = np.array([1.5, 1.5 * 1.03])  # a few parts in a hundred wider at each beat
    dark = events.calc.skin_vein_contrast(
        2.5, lumen_diameter_mm=widths, picture_wavelength_nm=850.0, epidermal_melanin_fraction=0.05
    )
    assert abs(dark[1] - dark[0]) < Scene(ALONE.anatomy).camera.noise_share
    assert "feel for a pulse" in events.PULSE


# What cannot be


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Refill("x", 45, 90, onset_s=1), r"vein 'x' is not in this scene: .* main, side"),
        (lambda: Flush("artery", 45), r"vein 'artery' is an artery: its veins are main, side"),
        (lambda: Roll("x", 45), "vein 'x' is not in this scene"),
        (lambda: Infiltration("x", 45, onset_s=1), "vein 'x' is not in this scene"),
        (lambda: UnseenInfiltration("x", 45, onset_s=1), "vein 'x' is not in this scene"),
        (lambda: Haematoma("x", 45, onset_s=1), "vein 'x' is not in this scene"),
        (lambda: Roll("main", 60, onset_s=12), r"roll at 12 s .* end .* 9.75 s.*take 49 frames"),
        (lambda: Flush("side", 60), "tip at 60 mm lies beyond vein 'side', which is 50.0 mm long"),
        (lambda: Flush("main", 119.8), r"nothing lies downstream; nearest: 110.0 mm"),
        (lambda: Refill("main", 87, 95), r"is 3.0 mm long.*from 10 mm.*hold the vein at 80 mm"),
        (lambda: Refill("main", 41, 50), r"is 9.0 mm long.*nearest: stroke it to 51 mm"),
        (
            lambda: Refill("main", 45, 100, hold_time_s=9),
            r"joins at 60.0 mm fills it before the finger lifts.*nearest: hold the vein at 60 mm",
        ),
        (
            lambda: Refill("main", 61, 65, valves_close=False),
            r"is 4.0 mm long.*nearest: stroke it to 71 mm",
        ),
        (lambda: Refill("main", 33, 55), r"is 7.0 mm long.*nearest: hold the vein at 30 mm"),
        (lambda: Refill("main", 60, 50), "it must be above the holding finger at 60 mm"),
        (lambda: Refill("main", 45, 130), "end of the stroke at 130 mm lies beyond vein 'main'"),
        (
            lambda: Refill("main", 62, 90, vein_velocity_mm_per_s=200),
            r"lasts 0.13 s, less than 2 frames 0.25 s apart; nearest: an interval of 0.063 s",
        ),
        (
            lambda: Refill("main", 62, 92, onset_s=2, hold_time_s=20),
            r"begins to fill at 22.50 s, after the end .* nearest: 97 frames",
        ),
        (lambda: Roll("main", 2), r"at 2 mm lies less than 5 mm from an end.*nearest: 5.0 mm"),
        (lambda: Roll("main", 60, skin="wet"), "skin is 'wet': it must be one of loose"),
        (lambda: Roll("main", 60, side="up"), "side is 'up': it must be one of left, right"),
        (lambda: UnseenInfiltration("main", 9, "shy"), "why is 'shy': it must be one of deep"),
        (
            lambda: UnseenInfiltration("main", 9, "small", onset_s=0, rate_ml_per_h=100),
            r"0.27 mL leak.*up to 0.1 mL; nearest: a rate of 37 mL/h",
        ),
        (lambda: Flush("main", 9, rate_ml_per_min=0), "rate of the flush is 0 mL/min"),
        (lambda: Flush("main", 9, volume_ml=500), "volume of the flush is 500 mL"),
        (lambda: Roll("main", 9, push_n=-1), "sideways push is -1 N"),
        (lambda: Haematoma("main", 9, vein_pressure_mmhg=900), "pressure in the vein is 900 mmHg"),
        (lambda: Infiltration("main", 9, rate_ml_per_h=math.nan), "rate is nan mL/h"),
        (lambda: Infiltration("main", 9, onset_s=-1), "onset of the event is -1 s"),
        (lambda: drawn("juggling", JOINED), "no event is called 'juggling': there are refill"),
        (lambda: drawn("refill", scene_of(MAIN)), "longest such stretch is 0.0 mm"),
        (
            lambda: drawn("refill", ALONE, vein_velocity_mm_per_s=400),
            r"no refill of this scene can be followed: .* nearest: an interval of",
        ),
        (lambda: drawn("roll", scene_of(DEEP)), "no vein of this scene has a place in view"),
    ],
)
def test_what_cannot_be_says_why_and_the_nearest_that_can(make, message):
    with pytest.raises(ValueError, match=message):
        make().verify(JOINED, TIMES)


def test_a_valve_too_near_the_veins_beginning_leaves_only_another_stretch():
    with pytest.raises(ValueError, match=r"2 to 8 mm, is 6.0 mm long.*nearest: another stretch"):
        Refill("main", 2, 20, onset_s=0).verify(scene_of(MAIN, valves=(8,)), TIMES)


def test_below_a_mouth_only_a_valve_keeps_a_vein_empty():
    lengths = {}
    for valves in ((90,), (40, 90)):
        event = Refill("main", 20, 100, onset_s=0, hold_time_s=20)
        left = event.held_empty(scene_of(MAIN, SIDE, valves=valves))
        lengths[valves] = sum(end - start for start, end in left)
    assert lengths == {(90,): 0, (40, 90): pytest.approx(20)}
