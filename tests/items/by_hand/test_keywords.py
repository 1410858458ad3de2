"""Whoever looks for three words in the options, and knows nothing, does not pass the critical ones.

The rule: of the options shown, take one that says stop, feel or call; among several, any.
"""

import re

import pytest

from cubital import items
from cubital.items.kinds.choice import ChoiceItem

WORDS = re.compile(r"\b(?:stop|feel|call)", re.IGNORECASE)
CRITICAL = [
    item
    for listed in items.WORKSHEETS.values()
    for item in listed
    if item.critical and isinstance(item, ChoiceItem)
]
PAPERS = 100


def by_the_rule(item, values):
    """The chance that the rule takes the right option."""
    options = item.options(values)
    taken = [option for option in options if WORDS.search(option.text)] or list(options)
    return sum(not option.misconception for option in taken) / len(taken)


def mean(item, drawn):
    papers = drawn(item.id)[:PAPERS]
    return sum(by_the_rule(item, values) for values in papers) / len(papers)


@pytest.mark.parametrize("item", CRITICAL, ids=lambda item: item.id)
def test_three_words_do_not_find_the_right_option(item, drawn):
    assert mean(item, drawn) <= 2 / 3


def test_three_words_find_few_of_all_critical_ones(drawn):
    """By chance it is one in four; a bare majority would be a bank that is guessed."""
    assert len(CRITICAL) == 20
    assert sum(mean(item, drawn) for item in CRITICAL) / len(CRITICAL) <= 0.35
