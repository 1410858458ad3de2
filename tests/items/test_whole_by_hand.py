"""The whole course: one draw of each number worked by pencil, and what the draws may not do.

The numbers here were worked out by counting a hundred patients, by halving step by step, and by the
textbook volume of half an ellipsoid; not by this course's code.
"""

import json
import math
from itertools import permutations

import pytest

from cubital import items, tables
from cubital.handin.release import new_release

WORKSHEET = "whole-course"
RELEASE = new_release("autumn", WORKSHEET)
LEARNERS = [f"learner-{number:04d}" for number in range(1000)]
LISTED = items.WORKSHEETS[WORKSHEET]
EACH = {row.gauge: row for row in tables.gauges()}

WORKED = {
    # 500 / 15 = 33.3 mL/min. Of 22 G 80 % are 28.8, of 20 G 48.8: 20 G. 1.149 / 0.45 = 2.5533.
    # In full 22 G gives 36: 0.949 / 0.45. Next wider 18 G: 1.349 / 0.45. 1.149 x 0.45 = 0.51705.
    # The root of 0.45 is 0.6708204: 1.149 / 0.6708204 = 1.7128280.
    "whole-vein-for-order": (
        {"ratio_limit": 0.45, "volume_ml": 500, "time_min": 15},
        2.5533333,
        {
            "margin-left-out": 2.1088889,
            "thicker-than-needed": 2.9977778,
            "multiplied-by-limit": 0.51705,
            "area-for-diameter": 1.7128280,
        },
    ),
    # 24, 12, 6, 3 %: 3 x 1.5 = 4.5 mm; the sine of 30 degrees is a half: 9 mm; 9 / 0.35 = 25.714.
    # To 1 %: 2 to the power of 4.5849625 is 24; 6.8774438 mm; twice that over 0.35.
    # In a straight line 12 points go with 1.5 mm, and 21 with 2.625: 5.25 / 0.35 = 15.
    # 9 / 0.65; 9; 4.5 / 0.35.
    "whole-length-for-seen": (
        {"noise": 0.01, "contrast": 0.24, "halving_mm": 1.5, "insertion_angle_deg": 30},
        25.7142857,
        {
            "noise-for-needed": 39.2996786,
            "straight-line-for-curve": 15,
            "inside-for-outside": 13.8461538,
            "share-left-out": 9,
            "angle-left-out": 12.8571429,
        },
    ),
    # 6.0 - 1.5 = 4.5 mm; 9 mm on the way; 23 of 32. From the middle 12 mm: 20 of 32. A whole
    # diameter less, 3 mm, 6 mm on the way: 26 of 32. 27.5 of 32. 9 of 32.
    "whole-share-from-middle": (
        {
            "length_mm": 32,
            "vein_diameter_mm": 3.0,
            "middle_depth_mm": 6.0,
            "insertion_angle_deg": 30,
        },
        0.71875,
        {
            "centre-for-near-wall": 0.625,
            "diameter-for-radius": 0.8125,
            "angle-left-out": 0.859375,
            "outside-for-inside": 0.28125,
        },
    ),
    # 4.0 / 2.5 = 1.6; 1.6 x 1.6 = 2.56; x 1.6 = 4.096; 2.56 - 1; 1 / 2.56.
    "whole-times-filled": (
        {"gauge": 20, "vein_diameter_mm": 2.5, "band_mm": 4.0},
        2.56,
        {
            "width-for-area": 1.6,
            "cubed-for-squared": 4.096,
            "more-for-times": 1.56,
            "ratio-upside-down": 0.390625,
        },
    ),
    # Of 100 patients: 100 x 6 and 60 x 28 minutes, 2280. 100 x 6 + 40 x 28 = 1720. 100 x 34.
    # 60 x 34 = 2040. 600 + 60 x 18 = 1680.
    "whole-until-in": (
        {"attempt_min": 6, "success_share": 0.4, "comes_min": 18, "needs_min": 10},
        22.8,
        {
            "failed-for-succeeded": 17.2,
            "colleague-every-time": 34,
            "own-time-only-if-it-fails": 20.4,
            "waiting-only": 16.8,
        },
    ),
    # Of 100 patients: 125 attempts of 7 minutes, 8.75 minutes each; 210 / 8.75 = 24. 210 / 7;
    # 210 / 14; 175 attempts: 210 / 12.25; 4/3 attempts: 210 / 9.3333 = 22.5.
    "whole-per-charge": (
        {"run_time_h": 3.5, "on_min": 7, "success_share": 0.75},
        24,
        {
            "one-attempt-each": 30,
            "two-attempts-each": 15,
            "failed-for-succeeded": 17.1428571,
            "limit-left-out": 22.5,
        },
    ),
    # Half an ellipsoid, 2/3 pi x 2 x 2 x 0.6 cm3 = 5.0265482 mL; 30 mL/h: 10.0530965 minutes.
    # With 50 mL/h 6.0318579, with 20 mL/h 15.0796447. A quarter of it, as 4 x 4 for 4 x 4 x 4:
    # 2.5132741. An eighth: 1.2566371. In hours 0.1675516.
    "whole-until-felt": (
        {"rate_ml_per_h": 50, "outside_share": 0.6, "swelling_diameter_mm": 40},
        10.0530965,
        {
            "all-outside": 6.0318579,
            "inside-for-outside": 15.0796447,
            "square-for-cube": 2.5132741,
            "radius-for-width": 1.2566371,
            "hours-for-minutes": 0.1675516,
        },
    ),
    # 5 mL; 5 / 0.0785398 = 63.66198, whose cube root is 3.9929455: 39.929 / 160. Over the cube root
    # of 2, 1.2599210, for 2.5 mL; times it for 10 mL. The square root of 63.66198 is 7.9788456.
    "whole-child-share": (
        {"rate_ml_per_h": 10, "look_every_min": 30, "limb_length_mm": 160},
        0.2495591,
        {
            "half-way-leak": 0.1980752,
            "one-hour-for-the-time": 0.3144248,
            "square-root-for-cube-root": 0.4986778,
            "free-for-swollen": 0.7504409,
        },
    ),
    # 100 mL/h: 200 mL in two hours. An hour without: 800 mL in 7 h, 114.2857 mL/h, a third of that
    # in drops. 800 in 8 h; 1000 in 7 h; 800 in 10 h; three times the drops.
    "whole-drops-left": (
        {
            "volume_ml": 1000,
            "whole_h": 10,
            "from_h": 8,
            "ran_min": 120,
            "stood_min": 60,
            "drop_factor_per_ml": 20,
        },
        38.0952381,
        {
            "pause-left-out": 33.3333333,
            "whole-for-left": 47.6190476,
            "time-set-anew": 26.6666667,
            "wrong-drop-factor": 114.2857143,
        },
    ),
}


