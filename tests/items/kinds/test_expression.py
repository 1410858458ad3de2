"""A line is judged by what it gives on the learner's own inputs and on hidden ones."""

import pytest

from cubital import items
from cubital.handin.marks import mark_cell
from cubital.handin.released.release import new_release
from cubital.handin.results import as_shown

ITEM = items.find("sizing-ratio-code")
RELEASE = new_release("autumn", "catheter-sizing")
QUESTION = RELEASE.question(ITEM, "ada.alder", "a secret")
OUTER, VEIN = QUESTION.values["outer_diameter_mm"], QUESTION.values["vein_diameter_mm"]

# Written here, and not taken from the item: what somebody may write, and what it must be told as.
LINES = {
    "outer_diameter_mm / vein_diameter_mm": ("right", None),
    "(outer_diameter_mm) * (1 / vein_diameter_mm)": ("right", None),
    "outer_diameter_mm * vein_diameter_mm ** -1": ("right", None),
    "sqrt(outer_diameter_mm**2 / vein_diameter_mm**2)": ("right", None),
    "(outer_diameter_mm / 2) / (vein_diameter_mm / 2)": ("right", None),
    "round(outer_diameter_mm / vein_diameter_mm, 6)": ("right", None),
    "vein_diameter_mm / outer_diameter_mm": ("slip", "ratio-upside-down"),
    "pi * outer_diameter_mm**2 / (pi * vein_diameter_mm**2)": ("slip", "area-for-diameter"),
    "0.5 * outer_diameter_mm / vein_diameter_mm": ("slip", "radius-for-diameter"),
    "outer_diameter_mm / vein_diameter_mm * 100": ("slip", "percent-for-ratio"),
    "outer_diameter_mm + vein_diameter_mm": ("wrong", None),
    f"{OUTER / VEIN}": ("wrong", None),
    "1 / 0": ("wrong", None),
    "vein_diameter_mm / (vein_diameter_mm - vein_diameter_mm)": ("wrong", None),
    "sqrt(outer_diameter_mm - vein_diameter_mm)": ("wrong", None),
    "1e300 ** vein_diameter_mm": ("wrong", None),
    "outer / vein": ("refused", None),
    "open('x', 'w')": ("refused", None),
    "": ("refused", None),
}


def judged(line):
    return QUESTION.key.judge(QUESTION.form, {"expression": line})


@pytest.mark.parametrize("line", LINES)
def test_a_line_is_judged_on_all_inputs(line):
    found = judged(line)
    assert (found.outcome, found.slip) == LINES[line]
    assert found.points == (2 if found.outcome == "right" else 0)


def test_a_line_for_ones_own_values_alone_is_told_so():
    assert judged(f"{OUTER / VEIN}").message.startswith("Right on your own values only")


def test_where_a_line_gives_no_number_is_told():
    assert judged("1 / 0").message == "The line divides by zero. It does so on your own values."
    root = f"({dict(QUESTION.key.cases[1])['vein_diameter_mm']} - vein_diameter_mm)"
    assert judged(f"outer_diameter_mm / {root}").message == (
        "The line divides by zero. It does so on other values."
    )


@pytest.mark.parametrize("answer", [{}, {"expression": None}, {"expression": 3}, {"line": "1"}])
def test_what_is_no_line_is_refused(answer):
    found = QUESTION.key.judge(QUESTION.form, answer)
    assert (found.outcome, found.points) == ("refused", 0)


def test_nothing_is_blank():
    assert QUESTION.key.judge(QUESTION.form, None).outcome == "blank"


def test_a_line_is_said_with_what_it_gives():
    form = QUESTION.form
    line = "outer_diameter_mm / vein_diameter_mm"
    assert form.in_words({"expression": f"({line}\n)"}) == (
        f"({line} ), which gives {OUTER / VEIN:.4g} on your values"
    )
    assert form.in_words({"expression": "1/0"}) == "1/0, which gives no number on your values"


HEAD = "def ratio(outer_diameter_mm, vein_diameter_mm):\n    "


@pytest.mark.parametrize(
    ("cell", "outcome", "words"),
    [
        (HEAD + "return outer_diameter_mm / vein_diameter_mm", "right", ""),
        (HEAD + 'raise NotImplementedError("replace this line")', "blank", "not written yet"),
        ("", "blank", "not written yet"),
        (HEAD + "return outer_diameter_mm /", "refused", "is not Python"),
        ("def ratio(a, b):\n    return a / b", "refused", "first line of the function was changed"),
        (HEAD + "return 1 / 0", "wrong", "divides by zero"),
    ],
)
def test_a_cell_is_marked_by_its_text(cell, outcome, words):
    found = mark_cell(QUESTION, cell)
    assert (found.outcome, found.optional) == (outcome, True)
    assert words in found.message
    assert bool(found.action) == (outcome == "refused")
    told = as_shown(QUESTION, found)["text/plain"]
    assert "Mark: 2 of 2, optional" in told or "Mark: 0 of 2" in told
    assert ("Your answer: no line written" in told) == (outcome == "blank")
    assert ("Read again" in told) == (outcome == "wrong")
