"""The whole course: what the draws may not do, by a second way, and what is not a number."""

import json
import math
from itertools import permutations

import pytest

from cubital import items, tables
from cubital.handin.released.release import new_release

WORKSHEET = "whole-course"
RELEASE = new_release("autumn", WORKSHEET)
LISTED = items.WORKSHEETS[WORKSHEET]
EACH = {row.gauge: row for row in tables.gauges()}


def test_every_slip_of_every_number_can_be_typed(drawn):
    for item in LISTED:
        if item.kind == "number":
            for v in drawn(item.id)[:200]:
                for made in item.slip_values(v).values():
                    assert item.read(item.as_typed(made), v)["number"] == pytest.approx(made)


def test_the_margin_decides_on_the_gauge_of_an_order(drawn):
    """By the table: the catheter gives the flow with its margin, the next thinner only without."""
    item, values = items.find("whole-vein-for-order"), drawn("whole-vein-for-order")
    seen = set()
    for v in values:
        flow = v["volume_ml"] / v["time_min"]
        outer = item.answer(v) * v["ratio_limit"]
        packets = dict(zip((22, 20, 18, 16, 14), v["packets_mm"], strict=True))
        gauge = next(g for g, packet in packets.items() if math.isclose(packet, outer))
        assert all(
            EACH[g].outer_lower_mm <= mm <= EACH[g].outer_upper_mm for g, mm in packets.items()
        )
        thinner = {20: 22, 18: 20, 16: 18}[gauge]
        assert 0.8 * EACH[thinner].nominal_flow_ml_per_min < flow
        assert flow <= EACH[thinner].nominal_flow_ml_per_min
        assert flow <= 0.8 * EACH[gauge].nominal_flow_ml_per_min
        seen.add(gauge)
    assert seen == {20, 18, 16}


def test_the_deepest_vein_seen_has_just_the_contrast_that_is_needed(drawn):
    item, values = items.find("whole-length-for-seen"), drawn("whole-length-for-seen")
    for v in values:
        outside = 0.35 * item.answer(v)
        depth = outside * math.sin(math.radians(v["insertion_angle_deg"]))
        left = v["contrast"] * 0.5 ** (depth / v["halving_mm"])
        assert left == pytest.approx(3 * v["noise"])
        assert 0.2 < v["contrast"] * 2 < 1


def test_the_near_wall_is_a_usual_depth(drawn):
    values = drawn("whole-share-from-middle")
    for v in values:
        near = v["middle_depth_mm"] - v["vein_diameter_mm"] / 2
        assert 3 <= round(near, 6) <= 7


def test_the_rest_of_the_bag_runs_in_by_the_time_first_set(drawn):
    """Minute by minute, and no faster than is usual."""
    item, values = items.find("whole-drops-left"), drawn("whole-drops-left")
    for v in values:
        left, per_minute = v["volume_ml"], item.answer(v) / v["drop_factor_per_ml"]
        for minute in range(v["whole_h"] * 60):
            if minute < v["ran_min"]:
                left -= v["volume_ml"] / (60 * v["whole_h"])
            elif minute >= v["ran_min"] + v["stood_min"]:
                left -= per_minute
        assert left == pytest.approx(0, abs=1e-6)
        assert item.answer(v) < 67  # 200 mL/h with 20 drops to 1 mL


def test_too_little_of_the_catheter_lies_in_the_vein_for_a_drug_that_harms(drawn):
    item, values = items.find("whole-vesicant-short"), drawn("whole-vesicant-short")
    for v in values:
        way = v["near_wall_depth_mm"] / math.sin(math.radians(v["insertion_angle_deg"]))
        share = 1 - way / v["length_mm"]
        assert 0.15 < share < 0.5
        assert f"{100 * share:.0f} % of the catheter lies in the vein" in item.ask(v)


def test_nothing_but_the_place_speaks_for_starting_a_drug_that_harms(drawn):
    """The drug can wait, and no option takes a catheter that the question has not told of."""
    item = items.find("whole-vesicant-short")
    for v in drawn(item.id):
        assert "can wait for some hours" in item.ask(v)
        assert "Nothing is urgent" in item.ask(v)
        assert not any("in the hand" in option.text for option in item.options(v))


def test_the_drug_stands_on_the_local_list(drawn):
    listed = tables.profile().vesicants
    values = drawn("whole-vesicant-short")
    for v in values:
        assert v["drug"] in listed


def test_an_arm_becomes_no_thicker_than_what_ran_can_make_it(drawn):
    """Half an ellipsoid's width as the length of arm that takes the fluid up; 25 cm round."""
    values = drawn("whole-quiet-arm")
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


@pytest.mark.parametrize("item", [i for i in LISTED if i.kind == "choice"], ids=lambda i: i.id)
def test_the_right_option_is_neither_the_longest_nor_the_shortest_of_all(item, drawn):
    options = {o.text: o.right for v in drawn(item.id) for o in item.options(v)}
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
        found = tables.curriculum().objectives_of(item.id)
        assert len(found) == (0 if item.optional else 1)
        lesson = "](../lessons/" + (f"{found[0].lesson}.ipynb)" if found else "")
        assert lesson in heading
