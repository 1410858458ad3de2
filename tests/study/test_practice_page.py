"""A worksheet that is practised says so, and asks nobody to hand in."""

import json
import re

import pytest

from cubital import items
from cubital.study import folders
from cubital.study.practice_page import SAID

LEARNER = "ada.alder"
UNTRUE = re.compile(r"hand(ed|s|ing)? in\b|yours alone|marked by hand|to pass, whatever", re.I)


def texts(path):
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"]


@pytest.mark.parametrize("worksheet", folders.worksheet_names())
def test_a_practice_says_so_at_its_top_and_speaks_of_no_handing_in(tmp_path, worksheet):
    first, *others = texts(folders.lay_out(tmp_path, LEARNER, worksheet).notebook)
    title, caution, said, asked, *_ = first.split("\n\n")
    assert title.startswith("# Worksheet: ")
    assert caution.startswith("> For training.")
    assert said == SAID
    assert re.match(r"[A-Z][a-z-]+ questions, about \d\d minutes", asked)
    assert [words for words in (first, *others) if UNTRUE.search(words)] == []
    asked = any(item.critical for item in items.WORKSHEETS[worksheet])
    assert ("right to pass where it is marked, whatever the points" in first) == asked


def test_what_an_educator_gives_out_is_not_practice():
    given = folders.cleared_worksheet("catheter-sizing")
    assert "This is practice" not in given
    assert "3 points, marked by hand." in given
