"""Complications: one draw of each number worked by pencil, and what the draws may not do.

The numbers here were worked out by counting sites, minutes and cubes, with a table of powers of e
for the haematoma; not by this course's code.
"""

from itertools import permutations

import pytest

from cubital import items, tables
from cubital.handin.release import new_release
from cubital.items.recognition import SeriesItem
from cubital.tables import complication as rows

LISTED = items.WORKSHEETS["complications"]
RELEASE = new_release("autumn", "complications")
LEARNERS = [f"learner-{number:04d}" for number in range(1000)]
CRITICAL = ("comp-picture", "comp-vesicant", "comp-artery", "comp-nerve")

WORKED = {
    # 24 of 30 are 0.8, 12 of 80 are 0.15: 5.333 times. 24 / 12 = 2; 24 of 36 cool ones leak.
    "comp-cool": (
        {"leaked": 30, "well": 80, "cool_leaked": 24, "cool_well": 12},
        5.3333,
        {
            "counts-for-shares": 2.0,
            "found-only": 0.8,
            "leaks-among-cool": 0.66667,
            "ratio-upside-down": 0.1875,
        },
    ),
    # 09:40 to 10:25 are 45 min, three quarters of 80. As decimals 10.25 - 9.40 = 0.85: 68.
    "comp-outside": (
        {"rate_ml_per_h": 80, "felt_at_min": 580, "apart_min": 45},
        60.0,
        {
            "minutes-as-decimals": 68.0,
            "one-hour-for-the-time": 80.0,
            "half-way-leak": 30.0,
            "minutes-for-hours": 3600.0,
        },
    ),
    # 60 leak: 18 change, 42 do not. 40 do not leak. 42 of 82 unchanged ones leak.
    "comp-unchanged": (
        {"leaking_share": 0.6, "shown_share": 0.3},
        0.51220,
        {
            "unchanged-rules-out": 0.0,
            "sign-left-out": 0.6,
            "missed-for-predicted": 0.7,
            "counted-among-all": 0.42,
            "well-for-leaking": 0.48780,
        },
    ),
    # 45 / 30 = 3/2; its cube is 27/8, its square 9/4.
    "comp-times-as-much": (
        {"first_mm": 30, "now_mm": 45},
        3.375,
        {
            "width-for-volume": 1.5,
            "area-for-volume": 2.25,
            "tripled-for-cubed": 4.5,
            "more-for-times": 2.375,
            "ratio-upside-down": 0.29630,
        },
    ),
    # 62 - 14 = 48 mm of 160 mm. 62 / 160 = 0.3875; 48 of 150 mm round.
    "comp-limb-share": (
        {"limb_length_mm": 160, "girth_mm": 150, "upper_edge_mm": 14, "lower_edge_mm": 62},
        0.3,
        {
            "edge-for-length": 0.3875,
            "girth-for-length": 0.32,
            "free-for-swollen": 0.7,
            "ratio-upside-down": 3.33333,
            "per-cent-sign-missing": 30.0,
        },
    ),
    # Give 0.15 mL/mmHg, so it ends at 0.15 x 40 = 6.0 and 0.15 x 10 = 1.5 mL. The time in which
    # it comes near is 0.15 / 0.02 = 7.5 min. Pressed after 3 min: e^-0.4 = 0.67032, 0.32968 of the
    # end: 1.97808 and 0.49452. After 9 min: e^-1.2 = 0.30119, 0.69881 of 4.5 = 3.14463.
    "comp-haematoma": (
        {"minute": 9, "pressed_after_min": 3},
        1.48356,
        {
            "tourniquet-on-only": 1.97808,
            "tourniquet-off-only": 0.49452,
            "end-for-now": 4.5,
            "pressing-set-otherwise": 3.14463,
        },
    ),
    # 6.5 - 2.5 = 4 in 100: one in 25. 100 / 2.5 = 40; 100 / 6.5 = 15.385; 6.5 / 4 = 1.625.
    "comp-needed": (
        {"before_percent": 6.5, "after_percent": 2.5, "every_h": 1},
        25.0,
        {
            "difference-for-number": 4.0,
            "after-only": 40.0,
            "before-only": 15.38462,
            "relative-for-absolute": 1.625,
        },
    ),
    # 50 sites, agreed on 40: 0.8. Yes 15 and 13, no 35 and 37: (195 + 1295) / 2500 = 0.596.
    # 0.204 / 0.404 = 0.50495. With a coin 2 x 0.8 - 1 = 0.6. 9 of 19 that either called.
    "comp-kappa": (
        {"both": 9, "first_only": 6, "second_only": 4, "neither": 31},
        0.50495,
        {
            "observed-for-kappa": 0.8,
            "not-over-the-rest": 0.204,
            "chance-taken-for-half": 0.6,
            "agreed-on-signs-only": 0.47368,
        },
    ),
}


@pytest.mark.parametrize("item_id", WORKED)
def test_answer_and_slips_are_those_worked_by_hand(item_id):
    values, answer, slips = WORKED[item_id]
    item = items.find(item_id)
    assert item.answer(values) == pytest.approx(answer, rel=1e-4)
    assert item.slip_values(values) == pytest.approx(slips, rel=1e-4)


