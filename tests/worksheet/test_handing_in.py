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


def test_the_line_that_would_be_handed_in_is_told_or_what_is_wrong_with_it(at: Any) -> None:
    at.answer(line=f"return {LINE}")
    assert said(at).startswith("All 12 questions are answered. Your line of Python, as this page")
    assert f"last saved: {LINE} . If you changed the line" in said(at)
    at.write_line("return outer_diameter_mm × vein_diameter_mm")
    assert "Your line of Python does not count yet. “×” cannot be read here." in said(at)


def test_a_function_of_ones_own_counts_as_a_question(
    copy_code_course: Any, desk: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    at = desk(copy_code_course(tmp_path / "w", ["ann"]), "ann", tmp_path)
    assert "13 (A function for the ratio)" in said(at)
    at.answer(line="return 1")
    assert said(at).startswith("All 13 questions are answered. Your line of Python, as this page")