def drawn(item_id, learners=LEARNERS):
    item = items.find(item_id)
    return item, [RELEASE.values(item, learner) for learner in learners]


@pytest.mark.parametrize("item_id", WORKED)
def test_answer_and_slips_are_those_worked_by_hand(item_id):
    values, answer, slips = WORKED[item_id]
    item = items.find(item_id)
    assert item.answer(values) == pytest.approx(answer, rel=1e-6)
    assert item.slip_values(values) == pytest.approx(slips, rel=1e-6)


def test_all_numbers_of_the_worksheet_are_worked_by_hand_and_say_their_way():
    numbers = [item for item in LISTED if item.kind == "number"]
    assert {item.id for item in numbers} == set(WORKED)
    for item in numbers:
        values, *_ = WORKED[item.id]
        assert item.route_to(values)
        assert item.ask(values)


@pytest.mark.parametrize("item_id", WORKED)
def test_a_thousand_draws_keep_answer_and_slips_apart(item_id):
    item, values = drawn(item_id)
    for v in values:
        numbers = [item.answer(v), *item.slip_values(v).values()]
        closest = min(abs(a - b) for i, a in enumerate(numbers) for b in numbers[i + 1 :])
        assert item.tolerance(v) <= closest / 2, v


@pytest.mark.parametrize("item_id", WORKED)
def test_a_thousand_draws_and_their_answers_are_usual(item_id):
    usual = tables.limits()
    item, values = drawn(item_id)
    for v in values:
        for name, number in {**v, item.quantity: item.answer(v)}.items():
            if name in usual:
                assert usual[name].usual_low <= number <= usual[name].usual_high, name


def test_every_slip_of_every_number_can_be_typed():
    for item in LISTED:
        if item.kind == "number":
            for v in (RELEASE.values(item, learner) for learner in LEARNERS[:200]):
                for made in item.slip_values(v).values():
                    assert item.read(f"{made!r} {item.unit}", v)["number"] == pytest.approx(made)


def test_the_margin_decides_on_the_gauge_of_an_order():
    """By the table: the catheter gives the flow with its margin, the next thinner only without."""
    item, values = drawn("whole-vein-for-order")
    seen = set()
    for v in values:
        flow = v["volume_ml"] / v["time_min"]
        outer = item.answer(v) * v["ratio_limit"]
        gauge = next(g for g, row in EACH.items() if math.isclose(row.outer_upper_mm, outer))
        thinner = {20: 22, 18: 20, 16: 18}[gauge]
        assert 0.8 * EACH[thinner].nominal_flow_ml_per_min < flow
        assert flow <= EACH[thinner].nominal_flow_ml_per_min
        assert flow <= 0.8 * EACH[gauge].nominal_flow_ml_per_min
        seen.add(gauge)
    assert seen == {20, 18, 16}