def test_a_haematoma_that_is_never_pressed_grows_on():
    """1 - e^-0.8 = 0.55067 of 4.5 mL after 6 minutes; 0.32968 of them when pressed after 3."""
    item, values = items.find("comp-haematoma"), {"minute": 6, "pressed_after_min": None}
    assert item.answer(values) == pytest.approx(2.4780, rel=1e-4)
    assert item.slip_values(values)["pressing-set-otherwise"] == pytest.approx(1.48356, rel=1e-4)


def test_all_numbers_of_the_worksheet_are_worked_by_hand():
    assert {item.id for item in LISTED if item.kind == "number"} == set(WORKED)


@pytest.mark.parametrize("item_id", WORKED)
def test_the_route_ends_in_the_answer(item_id):
    values, answer, _ = WORKED[item_id]
    item = items.find(item_id)
    last = item.route_to(values).rpartition("= ")[2].split()[0]
    assert float(last) == pytest.approx(answer, abs=item.tolerance(values))


@pytest.mark.parametrize("item_id", WORKED)
def test_a_thousand_draws_keep_answer_and_slips_apart(item_id):
    item = items.find(item_id)
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        numbers = [item.answer(values), *item.slip_values(values).values()]
        closest = min(abs(a - b) for i, a in enumerate(numbers) for b in numbers[i + 1 :])
        assert item.tolerance(values) <= closest / 2, (learner, values)


def test_every_drawn_number_and_answer_is_a_usual_one():
    usual = tables.limits()
    for item in LISTED:
        if isinstance(item, SeriesItem):  # its one value is the name of a picture
            continue
        for learner in LEARNERS:
            values = RELEASE.values(item, learner)
            given = {name: values[name] for name in set(values) & set(usual)}
            if item.kind == "number":
                given[item.quantity] = item.answer(values)
            for name, number in given.items():
                if number is not None:
                    assert usual[name].usual_low <= number <= usual[name].usual_high, (name, values)


def test_what_is_counted_can_be_counted_so():
    for learner in LEARNERS:
        cool = RELEASE.values(items.find("comp-cool"), learner)
        assert 0 < cool["cool_leaked"] <= cool["leaked"]
        assert 0 < cool["cool_well"] <= cool["well"]
        arm = RELEASE.values(items.find("comp-limb-share"), learner)
        assert 0 < arm["upper_edge_mm"] < arm["lower_edge_mm"] < arm["limb_length_mm"]
        widths = RELEASE.values(items.find("comp-times-as-much"), learner)
        assert widths["first_mm"] < widths["now_mm"]
        kappa = items.find("comp-kappa")
        assert 0.2 < kappa.answer(RELEASE.values(kappa, learner)) < 0.95


def test_an_unchanged_picture_never_rules_a_leak_out():
    """It lowers the chance: never to less than a sixth here, and never above where it was."""
    item = items.find("comp-unchanged")
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        assert 1 / 7 < item.answer(values) < values["leaking_share"]


def test_the_two_looks_are_on_one_day():
    item = items.find("comp-outside")
    for learner in LEARNERS:
        values = RELEASE.values(item, learner)
        assert values["felt_at_min"] + values["apart_min"] < 24 * 60


def test_what_must_never_be_missed_is_critical():
    assert {item.id for item in LISTED if item.critical} == set(CRITICAL)


def test_the_drugs_asked_about_count_as_vesicants_by_their_class():
    drugs = {example for row in rows.drug_classes().values() for example in row.examples}
    vesicants = {
        example
        for row in rows.drug_classes().values()
        if row.tissue == "vesicant"
        for example in row.examples
    }
    asked = {RELEASE.values(items.find("comp-vesicant"), who)["drug"] for who in LEARNERS}
    assert asked <= vesicants
    harmless = {RELEASE.values(items.find("comp-note"), who)["drug"] for who in LEARNERS}
    assert harmless <= drugs - vesicants


def test_right_orders_release_the_tourniquet_first_and_press_before_they_look():
    """Of 720 orders two keep all the rules: hand and look can change places."""
    item = items.find("comp-bleeding-order")
    keys = item.solution({})
    right = {order for order in permutations(keys) if not item.broken(order)}
    assert right == {
        ("tourniquet", "needle", "press", "look", "hand", "write"),
        ("tourniquet", "needle", "press", "hand", "look", "write"),
    }


def test_each_table_has_every_complication_and_five_signs():
    item, seen = items.find("comp-signs"), set()
    for learner in LEARNERS:
        shown = item.rows(RELEASE.values(item, learner))
        assert len({row.key for row in shown}) == 5
        assert {row.right for row in shown} == {"leak", "phlebitis", "haematoma", "occlusion"}
        seen.update(row.key for row in shown)
    assert len(seen) == 10


def test_every_wrong_column_of_every_sign_says_what_is_believed():
    item = items.find("comp-signs")
    columns = {column.key for column in item.columns({})}
    for learner in LEARNERS[:200]:
        for row in item.rows(RELEASE.values(item, learner)):
            assert set(row.misconceptions) == columns - {row.right}


def test_a_series_without_a_change_is_told_to_rule_nothing_out():
    item = items.find("comp-series")
    texts = {option.key: option.text for option in item.options({})}
    assert "rules nothing out: stop, feel, compare with the other arm, ask" in texts[item.unseen]
    assert set(item.misconceptions) == {*item.happened.values(), item.unseen} <= set(texts)
    assert sum(item.pool.values()) == 8
