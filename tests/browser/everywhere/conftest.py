"""Every page of the course: a learner's, practised and from an educator, and what is given back."""

import functools
from collections.abc import Callable
from pathlib import Path

import pytest

from cubital.marking.cohort import course as cohorts
from cubital.marking.cohort import releasing
from cubital.study import folders, lab, refreshing
from cubital.study.learner import pages
from cubital.tables import course

from ..conftest import show_readings

PRACTISING, ON_ROSTER = "ada.alder", "bea.birch"
PRACTISED = [f"practice/{name}" for name in folders.worksheet_names()]
RELEASED = [f"released/{name}" for name in folders.worksheet_names()]
LESSONS = [f"lesson/{name}" for name in folders.lesson_names()]
ASKING = [f"asking/{row.name}" for row in course.lessons()]  # before anything was predicted
PAGES = [*LESSONS, *ASKING, *PRACTISED, *RELEASED, "refresh", "finish", "welcome"]


class WholeCourse:
    """A learner's whole course in one workspace, and what an educator gave out, page by page."""

    def __init__(self, folder: Path) -> None:
        self.workspace = folder / "learners"
        self.own = folders.learner_folder(self.workspace, PRACTISING)
        self.rostered = folders.learner_folder(self.workspace, ON_ROSTER)
        for one in (self.own, self.rostered):
            pages.lay_out_all(one)
        show_readings(self.own)
        one = cohorts.Learner(ON_ROSTER, "Bea", "Birch")
        self.cohort = cohorts.create(folder / "cohort", [one])

    @functools.cache  # noqa: B019 - there is one for all tests
    def path(self, page: str) -> Path:
        """Return where a page lies, after making it if need be."""
        kind, _, name = page.partition("/")
        if kind in {"lesson", "asking"}:
            who = self.own if kind == "lesson" else self.rostered
            return who / folders.LESSONS / f"{name}.ipynb"
        if kind == "practice":
            return self.own / name / f"{name}.ipynb"
        if kind == "released":
            handout = releasing.release(self.cohort, name, "spring")
            return folders.open_released(self.rostered, handout)
        if kind == "refresh":
            return refreshing.lay_out_refresh(self.workspace, PRACTISING).notebook
        return (
            pages.finish_path(self.own) if kind == "finish" else pages.welcome_path(self.workspace)
        )


@pytest.fixture(scope="session")
def address(tmp_path_factory) -> Callable[[str], str]:
    """Return the address of a page by its name in ``PAGES``."""
    folder = tmp_path_factory.mktemp("everywhere")
    whole = WholeCourse(folder)
    with lab.Lab(whole.workspace, folder / "lab") as server:
        yield lambda page: server.url(whole.path(page))
