"""The page of reading levels: syllables, sentences and grades against counts from outside."""

import importlib
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
# As dictionaries divide them.
SYLLABLES = {
    "vein": 1,
    "gauge": 1,
    "needed": 2,
    "pulled": 1,
    "needle": 2,
    "saline": 2,
    "device": 2,
    "fluid": 2,
    "being": 2,
    "quarter": 2,
    "tourniquet": 3,
    "catheter": 3,
    "patient": 2,
    "area": 3,
    "radius": 3,
    "diameter": 4,
    "infiltration": 4,
    "complication": 4,
    "antiseptic": 4,
    "noradrenaline": 5,
    "extravasation": 5,
}


@pytest.fixture(scope="module")
def level():
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(CHECKOUT / ".ci")
        yield importlib.import_module("reading_level")


def test_syllables_are_near_what_dictionaries_count(level):
    found = {word: level.syllables(word) for word in SYLLABLES}
    wrong = {word for word, count in found.items() if count != SYLLABLES[word]}
    assert len(wrong) <= 2, wrong  # a rule without a dictionary
    assert sum(found.values()) == pytest.approx(sum(SYLLABLES.values()), rel=0.03)


def test_a_published_example_has_its_grade(level):
    """13 words and 24 syllables: 11.3, an example that encyclopaedias give (from memory)."""
    words = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
    assert level.grade([words]) == pytest.approx(11.3, abs=0.05)


def test_sentences_are_those_of_the_prose(level):
    text = """# A heading of the page that is long enough to count

The first sentence of it has **eight** words. "The second one ends in its own quotation marks."

- A point of a list, with a [link to a page](70-readiness.ipynb) in it [who-2010].

| a table | is left out of the count, however long it may be |
"""
    assert level.sentences(text) == [
        "A heading of the page that is long enough to count",
        "The first sentence of it has eight words.",
        '"The second one ends in its own quotation marks."',
        "A point of a list, with a link to a page in it.",
    ]


def test_the_page_is_what_the_pages_make(level):
    is_current = level.PAGE.read_text(encoding="utf-8") == level.page()
    assert is_current, f"{level.PAGE.name} is stale: run {level.COMMAND}"