def test_the_deepest_vein_seen_has_just_the_contrast_that_is_needed():
    item, values = drawn("whole-length-for-seen")
    for v in values:
        outside = 0.35 * item.answer(v)
        depth = outside * math.sin(math.radians(v["insertion_angle_deg"]))
        left = v["contrast"] * 0.5 ** (depth / v["halving_mm"])
        assert left == pytest.approx(3 * v["noise"])
        assert 0.2 < v["contrast"] * 2 < 1


def test_the_near_wall_is_a_usual_depth():
    _, values = drawn("whole-share-from-middle")
    for v in values:
        near = v["middle_depth_mm"] - v["vein_diameter_mm"] / 2
        assert 3 <= round(near, 6) <= 7


def test_the_rest_of_the_bag_runs_in_by_the_time_first_set():
    """Minute by minute, and no faster than is usual."""
    item, values = drawn("whole-drops-left")
    for v in values:
        left = v["volume_ml"]
        for minute in range(v["whole_h"] * 60):
            if minute < v["ran_min"]:
                left -= v["volume_ml"] / (60 * v["whole_h"])
            elif minute >= v["ran_min"] + v["stood_min"]:
                left -= item.answer(v) / v["drop_factor_per_ml"]
        assert left == pytest.approx(0, abs=1e-6)
        assert item.answer(v) < 67  # 200 mL/h with 20 drops to 1 mL


def test_too_little_of_the_catheter_lies_in_the_vein_for_a_drug_that_harms():
    item, values = drawn("whole-vesicant-short")
    for v in values:
        way = v["near_wall_depth_mm"] / math.sin(math.radians(v["insertion_angle_deg"]))
        share = 1 - way / v["length_mm"]
        assert 0.15 < share < 0.5
        assert f"{100 * share:.0f} % of it lies in the vein" in item.ask(v)


def test_the_drug_stands_on_the_local_list():
    listed = tables.profile().vesicants
    _, values = drawn("whole-vesicant-short")
    for v in values:
        words = v["drug"].removeprefix("concentrated ")
        assert any(words in name for name in listed)


def test_an_arm_becomes_no_thicker_than_what_ran_can_make_it():
    """Half an ellipsoid's width as the length of arm that takes the fluid up; 25 cm round."""
    _, values = drawn("whole-quiet-arm")
    for v in values:
        volume = v["rate_ml_per_h"] * v["apart_min"] / 60 * 1000
        width = (volume / (math.pi / 6 * 0.15)) ** (1 / 3)
        rise = math.sqrt(250**2 + 4 * math.pi * volume / width) - 250
        assert 5 < v["rise_mm"] <= rise


def test_orders_that_keep_the_rules_are_few_and_each_rule_is_told_alone():
    order = items.find("whole-next-vein")
    v = RELEASE.values(order, "learner-0001")
    right = order.solution(v)
    kept = [p for p in permutations(right) if order.judge(v, {"order": list(p)}).outcome == "right"]
    # the device may be fetched and checked at any time from the stop until the vein is sought
    assert len(kept) == 3
    assert set(order.slip_answers(v)) == {rule.key for rule in order.rules}


def test_two_items_must_be_right_and_the_objectives_know():
    assert {item.id for item in LISTED if item.critical} == {
        "whole-vesicant-short",
        "whole-quiet-arm",
    }


@pytest.mark.parametrize("item", [i for i in LISTED if i.kind == "choice"], ids=lambda i: i.id)
def test_the_right_option_is_neither_the_longest_nor_the_shortest_of_all(item):
    options = {o.text: o.right for v in drawn(item.id)[1] for o in item.options(v)}
    right = next(len(text) for text, is_right in options.items() if is_right)
    others = [len(text) for text, is_right in options.items() if not is_right]
    assert min(others) <= right <= max(others) + 5
    assert len(options) == 7


def test_the_notebook_asks_the_items_in_their_order_and_names_their_lessons():
    path = tables.course_folder("exercises") / "source" / WORKSHEET / f"{WORKSHEET}.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    text = {cell["id"]: "".join(cell["source"]) for cell in cells}
    asked = [source[5:-2] for source in text.values() if source.startswith('ask("')]
    assert asked == [item.id for item in LISTED]
    for number, item in enumerate(LISTED, 1):
        heading = text[item.id.removeprefix("whole-") + "-heading"]
        assert heading.startswith(f"## {number}. {item.title}\n")
        assert ("must be right" in heading) == item.critical
        (objective,) = tables.curriculum().objectives_of(item.id)
        assert f"](../lessons/{objective.lesson}.ipynb)" in heading
