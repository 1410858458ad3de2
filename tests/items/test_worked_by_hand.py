"""Each number of each worksheet is the one worked by hand, and no draw lets a slip pass for it."""

import pytest

from cubital import items, tables
from cubital.items import NumberItem, PictureItem

from .worked import SHEETS
from .worked.reading_off import BY_LAW, Read

ITEMS = [item for listed in items.WORKSHEETS.values() for item in listed]
NUMBERS = [item.id for item in ITEMS if isinstance(item, NumberItem)]
WORKED = [(sheet, item_id) for sheet, module in SHEETS.items() for item_id in module.WORKED]

# Drawn under the name of a quantity that means something else: the width of a band, not of the
# picture, whose limits they are.
OTHER_MEANING = {
    ("sizing-picture-width", "picture_width_mm"),
    ("sizing-reasons", "picture_width_mm"),
}
# Drawn as a number or as nothing: a place that is never pressed.
OR_NONE = {("comp-haematoma", "pressed_after_min")}


def close_to(number, relative):
    """Equal to what is as near to the worked number as the working is exact."""
    if isinstance(number, Read):
        return pytest.approx(number.number, abs=number.within)
    return pytest.approx(number, rel=relative)


@pytest.mark.parametrize("worksheet", items.WORKSHEETS)
def test_every_number_of_the_worksheet_is_worked_by_hand(worksheet):
    numbers = {item.id for item in items.WORKSHEETS[worksheet] if isinstance(item, NumberItem)}
    assert numbers == set(SHEETS[worksheet].WORKED)


def test_there_is_a_table_for_no_other_worksheet():
    assert set(SHEETS) == set(items.WORKSHEETS)


@pytest.mark.parametrize(("worksheet", "item_id"), WORKED)
def test_answer_and_slips_are_those_worked_by_hand(worksheet, item_id):
    values, answer, slips = SHEETS[worksheet].WORKED[item_id]
    item, relative = items.find(item_id), SHEETS[worksheet].RELATIVE
    made = item.slip_values(values)
    assert item.answer(values) == close_to(answer, relative)
    assert set(made) == set(slips)
    for key, number in slips.items():
        if number is not BY_LAW:
            assert made[key] == close_to(number, relative), key


@pytest.mark.parametrize(("worksheet", "item_id"), WORKED)
def test_values_worked_by_hand_can_be_asked_and_explained(worksheet, item_id):
    values, *_ = SHEETS[worksheet].WORKED[item_id]
    item = items.find(item_id)
    assert item.ask(values)
    assert item.route_to(values)


@pytest.mark.parametrize("item_id", NUMBERS)
def test_a_thousand_draws_keep_answer_and_slips_apart(item_id, drawn):
    item = items.find(item_id)
    assert item.slips
    for values in drawn(item_id):
        numbers = [item.answer(values), *item.slip_values(values).values()]
        closest = min(abs(a - b) for i, a in enumerate(numbers) for b in numbers[i + 1 :])
        assert 0 < item.tolerance(values) <= closest / 2, values


@pytest.mark.parametrize(
    "item", [item for item in ITEMS if not isinstance(item, PictureItem)], ids=lambda item: item.id
)
def test_every_drawn_number_and_answer_is_a_usual_one(item, drawn):
    usual = tables.limits()
    for values in drawn(item.id):
        if isinstance(item, NumberItem):
            _assert_usual(usual[item.quantity], item.answer(values), values)
        for name in set(values) & set(usual):
            kept = values[name] is None and (item.id, name) in OR_NONE
            if not kept and (item.id, name) not in OTHER_MEANING:
                _assert_usual(usual[name], values[name], values)


def _assert_usual(limit, number, values):
    assert limit.usual_low <= number <= limit.usual_high, (limit, values)
