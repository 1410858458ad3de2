"""What is opened first, and which notebooks share a kernel: lessons do, worksheets never."""

import contextlib

import pytest

from cubital.cli import main
from cubital.study import lab, running


class NoLab:
    """Stands in for JupyterLab: it is there, and ends at once."""

    def __init__(self, *_given, **_options):
        pass

    def __enter__(self):
        return self

    def __exit__(self, *_error):
        pass

    def url(self, notebook):
        return f"http://127.0.0.1/{notebook.name}"

    def wait(self):
        pass


@pytest.fixture
def opened(monkeypatch, tmp_path):
    """Open something and return each notebook run, with the one whose kernel it shared."""
    ran = []

    def run(_server, notebook, *, beside=None):
        ran.append((notebook.stem, beside and beside.stem))
        return 0

    monkeypatch.setattr(lab, "Lab", NoLab)
    monkeypatch.setattr(running, "run_notebook", run)
    monkeypatch.setattr(running, "held", lambda _notebook: contextlib.nullcontext())

    def give(*command):
        told = [*command, "--learner", "ada", "--workspace", str(tmp_path), "--no-browser"]
        assert main(told) == 0
        return ran

    return give


def test_a_lesson_comes_first_its_worksheet_by_itself_and_all_lessons_in_one_kernel(opened):
    first, second, *others = opened("open", "40-catheter-sizing")
    assert (first, second) == (("40-catheter-sizing", None), ("catheter-sizing", None))
    assert {beside for _, beside in others} == {"40-catheter-sizing"}
    assert len(others) == 9  # ten pages in all


def test_lessons_that_a_worksheet_brings_share_a_kernel_that_is_not_the_worksheets(opened):
    first, second, *others = opened("open", "whole-course")
    assert (first, second) == (("whole-course", None), ("80-one-patient", None))
    assert {beside for _, beside in others} == {"80-one-patient"}


def test_a_session_to_refresh_is_opened_the_same_way(opened):
    (first, alone), (home, none), *others = opened("refresh")
    assert (first, alone, none) == ("refresh", None, None)
    assert {beside for _, beside in others} <= {home}
