"""The last lines of a worksheet say what is open, and which line of Python would be handed in."""

import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from cubital.worksheet import handing_in
from cubital.worksheet.sitting import sitting

LINE = "outer_diameter_mm / vein_diameter_mm"
HEAD = "def ratio(outer_diameter_mm, vein_diameter_mm):\n    "


@pytest.fixture
def at(copy_course: Any, desk: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Ann's worksheet, with nothing answered."""
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)  # nbgrader leaves it behind
    return desk(copy_course(tmp_path / "w", ["ann"]), "ann", tmp_path)


def said(at: Any) -> str:
    text = re.sub(r"<[^>]*>", " ", handing_in._overview(sitting(at.folder)))
    return " ".join(unescape(text).split())


def test_an_optional_question_left_open_is_not_missing(at: Any) -> None:
    optional = "Nobody has to answer: 12 (Optional: the ratio in one line of Python)."
    assert said(at).startswith("12 of 12 questions are not answered: 1 (Outer")
    assert optional in said(at)
    at.answer().write_cell(f'{HEAD}raise NotImplementedError("replace this line")')
    assert said(at).startswith(f"All 12 questions are answered. {optional}")
    at.write_cell("")
    assert said(at).startswith(f"All 12 questions are answered. {optional}")


def test_a_line_in_the_box_is_answered_whatever_stands_in_the_page(at: Any) -> None:
    at.answer(line="return outer_diameter_mm × vein_diameter_mm")
    at.store.save("sizing-ratio-code", LINE)
    assert said(at) == "All 12 questions are answered."


def test_what_was_written_into_the_page_is_told_or_what_is_wrong_with_it(at: Any) -> None:
    at.answer(line=f"return {LINE}")
    title = "Optional: the ratio in one line of Python: what was written into the page"
    answered = "All 12 questions are answered."
    assert said(at) == f"{answered} {title} counts, as it was last saved: {LINE} ."
    at.write_line("return outer_diameter_mm × vein_diameter_mm")
    assert said(at).startswith(f"{answered} {title} does not count. “×” cannot be read here.")


def test_a_function_of_ones_own_counts_as_a_question(
    copy_code_course: Any, desk: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    at = desk(copy_code_course(tmp_path / "w", ["ann", "ben"]), "ann", tmp_path)
    assert "13 (A function for the ratio)" in said(at)
    at.answer(line="return 1")
    assert "All 13 questions are answered. A function for the ratio: what was written" in said(at)
    ben = desk(at.course, "ben", tmp_path).answer(line="raise NotImplementedError()")
    ben.store.save("own-ratio", "return 1")
    assert said(ben) == "All 13 questions are answered."
