"""A worksheet says at its top how many questions decide whatever the points, and marks out none."""

import json
import re

import pytest

from cubital import tables
from cubital.items import WORKSHEETS

from ..modules import minutes

NUMBERS = {
    2: "Two",
    8: "Eight",
    11: "eleven",
    12: "twelve",
    14: "fourteen",
    15: "fifteen",
    16: "sixteen",
}
NUMBERS |= {17: "seventeen", 18: "eighteen", 19: "nineteen", 26: "twenty-six", 29: "twenty-nine"}
HEADING = re.compile(r"## \d+\. (.+)\n\n(?:\d points?)(?:, marked by hand)?\.(?: To look up: .*)?")


def sources(worksheet):
    path = tables.course_folder("exercises") / "source" / worksheet / f"{worksheet}.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in cells]


@pytest.mark.parametrize("worksheet", WORKSHEETS)
def test_the_top_says_how_many_questions_must_be_right(worksheet):
    critical = sum(item.critical for item in WORKSHEETS[worksheet])
    many = NUMBERS[sum(not item.optional for item in WORKSHEETS[worksheet])]
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


@pytest.mark.parametrize("worksheet", [name for name in WORKSHEETS if name != "catheter-sizing"])
def test_what_nobody_has_to_answer_stands_last_under_one_heading(worksheet):
    page = sources(worksheet)
    headings = [text for text in page if re.match("## ", text)]
    (at,) = (n for n, text in enumerate(headings) if text.startswith(f"{minutes.OPTIONAL}\n\n"))
    asked = [item for item in WORKSHEETS[worksheet] if not item.optional]
    extra = WORKSHEETS[worksheet][len(asked) :]
    assert extra
    assert all(item.optional for item in extra)
    assert at == len(asked)
    assert "no objective and no pass mark counts it" in headings[at]
    *told, end = headings[at + 1 :]
    assert end.startswith("## At the end\n")
    for number, (heading, item) in enumerate(zip(told, extra, strict=True), len(asked) + 1):
        assert heading.startswith(f"## {number}. {item.title}\n\n2 points, optional.")
    assert page[0].count(" Nobody has to answer the optional ones at the end.\n\n") == 1
