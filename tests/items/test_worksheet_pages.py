"""A worksheet says at its top how many questions decide whatever the points, and marks out none."""

import json
import re

import pytest

from cubital import tables
from cubital.items import WORKSHEETS

NUMBERS = {2: "Two", 8: "Eight", 13: "thirteen", 16: "sixteen", 18: "eighteen"}
NUMBERS |= {19: "nineteen", 21: "twenty-one", 28: "twenty-eight", 29: "twenty-nine"}
HEADING = re.compile(r"## \d+\. (.+)\n\n(?:\d points?)(?:, marked by hand)?\.(?: To look up: .*)?")


def sources(worksheet):
    path = tables.course_folder("exercises") / "source" / worksheet / f"{worksheet}.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in cells]


@pytest.mark.parametrize("worksheet", WORKSHEETS)
def test_the_top_says_how_many_questions_must_be_right(worksheet):
    critical = sum(item.critical for item in WORKSHEETS[worksheet])
    many = NUMBERS[len(WORKSHEETS[worksheet])]
    top = sources(worksheet)[0]
    assert top.count(f"\n\n{many.capitalize()} questions, about ") == 1
    if not critical:
        assert "on safety" not in top
        return
    told = (
        f"{NUMBERS[critical]} of these {many} questions are on safety and must all be right to "
        "pass, whatever the points; they look like the others."
    )
    assert top.count(f"\n\n{told}\n\n") == 1


@pytest.mark.parametrize("worksheet", WORKSHEETS)
def test_nothing_else_on_the_page_tells_which_they_are(worksheet):
    page = sources(worksheet)
    told = any(item.critical for item in WORKSHEETS[worksheet])
    said = sum(text.count("must be right") + text.count("must all be right") for text in page)
    assert said == told
    headings = [text for text in page if re.match(r"## \d", text)]
    for heading, item in zip(headings, WORKSHEETS[worksheet], strict=True):
        if not item.optional:
            found = HEADING.fullmatch(heading)
            assert found, heading
            assert found[1] == item.title
