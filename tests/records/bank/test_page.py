"""An item's page shows the numbers that it was given, in words as well, and no more."""

import base64
import html
import re

import pytest

from cubital import items
from cubital.handin.released.pictures import Shown
from cubital.records.bank.page import page
from cubital.records.bank.space import Count, Space, Spread
from cubital.records.bank.summary import Drawn

SPACE = Space(
    learners=5,
    unit="Fr",
    outcomes=(Spread("right answer", (2.0, 3.0, 4.0, 5.0, 9.0)),),
    spreads=(Spread("outer_diameter_mm", (0.5, 1.0, 1.5, 2.0, 3.5)),),
    answers=(Count("Option that is right", tuple((f"o{n}", n) for n in range(1, 7))),),
    counts=(Count("Drawn: gauge", tuple((f"{n} G", n) for n in range(14, 21))),),
)


def drawn(**told):
    item = items.find("sizing-french")
    nothing = dict.fromkeys(("note", "question", "answer", "route", "tolerance"), "")
    return Drawn(
        item=item,
        worksheet="catheter-sizing",
        objective=None,
        release="spring",
        learner="ada.alder",
        values=(),
        offered=(),
        mistakes=(),
        **(nothing | told),
    )


def alt(text):
    (words,) = re.findall(r'src="data:image/svg\+xml;base64,[^"]+" alt="([^"]+)"', text)
    return html.unescape(words)


def test_the_picture_is_told_by_its_ends_its_middle_and_at_most_six_of_each_count():
    assert alt(page(drawn(), SPACE)) == (
        "Value space. right answer from 2 to 9, middle 4; "
        "outer_diameter_mm drawn from 0.5 to 3.5; "
        "Option that is right: o1 1, o2 2, o3 3, o4 4, o5 5, o6 6; "
        "Drawn: gauge: 14 G 14, 15 G 15, 16 G 16, 17 G 17, 18 G 18, 19 G 19 .... "
        "The tables below hold these numbers."
    )


def test_a_note_opens_with_a_capital_and_keeps_the_rest():
    text = page(drawn(note="off in this folder: Alder has it"), SPACE)
    assert '<p class="box">Off in this folder: Alder has it</p>' in text


@pytest.mark.parametrize("jpeg", [b"", b"four"])
def test_a_picture_is_shown_with_its_words_only_where_there_is_one(jpeg):
    text = page(drawn(), SPACE, Shown(jpeg, "A fork lies.") if jpeg else None)
    assert text.count("data:image/jpeg") == (1 if jpeg else 0)
    assert ("A fork lies." in text) == bool(jpeg)
    assert base64.b64encode(b"four").decode() in text or not jpeg


def test_what_was_typed_stays_letters():
    text = page(drawn(question="Is <b>1</b> < 2?"), SPACE)
    assert "Is &lt;b&gt;1&lt;/b&gt; &lt; 2?" in text


def test_what_is_left_out_leaves_no_empty_line():
    body = page(drawn(), SPACE).partition("<body>\n")[2]
    assert [line for line in body.splitlines() if not line.strip()] == []
