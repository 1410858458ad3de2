"""Focal geometry: one draw of each number worked by pencil, and what the draws may not do.

The numbers here were worked out by similar triangles, by a table of sines, by the table of the
normal distribution, and by dividing lumens by square metres; not by this course's code. The
device: 220 mm, window 18 mm, picture 96 by 72 mm, 14 lm, camera and projector 24 mm apart.
"""

from itertools import permutations
from math import sqrt

import pytest

from cubital import items, tables
from cubital.explore.holding import HandOrStand
from cubital.handin.release import new_release

WORKSHEET = "focal-geometry"
RELEASE = new_release("autumn", WORKSHEET)
LEARNERS = [f"learner-{number:04d}" for number in range(1000)]

WORKED = {
    # 4.0 x 220 = 880; 880 / 235 = 3.7447. 4.0 x 235 / 220 = 4.2727. 3.7447 x 220 / 235 = 3.5057.
    "focal-shown-width": (
        {"vein_diameter_mm": 4.0, "object_distance_mm": 235},
        3.7447,
        {"farther-shows-larger": 4.2727, "sharp-so-unchanged": 4.0, "square-for-length": 3.5057},
    ),
    # Three times the smear at three times 18 mm: 54. Less 18; and 220; 18 x root of 3; 18 / 3.
    "focal-smear": (
        {"smear_mm": 0.69},
        54.0,
        {
            "beyond-the-window": 36.0,
            "from-the-device": 274.0,
            "grows-as-square": 31.177,
            "ratio-upside-down": 6.0,
        },
    ),
    # A quarter more picture at a quarter more distance: 275. 220 x 4 / 5; 220 + 24; 220 x 5 / 3.
    "focal-wider": (
        {"picture_width_mm": 120},
        275.0,
        {"nearer-for-larger": 176.0, "added-for-scaled": 244.0, "short-for-long-side": 366.667},
    ),
    # 12 of 36 mm: sin 19.471 = 1/3. 18 of 36: 30. 24 of 36: sin 41.810 = 2/3. 12 of 72:
    # sin 9.594 = 1/6. 90 - 19.471; 19.471 x 3.14159 / 180.
    "focal-largest-tilt": (
        {"field_mm": 72, "distance_error_mm": 6},
        19.471,
        {
            "whole-window-for-tilt": 30.0,
            "added-for-subtracted": 41.810,
            "whole-for-half": 9.594,
            "cosine-for-sine": 70.529,
            "calculator-in-radians": 0.33984,
        },
    ),
    # 11 mm off, a twentieth of 220: a twentieth of 24. 7.5, 3.5 and 4 mm x 24 / 220. 24 x 11 / 18.
    "focal-shift": (
        {"limb": "a forearm", "place_mm": 18, "drop_mm": 7.5, "distance_error_mm": 3.5},
        1.2,
        {
            "hold-left-out": 0.81818,
            "limb-left-out": 0.38182,
            "lower-counted-as-nearer": 0.43636,
            "window-for-distance": 14.667,
        },
    ),
    # 1.1 x 220 / 24 = 10.083; with 2.2 twice that; with 1 mm 9.1667. 1.1 x 24 / 220 = 0.12.
    "focal-allowed": (
        {"vein_diameter_mm": 2.2},
        10.083,
        {
            "diameter-for-radius": 20.167,
            "tolerance-for-this-vein": 9.1667,
            "sharp-for-on-the-vein": 18.0,
            "ratio-upside-down": 0.12,
        },
    ),
    # On the vein within 9.167 mm. Free hand, 5 mm of drift: z = 0.6333 and -3.0333, so 0.7367 -
    # 0.0012 = 0.7355. Rested, 2 mm: z = 1.5833, 0.9433. Of 50 s: 36.78 and 47.17. Sharp within
    # 18 mm: z = 2.4, 0.9918, against 1: 0.0082 of 50 s.
    "focal-rest": (
        {"setting_error_mm": 6, "hold_time_s": 50},
        10.39,
        {"free-hand-only": 36.78, "rested-hand-only": 47.17, "sharp-for-on-the-vein": 0.4099},
    ),
    # 0.12 x 0.075 = 0.009 m2: 18 / 0.009. Own picture 0.096 x 0.072 = 0.006912 m2. 18 / 0.12;
    # 18 / 0.0144; 90 cm2 / 100 = 0.9 m2.
    "focal-illuminance": (
        {"light_output_lm": 18, "picture_width_mm": 120, "picture_height_mm": 75},
        2000.0,
        {
            "size-left-out": 2604.2,
            "width-for-area": 150.0,
            "square-for-rectangle": 1250.0,
            "hundred-for-ten-thousand": 20.0,
        },
    ),
    # 144 by 108 mm: 14 / 0.015552 = 900.21, doubled. 14 / 0.006912 = 2025.46, doubled; two thirds
    # of it, doubled. Half of 900.21.
    "focal-room-limit": (
        {"picture_width_mm": 144},
        1800.4,
        {
            "size-left-out": 4050.9,
            "width-for-area": 2700.6,
            "picture-for-room-light": 900.21,
            "multiplied-for-divided": 450.1,
        },
    ),
}
# How each answer is asked for: decimals, or 0 for whole numbers.
DECIMALS = {"focal-shown-width": 2, "focal-largest-tilt": 1, "focal-shift": 2, "focal-allowed": 1}


