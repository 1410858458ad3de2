"""Which page is run when: the opened one, then the lessons, and worksheets that somebody opens."""

import nbformat
import pytest

from cubital import items
from cubital.study import folders, practice_pictures, ways
from cubital.study.lab import Lab
from cubital.study.workbench import runner, running
from cubital.study.workbench.pages import Pages

LEARNER = "ada.alder"


class Play:
    """A learner's course without a server: what is run, and what happens after each run."""

    def __init__(self, tmp_path, monkeypatch, first="00-start-here"):
        self.opened = folders.lay_out(tmp_path, LEARNER, first)
        self.lab = Lab(self.opened.folder, tmp_path / ".lab", port=1, way=ways.WORKBENCH)
        self.pages = Pages(self.lab.pages_folder, self.lab.root)
        self.ran, self.rendered, self.said, self.then = [], [], [], {}
        self.running = True
        monkeypatch.setattr(self.lab, "is_running", lambda: self.running)
        monkeypatch.setattr(running, "run_notebook", self._run)
        monkeypatch.setattr(
            practice_pictures, "render_practice", lambda f: self.rendered.append(f.name)
        )
        monkeypatch.setattr(runner.time, "sleep", self._idle)
        self.runner = runner.Runner(
            self.lab, folders.lay_out_course(self.opened.folder), self.said.append
        )

    def page(self, name):
        (path,) = self.opened.folder.glob(f"*/{name}.ipynb")
        return path

    def _run(self, _lab, notebook, *, beside=None):
        assert self.pages.is_to_run(notebook)
        self.ran.append((notebook.stem, beside and beside.stem))
        then = self.then.pop(notebook.stem, None)
        return then() or 0 if then else 0

    def _render(self, folder):
        self.rendered.append(folder.name)

    def _idle(self, _seconds):
        """Nothing is to do: that is the moment of the next thing to happen, or the end."""
        then = self.then.pop("idle", None)
        self.running = then is not None
        if then:
            then()

    def play(self):
        self.runner.run(self.opened.notebook)
        self.runner.serve(self.opened.others)
        return self.ran


@pytest.fixture
def play(tmp_path, monkeypatch):
    return Play(tmp_path, monkeypatch)


LESSONS = folders.lesson_names()


def test_lessons_run_in_one_kernel_and_no_worksheet_does_before_it_is_opened(play):
    first, *others = LESSONS
    assert play.play() == [(first, None), *((name, first) for name in others)]
    assert all(not play.pages.is_to_run(play.page(name)) for name in LESSONS)
    assert all(play.pages.is_to_run(play.page(name)) for name in items.WORKSHEETS)


def test_what_somebody_opens_is_run_next_and_a_worksheet_in_a_kernel_of_its_own(play):
    def open_two():
        play.pages.want(play.page("catheter-sizing"))
        play.pages.want(play.page("80-one-patient"))

    play.then["20-focal-geometry"] = open_two
    names = play.play()
    after = names[names.index(("20-focal-geometry", LESSONS[0])) + 1 :]
    assert after[:2] == [("catheter-sizing", None), ("80-one-patient", LESSONS[0])]
    assert len(names) == len(set(names)) == len(LESSONS) + 1


def test_a_worksheet_opened_after_all_has_run_is_run_then(play):
    play.then["idle"] = lambda: play.pages.want(play.page("whole-course"))
    assert play.play()[-1] == ("whole-course", None)
    assert not play.pages.is_to_run(play.page("whole-course"))


def test_pictures_are_rendered_when_nothing_else_is_to_do(play):
    play.play()
    assert play.rendered == folders.worksheet_names()


def test_a_run_that_fails_is_told_and_stops_no_other(play):
    def die():
        raise RuntimeError("Kernel died before replying")

    play.then["10-light-and-depth"] = die
    play.play()
    broken = play.page("10-light-and-depth")
    assert play.pages.is_to_run(broken)
    assert "Kernel died" in play.pages.failure(broken)
    assert play.said == ["10-light-and-depth.ipynb could not be run: Kernel died before replying"]
    assert [name for name, _ in play.ran] == LESSONS


def test_cells_that_stop_are_told_and_the_page_is_given_out_all_the_same(play):
    play.then["20-focal-geometry"] = lambda: 2
    play.play()
    assert play.said == [
        "2 cells of 20-focal-geometry.ipynb stopped with an error; the page says why"
    ]
    assert not play.pages.is_to_run(play.page("20-focal-geometry"))


def test_a_page_that_another_command_replaced_is_run_again_and_one_that_ran_is_not(play):
    ran, fresh = play.page("10-light-and-depth"), play.page("catheter-sizing")
    notebook = nbformat.read(ran, as_version=4)
    notebook.cells[1].execution_count = 1
    nbformat.write(notebook, ran)
    for path in (ran, fresh):
        play.pages.ran(path)
        runner.run_if_new(play.lab, path)
    assert not play.pages.is_to_run(ran)
    assert play.pages.is_to_run(fresh)
