"""Nobody gets a number right by one guess for all papers, or by copying it from the question."""

import re

import pytest

from cubital import items
from cubital.items import NumberItem
from cubital.items.kinds.base import Slip

ITEMS = [item for listed in items.WORKSHEETS.values() for item in listed]
NUMBERS = [item.id for item in ITEMS if isinstance(item, NumberItem)]

MOST_FOUND = 0.20  # of the papers, by the one number that is right in the most of them

# A number that is one of a few by nature may be found more often: item id -> why it is so.
FEW_BY_NATURE: dict[str, str] = {}


def share_found(answers):
    """The share of the papers in which the best single number is right.

    ``answers`` are pairs of the right number and how far off is right still. The best number lies
    where the most of these ranges overlap: we walk along their ends and count those that are open.
    """
    ends = [(right - off, -1) for right, off in answers] + [
        (right + off, 1) for right, off in answers
    ]
    within = most = 0
    for _, end in sorted(ends):
        within -= end
        most = max(most, within)
    return most / len(answers)


def test_the_best_guess_is_found_by_hand():
    """Ranges 1 to 3, 2 to 4, 3 to 5 and 8 to 10: at 3 three of the four overlap."""
    assert share_found([(2, 1), (3, 1), (4, 1), (9, 1)]) == 0.75
    assert share_found([(1, 0.4), (2, 0.4), (3, 0.4), (4, 0.4)]) == 0.25


@pytest.mark.parametrize("item_id", NUMBERS)
def test_no_single_number_is_right_in_more_than_a_fifth_of_the_papers(item_id, drawn):
    item = items.find(item_id)
    found = share_found(
        [(item.answer(values), item.tolerance(values)) for values in drawn(item_id)]
    )
    if item_id in FEW_BY_NATURE:
        assert found > MOST_FOUND, "it is found no more often than others: take it off the list"
    else:
        assert found <= MOST_FOUND, found


@pytest.mark.parametrize("item_id", NUMBERS)
def test_no_answer_stands_in_the_question(item_id, drawn):
    """Each number of the question, typed into the field as it stands there, is not right."""
    item = items.find(item_id)
    for values in drawn(item_id):
        right, tolerance = item.answer(values), item.tolerance(values)
        for number in re.findall(r"[\d,.]*\d", item.ask(values)):
            copied = float(number.replace(",", ""))
            for typed in (copied, copied / 100) if item.most is not None else (copied,):
                assert abs(typed - right) > tolerance, (values, number)


def copied(**more):
    """An item that is answered by copying: 8 of 8 to 11."""
    return NumberItem(
        id="copied",
        title="Copied",
        points=2,
        section="",
        draw_values=lambda draw: {"given": draw.choose((8, 9, 10, 11))},
        unit="mm",
        quantity="answered_length_mm",
        slips=(Slip("half", "the half is taken", lambda values: values["given"] / 2),),
        absolute_tolerance=0.4,
        **more,
    )


def test_values_that_give_the_answer_away_are_drawn_again():
    item = copied(
        ask=lambda values: f"{values['given']} mm go in, and 8 mm are left. How many went in?",
        answer=lambda values: values["given"],
    )
    with pytest.raises(RuntimeError, match="its answer out of the question"):
        item.values("autumn", "ada", {})
    item = copied(
        ask=lambda _values: "All but 8 mm go in, says the scale. How many are out?",
        answer=lambda values: values["given"],
    )
    assert {item.values("autumn", f"l{who}", {})["given"] for who in range(50)} == {9, 10, 11}