@pytest.mark.parametrize("item_id", WORKED)
def test_answer_and_slips_are_those_worked_by_hand(item_id):
    values, answer, slips = WORKED[item_id]
    item = items.find(item_id)
    assert item.answer(values) == pytest.approx(answer, rel=1e-3)
    assert item.slip_values(values) == pytest.approx(slips, rel=1e-3)


def test_all_numbers_of_the_worksheet_are_worked_by_hand():
    assert {i.id for i in items.WORKSHEETS[WORKSHEET] if i.kind == "number"} == set(WORKED)


def test_held_too_near_a_round_limb_takes_off_what_the_limb_adds():
    """7.5 mm lower, held 2 mm too near: 5.5 mm too far, a fortieth of 220, so 24 / 40 = 0.6."""
    values = {"limb": "a forearm", "place_mm": 18, "drop_mm": 7.5, "distance_error_mm": -2}
    item = items.find("focal-shift")
    assert item.answer(values) == pytest.approx(0.6)
    assert item.slip_values(values)["lower-counted-as-nearer"] == pytest.approx(9.5 * 24 / 220)
    assert "held 2 mm too near" in item.ask(values)
    assert item.route_to(values).startswith("7.5 mm − 2 mm: at the vein the skin is 5.5 mm too far")


@pytest.mark.parametrize("item_id", WORKED)
def test_a_thousand_draws_keep_answer_and_slips_apart(item_id):
    item = items.find(item_id)
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        numbers = [item.answer(values), *item.slip_values(values).values()]
        closest = min(abs(a - b) for i, a in enumerate(numbers) for b in numbers[i + 1 :])
        assert item.tolerance(values) <= closest / 2, (learner, values)


@pytest.mark.parametrize("item_id", WORKED)
def test_an_answer_with_the_decimals_asked_for_is_right(item_id):
    item, places = items.find(item_id), DECIMALS.get(item_id, 0)
    asked = {0: "whole", 1: "one decimal", 2: "two decimals"}[places]
    for learner in LEARNERS[:300]:
        values = RELEASE.values(item, learner)
        typed = f"{item.answer(values):.{places}f} {item.unit}"
        assert item.judge(values, item.read(typed, values)).outcome == "right", (typed, values)
        assert asked in item.ask(values).lower()


@pytest.mark.parametrize("item_id", WORKED)
def test_the_route_ends_at_the_answer(item_id):
    item, places = items.find(item_id), DECIMALS.get(item_id, 0)
    for learner in LEARNERS[:100]:
        values = RELEASE.values(item, learner)
        route = item.route_to(values).replace(",", "")
        assert f"{item.answer(values):.{places}f} {item.unit}" in route, (route, values)


def test_every_drawn_number_is_a_usual_one():
    usual = tables.limits()
    for item in items.WORKSHEETS[WORKSHEET]:
        for learner in LEARNERS:
            values = RELEASE.values(item, learner)
            for name in set(values) & set(usual):
                assert usual[name].usual_low <= values[name] <= usual[name].usual_high, name


