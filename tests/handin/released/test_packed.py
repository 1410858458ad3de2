"""Papers in a file: what several have in common stands there once, and comes back as it was."""

import json

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from cubital.handin.released.packed import packed, unpacked

LEAVES = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text()
PLAIN = st.recursive(
    LEAVES, lambda one: st.lists(one) | st.dictionaries(st.text(), one), max_leaves=12
)


def there_and_back(papers):
    return unpacked(json.loads(json.dumps(packed(papers))))


@example({"1": [1, 1.0, True, "1", 0.0, -0.0, None, "null", {}, []]})
@given(st.dictionaries(st.text(), PLAIN, max_size=4))
def test_papers_come_back_as_json_would_bring_them(papers):
    """Compared as texts, so that 1, 1.0 and true differ, as do 0.0 and -0.0, and keys' order."""
    assert json.dumps(there_and_back(papers)) == json.dumps(papers)


def test_what_papers_have_in_common_stands_once():
    options = ["A vein that cannot be seen", "A vein that is too small"]
    papers = {
        str(number): {
            "sizing": {"question": "Which vein?", "n": number, "options": options[::turn]}
        }
        for number in range(500)
        for turn in [1 if number % 2 else -1]
    }
    text = json.dumps(packed(papers))
    assert [text.count(words) for words in ("Which vein?", *options, "question")] == [1] * 4
    assert there_and_back(papers) == papers


def test_a_key_that_json_would_change_is_refused():
    with pytest.raises(TypeError, match="no text"):
        packed({"1": {2: "two"}})


GOOD = {"papers": {"1": 1}, "shapes": [None, ["kind"]], "parts": ["number", [1, 0]]}


@pytest.mark.parametrize(
    "change",
    [
        {"papers": {"1": 2}},
        {"papers": {"1": -1}},
        {"papers": {"1": True}},
        {"parts": ["number", [1, 1]]},  # in itself
        {"parts": ["number", [1, -1]]},
        {"parts": ["number", [1, 0, 0]]},
        {"parts": ["number", [1]]},
        {"parts": ["number", [2, 0]]},
        {"parts": ["number", [-1, 0]]},
        {"parts": ["number", {"kind": "number"}]},
        {"parts": ["number", []]},
    ],
)
def test_what_is_not_as_it_is_written_is_refused(change):
    assert unpacked(GOOD) == {"1": {"kind": "number"}}
    with pytest.raises(ValueError, match=r"part|argument"):
        unpacked(GOOD | change)


@pytest.mark.parametrize(("times", "deep"), [(1, 60), (2, 40)])
def test_a_short_file_cannot_hold_a_paper_too_large_to_walk(times, deep):
    """Each part holds the one before it, once or twice: 2 to the 40 values in a short file."""
    parts = ["", *([0, *[place] * times] for place in range(deep))]
    with pytest.raises(ValueError, match="nested too deeply or too large"):
        unpacked({"papers": {"1": deep}, "shapes": [None], "parts": parts})
