"""A worksheet's end says what is open and what is in the file, and gives the file itself."""

import io
import json
import zipfile
from pathlib import Path
from typing import Any

import pytest

from cubital.handin.bundle import HANDIN_FILE
from cubital.worksheet.hand_in_form import HandIn, hand_in_form
from cubital.worksheet.sitting import sitting

LINE = "outer_diameter_mm / vein_diameter_mm"
HEAD = "def ratio(outer_diameter_mm, vein_diameter_mm):\n    "


@pytest.fixture
def at(copy_course: Any, desk: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Ann's worksheet, with nothing answered."""
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)  # nbgrader leaves it behind
    return desk(copy_course(tmp_path / "w", ["ann"]), "ann", tmp_path)


def said(at: Any) -> str:
    return " ".join(hand_in_form(sitting(at.folder)).words().split())


def press(form: HandIn, name: str, value: Any = True) -> None:
    form._handle_custom_msg({"name": name, "value": value}, [])


def block(form: HandIn, kind: str) -> dict[str, Any]:
    (found,) = (one for one in form.blocks if one["kind"] == kind)
    return found


def test_an_optional_question_left_open_is_not_missing(at: Any) -> None:
    optional = "Nobody has to answer: 15. Optional: the ratio in one line of Python"
    assert said(at).startswith("15 of 15 questions are not answered: 1. Outer")
    assert optional in said(at)
    at.answer().write_cell(f'{HEAD}raise NotImplementedError("replace this line")')
    assert said(at).startswith(f"✓ All 15 questions are answered. {optional}")
    at.write_cell("")
    assert said(at).startswith(f"✓ All 15 questions are answered. {optional}")


def test_a_line_in_the_box_is_answered_whatever_stands_in_the_page(at: Any) -> None:
    at.answer(line="return outer_diameter_mm × vein_diameter_mm")
    at.store.save("sizing-ratio-code", LINE)
    assert said(at).startswith("✓ All 15 questions are answered. What is in the file")
    assert f"15. Optional: the ratio in one line of Python | {LINE}, which gives" in said(at)


def test_what_was_written_into_the_page_is_told_or_what_is_wrong_with_it(at: Any) -> None:
    at.answer(line=f"return {LINE}")
    title = "Optional: the ratio in one line of Python: what was written into the page"
    answered = "✓ All 15 questions are answered."
    assert said(at).startswith(f"{answered} {title} counts, as it was last saved: {LINE}.")
    at.write_line("return outer_diameter_mm × vein_diameter_mm")
    assert said(at).startswith(f"{answered} {title} does not count. “×” cannot be read here.")


def test_the_file_is_made_given_out_and_shown_with_how_sure_only_if_ticked(at: Any) -> None:
    here = sitting(at.folder)
    here.store.save("sizing-ratio", "34 %", confidence=0.75)
    form = hand_in_form(here)
    assert isinstance(form, HandIn)
    assert (form.file, "fairly sure" in form.words()) == (b"", False)
    press(form, "sure")
    assert "4. Catheter-to-vein ratio | 0.34 (typed “34 %”) | fairly sure" in form.words()
    press(form, "sure", False)
    press(form, "make")
    made = zipfile.ZipFile(io.BytesIO(form.file))
    assert json.loads(made.read(HANDIN_FILE))["learner"] == "ann"
    (row,) = json.loads(made.read("answers.json"))["items"]["sizing-ratio"]
    assert row["answer"]["number"] == 0.34
    assert "confidence" not in row
    assert block(form, "download")["name"].startswith("catheter-sizing_ann_20")
    assert "Give the file to whoever gave you this worksheet" in form.words()
    press(form, "sure")
    press(form, "make")
    (row,) = json.loads(zipfile.ZipFile(io.BytesIO(form.file)).read("answers.json"))["items"][
        "sizing-ratio"
    ]
    assert row["confidence"] == 0.75


def test_what_was_changed_after_the_file_was_made_is_named_also_on_another_day(at: Any) -> None:
    here = sitting(at.folder)
    here.store.save("sizing-ratio", "34 %")
    press(hand_in_form(here), "make")
    assert "with all that is answered now" in said(at)
    here.store.save("sizing-ratio", "35 %")
    assert "Since then you changed: 4. Catheter-to-vein ratio. It is not in that file." in said(at)


def test_broken_answers_are_said_and_nothing_is_made(at: Any) -> None:
    here = sitting(at.folder)
    (at.folder / "answers.json").write_text("{")
    form = hand_in_form(here)
    assert "The saved answers cannot be read" in form.words()
    press(form, "make")
    assert not (at.folder.parent / "handed-in").exists()


def test_a_function_of_ones_own_counts_as_a_question(
    copy_code_course: Any, desk: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    at = desk(copy_code_course(tmp_path / "w", ["ann", "ben"]), "ann", tmp_path)
    assert "16. A function for the ratio" in said(at)
    at.answer(line="return 1")
    assert "All 16 questions are answered. A function for the ratio: what was written" in said(at)
    ben = desk(at.course, "ben", tmp_path).answer(line="raise NotImplementedError()")
    ben.store.save("own-ratio", "return 1")
    assert said(ben).startswith("✓ All 16 questions are answered. What is in the file")
