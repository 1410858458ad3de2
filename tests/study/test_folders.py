"""A learner's folder: what is opened is laid out, what is replaced is kept."""

import json
import re
import zipfile
from pathlib import Path

import nbformat
import pytest

from cubital import items
from cubital.handin.answers import AnswerStore
from cubital.handin.released.release import (
    AFTER_MARKING,
    AT_ONCE,
    new_release,
    read_release,
    write_release,
)
from cubital.study import folders

LEARNER = "ada.alder"


@pytest.fixture
def handout(tmp_path):
    """A released worksheet as an educator gives it out."""

    def make(name):
        folder = tmp_path / name
        write_release(folder, new_release(name, "catheter-sizing"))
        notebook = nbformat.reads(folders.cleared_worksheet("catheter-sizing"), as_version=4)
        nbformat.write(notebook, folder / "catheter-sizing.ipynb")
        path = tmp_path / f"{name}.zip"
        with zipfile.ZipFile(path, "w") as archive:
            for file in folder.iterdir():
                archive.write(file, f"catheter-sizing/{file.name}")
        return path

    return make


def lay_out(tmp_path, what, **options):
    return folders.lay_out(tmp_path / "learners", LEARNER, str(what), **options)


def test_a_lesson_brings_its_worksheet_along_for_practice(tmp_path):
    opened = lay_out(tmp_path, "40-catheter-sizing")
    assert (
        opened.notebook.relative_to(opened.folder).as_posix() == "lessons/40-catheter-sizing.ipynb"
    )
    assert opened.companion == opened.folder / "catheter-sizing" / "catheter-sizing.ipynb"
    assert read_release(opened.companion.parent).feedback == AT_ONCE


def test_a_worksheet_to_practise_holds_no_solution(tmp_path):
    text = lay_out(tmp_path, "catheter-sizing").notebook.read_text(encoding="utf-8")
    assert "BEGIN SOLUTION" not in text
    assert "blurred shadow: its width" not in text
    assert "calc.catheter_to_vein_ratio(" not in text


def test_practising_again_asks_with_new_values_and_keeps_the_old_answers(tmp_path):
    first = lay_out(tmp_path, "catheter-sizing").notebook.parent
    release = read_release(first)
    AnswerStore(first, release, LEARNER).save("sizing-french", "4.2 Fr")
    assert lay_out(tmp_path, "catheter-sizing").notebook.parent == first
    assert read_release(first) == release
    again = lay_out(tmp_path, "catheter-sizing", again=True).notebook.parent
    assert read_release(again).name != release.name
    assert not (again / "answers.json").exists()
    (kept,) = (tmp_path / "learners" / LEARNER / "kept").iterdir()
    assert (kept / "answers.json").is_file()


def test_a_released_worksheet_opened_twice_keeps_its_answers(tmp_path, handout):
    spring = handout("spring")
    folder = lay_out(tmp_path, spring).notebook.parent
    release = read_release(folder)
    assert (release.name, release.feedback) == ("spring", AFTER_MARKING)
    AnswerStore(folder, release, LEARNER).save("sizing-french", "4.2 Fr")
    assert lay_out(tmp_path, spring).notebook.parent == folder
    assert AnswerStore(folder, release, LEARNER).read().last("sizing-french")


def test_a_new_release_does_not_mix_with_the_old_one(tmp_path, handout):
    folder = lay_out(tmp_path, handout("spring")).notebook.parent
    spring = read_release(folder)
    AnswerStore(folder, spring, LEARNER).save("sizing-french", "4.2 Fr")
    folder = lay_out(tmp_path, handout("autumn")).notebook.parent
    autumn = read_release(folder)
    assert AnswerStore(folder, autumn, LEARNER).read().items == {}
    (kept,) = (tmp_path / "learners" / LEARNER / "kept").iterdir()
    assert AnswerStore(kept, spring, LEARNER).read().last("sizing-french")


def test_a_practice_does_not_replace_a_released_worksheet_in_hand(tmp_path, handout):
    folder = lay_out(tmp_path, handout("spring")).notebook.parent
    lay_out(tmp_path, "40-catheter-sizing")
    assert read_release(folder).name == "spring"