def test_the_second_look_is_from_inside_the_window_and_the_longer_piece_is_not():
    for learner in LEARNERS:
        seen = RELEASE.values(items.find("focal-shown-width"), learner)
        assert 202 <= seen["object_distance_mm"] <= 238
        wider = items.find("focal-wider")
        assert wider.answer(RELEASE.values(wider, learner)) > 238


def test_skin_beside_the_highest_line_lies_lower_by_the_circle():
    """Pythagoras: radius less the root of radius squared less place squared."""
    radii = {"a forearm": 40, "a slim forearm": 32, "a child's forearm": 25}
    drawn = [RELEASE.values(items.find("focal-shift"), learner) for learner in LEARNERS]
    assert {v["limb"] for v in drawn} == set(radii)
    for v in drawn:
        radius = radii[v["limb"]]
        lower = radius - sqrt(radius**2 - v["place_mm"] ** 2)
        assert v["drop_mm"] == pytest.approx(lower, abs=0.051)
        assert abs(v["drop_mm"] + v["distance_error_mm"]) >= 2


def test_seconds_gained_can_be_read_off_the_lessons_figure():
    item = items.find("focal-rest")
    for learner in LEARNERS[:60]:
        v = RELEASE.values(item, learner)
        read = {}
        for holding in ("braced", "hand-held"):
            figure = HandOrStand(holding=holding, setting_error_mm=v["setting_error_mm"])
            long_holds = figure.show().readings[1]
            assert long_holds.label == "Long holds: time with the line on the vein"
            read[holding] = int(long_holds.value.split()[0]) / 100
        seconds = round(v["hold_time_s"] * (read["braced"] - read["hand-held"]))
        assert item.judge(v, {"number": float(seconds)}).outcome == "right", v


def test_under_each_lamp_the_picture_is_far_from_easily_seen():
    """14 lm on 0.006912 m2, against the lamp; easily seen from 0.5 on."""
    for learner in LEARNERS:
        v = RELEASE.values(items.find("focal-lamp"), learner)
        assert 14 / 0.006912 / v["room_light_lx"] < 0.2


def test_corners_of_a_failed_check_are_clearly_beyond_what_is_tolerated():
    tolerated = tables.constant("view-registration-tolerance").value
    for learner in LEARNERS:
        v = RELEASE.values(items.find("focal-failed-check"), learner)
        assert v["corner_mm"] >= tolerated + 0.3  # the reading error of a ruler


def test_only_the_lamp_may_be_turned_away_at_several_times():
    item = items.find("focal-check-order")
    steps = item.solution(RELEASE.values(item, "ada"))
    right = [order for order in permutations(steps) if not item.broken(order)]
    others = {tuple(key for key in order if key != "lamp") for order in right}
    assert others == {("lay", "read", "set", "feel", "choose")}
    assert len(right) == 4  # before or after each of the first three, always before feeling


def test_each_table_has_every_column_and_tables_differ():
    item = items.find("focal-movements")
    tables_seen = set()
    for learner in LEARNERS:
        v = RELEASE.values(item, learner)
        rows = item.rows(v)
        columns = {column.key for column in item.columns(v)}
        assert len({row.key for row in rows}) == 5
        assert {row.right for row in rows} == columns
        for row in rows:
            assert set(row.misconceptions) == columns - {row.right}
        tables_seen.add(frozenset(row.key for row in rows))
    assert len(tables_seen) > 30


def test_whole_device_moves_change_the_size_of_the_shift_and_turns_do_not():
    """From 5 mm too far: 12 mm farther, 17; 15 nearer, -10; arm 15 lower, 20. None is 5 again."""
    item = items.find("focal-movements")
    texts = {}
    for learner in LEARNERS:
        rows = item.rows(RELEASE.values(item, learner))
        texts |= {row.key: (row.text, row.right) for row in rows}
    for key, words, now in (
        ("drift-away", "12 mm away", 5 + 12),
        ("sink-nearer", "sinks by 15 mm", 5 - 15),
        ("pillow-gone", "15 mm lower", 5 + 15),
    ):
        assert words in texts[key][0]
        assert abs(now) != 5
        assert texts[key][1] == "all-over"
    assert len(texts) == 9
