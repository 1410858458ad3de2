"""The bank as a whole: how much there is, and that nothing in it is asked twice."""

import re
from collections import Counter
from itertools import combinations, permutations
from math import isclose

import pytest

from cubital import items
from cubital.handin.released.release import new_release
from cubital.items import NumberItem
from cubital.items.kinds.computed import ComputedItem

RELEASES = {name: new_release("autumn", name) for name in items.WORKSHEETS}
SHEET = {item.id: name for name, listed in items.WORKSHEETS.items() for item in listed}
ITEMS = [item for listed in items.WORKSHEETS.values() for item in listed]
NUMBERS = [item for item in ITEMS if isinstance(item, NumberItem)]

# Slips of units and of how a number is written, not of the matter.
UNIT_WORDS = re.compile(
    r"radians|per-?cent|minute|hours?-|-hours?\b|second|centimetre|millimetre|millilitre|mercury|"
    r"pixels|decimals|thousand|hundred"
)


def drawn(item, learner):
    return RELEASES[SHEET[item.id]].values(item, learner)


def misconceptions(item):
    """Key and words of every wrong answer that an item knows."""
    if isinstance(item, ComputedItem):
        return {(slip.key, slip.misconception) for slip in item.slips}
    found = set()
    if item.kind == "choice":
        for number in range(200):
            options = item.options(drawn(item, f"learner-{number:03d}"))
            found |= {(o.key, o.misconception) for o in options if not o.right}
    elif item.kind == "order":
        found = {(rule.key, rule.misconception) for rule in item.rules}
    elif item.kind == "table":
        for number in range(200):
            for row in item.rows(drawn(item, f"learner-{number:03d}")):
                found |= {(f"{row.key}-{key}", why) for key, why in row.misconceptions.items()}
    return found


@pytest.fixture(scope="module")
def known():
    return {item.id: misconceptions(item) for item in ITEMS}


def test_there_are_a_hundred_items_and_twelve_a_worksheet():
    assert len(ITEMS) >= 100
    assert len(items.WORKSHEETS) == 9
    assert min(len(listed) for listed in items.WORKSHEETS.values()) >= 12


def test_no_two_items_share_an_id_or_a_title():
    for name in ("id", "title"):
        counts = Counter(getattr(item, name).casefold() for item in ITEMS)
        assert max(counts.values()) == 1, counts.most_common(1)


def test_no_two_numbers_ask_the_same_words():
    """Digits apart: what is left of two questions with other values must differ."""
    asked = {item.id: re.sub(r"[\d.,]+", "0", item.ask(drawn(item, "ada"))) for item in NUMBERS}
    assert len(set(asked.values())) == len(asked)


def test_wrong_answers_are_known_in_150_places(known):
    assert sum(map(len, known.values())) >= 150


def test_numbers_and_code_know_40_misconceptions_and_at_most_a_third_are_of_units(known):
    """One that several items share is counted once, by its key."""
    keys = {key for item in ITEMS if item.kind in {"number", "code"} for key, _ in known[item.id]}
    of_units = {key for key in keys if UNIT_WORDS.search(key)}
    assert len(keys) >= 40
    assert {"calculator-in-radians", "per-cent-sign-missing"} <= of_units
    assert len(of_units) <= len(keys) / 3


def test_misconceptions_are_of_many_kinds_by_their_words(known):
    words = {why.casefold() for found in known.values() for _, why in found}
    assert len(words) >= 150
    assert all(why.strip() for why in words)


def test_no_item_gives_two_wrong_answers_one_key(known):
    for item_id, found in known.items():
        keys = {key for key, _ in found}
        worded = Counter(key for key, _ in found)
        # the words of an option may name this learner's values
        assert items.find(item_id).kind != "number" or len(keys) == sum(worded.values()), item_id


# ------------------------------------------------------------- no formula and unknown asked twice

# Pairs that are (a - b) / c both times, and ask for things that have nothing in common.
OTHER_UNKNOWN = {
    ("light-over-noise", "comp-limb-share"),  # how far a band stands out; how much of a limb
}
_CASES = [f"case-{number}" for number in range(12)]


def _made(item, values):
    """The answer, or None where these values are refused."""
    try:
        return float(item.answer(values))
    except (ArithmeticError, KeyError, LookupError, TypeError, ValueError):
        return None


def inputs(item):
    """Names of the drawn values on which the answer depends: of numbers, and of all others."""
    cases = [drawn(item, case) for case in _CASES]
    numeric, other = [], []
    for name in cases[0]:
        moved = (
            (base, base | {name: case[name]})
            for base in cases
            for case in cases
            if case[name] != base[name]
        )
        if any(_made(item, base) != _made(item, changed) for base, changed in moved):
            number = isinstance(cases[0][name], int | float)
            (numeric if number else other).append(name)
    return tuple(numeric), tuple(other)


def same_formula(one, other, needs):
    """Whether one item's answer is the other's, with its values under other names."""
    (mine, my_words), (theirs, their_words) = needs[one.id], needs[other.id]
    if one.unit != other.unit or len(mine) != len(theirs) or my_words or their_words:
        return False
    cases = [drawn(one, case) for case in _CASES]
    base = drawn(other, "base")
    for names in permutations(theirs):
        pairs = [
            (
                _made(one, case),
                _made(other, base | dict(zip(names, (case[n] for n in mine), strict=True))),
            )
            for case in cases
        ]
        tried = [(a, b) for a, b in pairs if b is not None]
        if len(tried) > len(cases) / 2 and all(isclose(a, b, rel_tol=1e-6) for a, b in tried):
            return True
    return False


@pytest.fixture(scope="module")
def needs():
    return {item.id: inputs(item) for item in NUMBERS}


def test_no_two_numbers_of_one_unit_are_one_formula_under_other_names(needs):
    twins = [
        (one.id, other.id)
        for one, other in combinations(NUMBERS, 2)
        if same_formula(one, other, needs) or same_formula(other, one, needs)
    ]
    assert set(twins) == OTHER_UNKNOWN


def test_the_search_for_one_formula_finds_a_copy_with_other_names(needs):
    french = items.find("patient-added-fluid")
    names = {"dose_mg": "drug", "vial_ml": "there", "greatest_mg_per_ml": "allowed"}
    back = {new: old for old, new in names.items()}
    copy = NumberItem(
        id="copy",
        title="A copy",
        points=2,
        section="",
        draw_values=lambda draw: {names[k]: v for k, v in french.draw_values(draw).items()},
        ask=lambda _v: "",
        unit="mL",
        quantity=french.quantity,
        answer=lambda v: french.answer({back[k]: n for k, n in v.items()}),
    )
    SHEET["copy"] = "one-patient"
    try:
        assert same_formula(french, copy, needs | {"copy": inputs(copy)})
    finally:
        del SHEET["copy"]


def test_every_answer_depends_on_what_is_drawn(needs):
    assert all(numeric or other for numeric, other in needs.values())


def test_the_last_worksheet_joins_more_than_one_value_in_every_number(needs):
    chains = [item for item in items.WORKSHEETS["whole-course"] if isinstance(item, NumberItem)]
    assert len(chains) >= 8
    assert all(sum(map(len, needs[item.id])) >= 2 for item in chains)
    assert all(item.route_to(drawn(item, "ada")).count("=") >= 2 for item in chains)