def test_a_newer_edition_of_a_lesson_replaces_it_and_keeps_the_learners_copy(tmp_path):
    path = lay_out(tmp_path, "40-catheter-sizing").notebook
    notebook = json.loads(path.read_text(encoding="utf-8"))
    notebook["metadata"]["cubital"] = "an earlier edition"
    notebook["cells"].append(nbformat.v4.new_markdown_cell("my own note"))
    path.write_text(json.dumps(notebook), encoding="utf-8")
    again = lay_out(tmp_path, "40-catheter-sizing").notebook
    assert "my own note" not in again.read_text(encoding="utf-8")
    (kept,) = (tmp_path / "learners" / LEARNER / "kept").iterdir()
    assert "my own note" in kept.read_text(encoding="utf-8")


def test_the_same_edition_keeps_the_learners_notes(tmp_path):
    path = lay_out(tmp_path, "40-catheter-sizing").notebook
    notebook = json.loads(path.read_text(encoding="utf-8"))
    notebook["cells"].append(nbformat.v4.new_markdown_cell("my own note"))
    path.write_text(json.dumps(notebook), encoding="utf-8")
    assert "my own note" in lay_out(tmp_path, "40-catheter-sizing").notebook.read_text("utf-8")


def test_a_lesson_brings_the_others_along_so_that_its_links_lead_somewhere(tmp_path):
    opened = lay_out(tmp_path, "00-start-here")
    there = {path.stem for path in (opened.notebook, *opened.others)}
    assert there == set(folders.lesson_names())
    assert {path.parent for path in opened.others} == {opened.notebook.parent}
    assert all(path.is_file() for path in opened.others)


def test_a_worksheet_without_a_lesson_of_its_own_brings_those_that_it_links_to(tmp_path):
    opened = lay_out(tmp_path, "whole-course")
    there = {path.relative_to(opened.folder) for path in (opened.companion, *opened.others)}
    text = opened.notebook.read_text(encoding="utf-8")
    linked = {Path(link) for link in re.findall(r"\]\(\.\./(lessons/[^)]+)\)", text)}
    assert linked == there
    assert opened.companion.name == "80-one-patient.ipynb"
    assert all((opened.folder / path).is_file() for path in there)


def test_a_worksheet_with_a_lesson_brings_that_one(tmp_path):
    opened = lay_out(tmp_path, "catheter-sizing")
    assert (opened.companion.name, opened.others) == ("40-catheter-sizing.ipynb", ())


def test_all_pages_are_laid_out_and_what_is_there_stays(tmp_path, handout):
    """Where a released worksheet lies, no practice takes its place."""
    folder = lay_out(tmp_path, handout("spring")).folder
    pages = folders.lay_out_course(folder)
    names = [*folders.lesson_names(), *folders.worksheet_names()]
    assert set(folders.worksheet_names()) == set(items.WORKSHEETS)
    assert [path.stem for path in pages] == names
    assert read_release(folder / "catheter-sizing").name == "spring"
    others = set(items.WORKSHEETS) - {"catheter-sizing"}
    assert {read_release(folder / name).feedback for name in others} == {AT_ONCE}
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert folders.lay_out_course(folder) == pages
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_two_learners_have_two_folders(tmp_path):
    ada = folders.lay_out(tmp_path, "Ada.Alder", "catheter-sizing")
    bo = folders.lay_out(tmp_path, "bo.birch", "catheter-sizing")
    assert ada.folder == tmp_path / "ada.alder"
    assert bo.folder == tmp_path / "bo.birch"


def test_what_is_not_there_is_answered_with_what_is(tmp_path):
    with pytest.raises(ValueError, match=r"no “50-nothing” to open: name one of 00-start-here"):
        lay_out(tmp_path, "50-nothing")


def test_a_zip_that_is_no_worksheet_is_refused_and_nothing_is_left(tmp_path):
    path = tmp_path / "holiday.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("../../evil.txt", "x")
    with pytest.raises(ValueError, match=r"no release\.json"):
        lay_out(tmp_path, path)
    assert not list(tmp_path.rglob("evil.txt"))
    path.write_text("not a zip")
    with pytest.raises(ValueError, match="is not a released worksheet"):
        lay_out(tmp_path, path)
