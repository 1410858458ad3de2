"""What is opened first, on the page and in the workbench.

There lessons share a kernel, worksheets never do; on the page nothing is run by the command.
"""

import contextlib

import pytest

from cubital import items
from cubital.cli import main
from cubital.study import folders, lab, practice_pictures
from cubital.study.learner import carrying, people
from cubital.study.page import serving as page_serving
from cubital.study.workbench import runner, running


class NoLab(lab.Lab):
    """Stands in for JupyterLab: it is there until nothing is left to do."""

    there = True

    def __enter__(self):
        NoLab.there = True
        self._meanwhile()
        return self

    def __exit__(self, *_error):
        pass

    def is_running(self):
        return NoLab.there


@pytest.fixture
def opened(monkeypatch, tmp_path):
    """Open something and return each notebook run, with the one whose kernel it shared."""
    ran = []

    def run(_server, notebook, *, beside=None):
        ran.append((notebook.stem, beside and beside.stem))
        return 0

    def nothing_to_do(_seconds):
        NoLab.there = False

    monkeypatch.setattr(lab, "Lab", NoLab)
    monkeypatch.setattr(running, "run_notebook", run)
    monkeypatch.setattr(page_serving, "start_kernel", lambda _server: "ahead-of-all")
    monkeypatch.setattr(page_serving, "warmed", lambda *_given: contextlib.nullcontext())
    monkeypatch.setattr(practice_pictures, "render_practice", lambda _folder: None)
    monkeypatch.setattr(runner.time, "sleep", nothing_to_do)

    def give(*command):
        told = [*command, "--learner", "ada", "--workspace", str(tmp_path), "--no-browser"]
        assert main(told) == 0
        return ran

    return give


def test_a_lesson_comes_first_and_all_lessons_in_one_kernel(opened):
    first, *others = opened("open", "40-catheter-sizing", "--workbench")
    assert first == ("40-catheter-sizing", None)
    assert {beside for _, beside in others} == {"40-catheter-sizing"}
    assert len(others) == 12  # thirteen pages in all


def test_lessons_that_a_worksheet_brings_share_a_kernel_that_is_not_the_worksheets(opened):
    first, second, *others = opened("open", "whole-course", "--workbench")
    assert (first, second) == (("whole-course", None), ("80-one-patient", None))
    assert {beside for _, beside in others} == {"80-one-patient"}


def test_a_session_to_refresh_is_opened_the_same_way(opened):
    (first, alone), (home, none), *others = opened("refresh", "--workbench")
    assert (first, alone, none) == ("refresh", None, None)
    assert {beside for _, beside in others} <= {home}


@pytest.mark.parametrize(
    ("command", "page"),
    [
        (["study"], "lessons/00-start-here.ipynb"),
        (["open", "catheter-sizing"], "catheter-sizing/catheter-sizing.ipynb"),
        (["refresh"], "refresh/refresh.ipynb"),
    ],
    ids=lambda given: given[0] if isinstance(given, list) else "",
)
def test_the_page_is_what_opens_with_its_kernel_started_ahead(opened, capsys, command, page):
    assert opened(*command) == []
    address = next(
        line.split()[-1]
        for line in capsys.readouterr().out.splitlines()
        if line.startswith("Ready at")
    )
    assert f"/lab?course=ada/{page}&kernel=ahead-of-all&token=" in address


def test_whatever_is_opened_every_page_is_there_to_be_opened_from_it(opened, tmp_path):
    opened("open", "catheter-sizing")
    there = {path.stem for path in (tmp_path / "ada").glob("*/*.ipynb")}
    assert there == {*folders.lesson_names(), *items.WORKSHEETS, "finish"}


@pytest.mark.parametrize(
    "command",
    [("open", "nowhere.zip"), ("refresh", "--merge", "nowhere.json"), ("open", "refresh")],
    ids=" ".join,
)
def test_a_learner_is_remembered_once_what_was_asked_for_is_done(
    opened, tmp_path, command, monkeypatch
):
    monkeypatch.chdir(tmp_path)
    opened("open", "whole-course")
    assert main([*command, "--learner", "r2", "--workspace", str(tmp_path)]) == 1
    assert folders.remembered_learner(tmp_path) == "ada"
    assert main(["study", "--learner", "b/o", "--workspace", str(tmp_path)]) == 1
    assert folders.remembered_learner(tmp_path) == "ada"


def test_who_begins_is_asked_for_no_id_but_on_the_page_for_a_name(opened, tmp_path, capsys):
    told = ["--workspace", str(tmp_path), "--no-browser"]
    assert main(["study", *told]) == 0
    assert "/lab?course=_welcome/lessons/00-start-here.ipynb&kernel=" in capsys.readouterr().out
    assert folders.remembered_learner(tmp_path) is None
    assert main(["refresh", *told]) == 1
    assert "begin with “cubital study”, which asks for a name" in capsys.readouterr().err


def test_ones_own_file_from_another_computer_is_taken_over(opened, tmp_path, capsys):
    maria = people.begin(tmp_path / "other", "Maria Schmidt")
    folders.lay_out_lesson(maria.folder, "10-light-and-depth")
    own = tmp_path / "cubital-maria-schmidt.zip"
    own.write_bytes(carrying.packed(maria.folder))
    told = ["study", "--from", str(own), "--workspace", str(tmp_path / "here"), "--no-browser"]
    assert main([*told, "--learner", "ada"]) == 1
    assert not (tmp_path / "here").exists()
    assert main(told) == 0
    assert "course=maria-schmidt/lessons/" in capsys.readouterr().out
    assert people.person(tmp_path / "here" / "maria-schmidt").name == "Maria Schmidt"
