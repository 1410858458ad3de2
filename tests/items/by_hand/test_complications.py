"""Complications: a haematoma never pressed, by hand, and what the draws may not do."""

from itertools import permutations

import pytest

from cubital import items, tables
from cubital.tables import complications as rows

from ..worked.complications import WORKED


def test_a_haematoma_that_is_never_pressed_grows_on():
    """1 - e^-0.8 = 0.55067 of 4.5 mL after 6 minutes; 0.124827 of them when pressed after 1."""
    item, values = items.find("comp-haematoma"), {"minute": 6, "pressed_after_min": None}
    assert item.answer(values) == pytest.approx(2.4780, rel=1e-4)
    assert item.slip_values(values)["pressing-set-otherwise"] == pytest.approx(0.561722, rel=1e-4)


@pytest.mark.parametrize("item_id", WORKED)
def test_the_route_ends_in_the_answer(item_id):
    values, answer, _ = WORKED[item_id]
    item = items.find(item_id)
    last = item.route_to(values).rpartition("= ")[2].split()[0]
    assert float(last) == pytest.approx(answer, abs=item.tolerance(values))


def test_what_is_counted_can_be_counted_so(drawn):
    for cool in drawn("comp-cool"):
        assert 0 < cool["cool_leaked"] <= cool["leaked"]
        assert 0 < cool["cool_well"] <= cool["well"]
    for arm in drawn("comp-limb-share"):
        assert 0 < arm["upper_edge_mm"] < arm["lower_edge_mm"] < arm["limb_length_mm"]
    assert all(widths["first_mm"] < widths["now_mm"] for widths in drawn("comp-times-as-much"))
    kappa = items.find("comp-kappa")
    assert all(0.2 < kappa.answer(values) < 0.95 for values in drawn(kappa.id))


def test_an_unchanged_picture_never_rules_a_leak_out(drawn):
    """It lowers the chance: never to less than a sixth here, and never above where it was."""
    item = items.find("comp-unchanged")
    for values in drawn(item.id):
        assert 1 / 7 < item.answer(values) < values["leaking_share"]


def test_the_two_looks_are_on_one_day(drawn):
    item = items.find("comp-outside")
    for values in drawn(item.id):
        assert values["felt_at_min"] + values["apart_min"] < 24 * 60


def test_the_drugs_of_the_departments_list_are_not_asked_about_as_harmless(drawn):
    drugs = {example for row in rows.drug_classes().values() for example in row.examples}
    vesicants = {
        example
        for row in rows.drug_classes().values()
        if row.tissue == "vesicant"
        for example in row.examples
    }
    assert set(tables.profile().vesicants) & vesicants
    harmless = {values["drug"] for values in drawn("comp-note")}
    assert harmless <= drugs - vesicants


def test_the_tourniquet_comes_off_before_the_needle(drawn):
    """As comp-bleeding-order marks it: under the tourniquet blood is driven out of the hole."""
    item = items.find("comp-artery")
    for values in drawn(item.id)[:200]:
        (right,) = (option for option in item.options(values) if option.right)
        told = right.text.casefold()
        assert 0 <= told.find("loosen the tourniquet") < told.find("needle out")


def test_right_orders_release_the_tourniquet_first_and_press_before_they_look():
    """Of 720 orders two keep all the rules: hand and look can change places."""
    item = items.find("comp-bleeding-order")
    keys = item.solution({})
    right = {order for order in permutations(keys) if not item.broken(order)}
    assert right == {
        ("tourniquet", "needle", "press", "look", "hand", "write"),
        ("tourniquet", "needle", "press", "hand", "look", "write"),
    }


def test_each_table_has_every_complication_and_five_signs(drawn):
    item, seen = items.find("comp-signs"), set()
    for values in drawn(item.id):
        shown = item.rows(values)
        assert len({row.key for row in shown}) == 5
        assert {row.right for row in shown} == {"leak", "phlebitis", "haematoma", "occlusion"}
        seen.update(row.key for row in shown)
    assert len(seen) == 10


def test_every_wrong_column_of_every_sign_says_what_is_believed(drawn):
    item = items.find("comp-signs")
    columns = {column.key for column in item.columns({})}
    for values in drawn(item.id)[:200]:
        for row in item.rows(values):
            assert set(row.misconceptions) == columns - {row.right}


def test_a_series_without_a_change_is_told_to_rule_nothing_out():
    item = items.find("comp-series")
    texts = {option.key: option.text for option in item.options({})}
    assert "rules nothing out: stop, feel, compare with the other arm, ask" in texts[item.unseen]
    assert set(item.misconceptions) == {*item.happened.values(), item.unseen} <= set(texts)
    assert sum(item.pool.values()) == 8
