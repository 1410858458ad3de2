"""Pages beside the course's own: who somebody is, and finishing on a computer that others use."""

from pathlib import Path

from cubital.handin.files import own_folder
from cubital.study import folders
from cubital.study.edition import keep_as_given
from cubital.study.notebooks import code_cell, text_cell, write_notebook

FINISH = "finish"
WELCOME = "_welcome"  # can be no learner's
_WELCOME = """\
# A light shows where veins run. When can you trust it?

Eight lessons, each with a question from the bedside. You predict, you try, you answer with your \
own numbers."""
_FINISH = """\
# Finish here

On a computer that others use: take what is yours with you, and leave nothing behind."""


def lay_out_welcome(workspace: Path) -> Path:
    """Lay out the page that asks who somebody is, where a learner's first page would be."""
    own_folder(workspace / WELCOME)
    imports = "from cubital.study.learner.welcome import Welcome"
    return _page(welcome_path(workspace), _WELCOME, imports, "Welcome()")


def welcome_path(workspace: Path) -> Path:
    """Return where the page that asks who somebody is lies."""
    return workspace / WELCOME / folders.LESSONS / f"{folders.lesson_names()[0]}.ipynb"


def finish_path(folder: Path) -> Path:
    """Return where the page to finish on lies in a learner's folder."""
    return folder / FINISH / f"{FINISH}.ipynb"


def lay_out_finish(folder: Path) -> Path:
    """Lay out the page to finish on in a learner's folder."""
    path = finish_path(folder)
    return _page(path, _FINISH, "from cubital.study.learner.finishing import Finish", "Finish()")


def lay_out_all(folder: Path) -> tuple[Path, ...]:
    """Lay out all that a learner can reach from any page."""
    lay_out_welcome(folder.parent)
    return (*folders.lay_out_course(folder), lay_out_finish(folder))


def _page(path: Path, text: str, imports: str, form: str) -> Path:
    cells = [text_cell("title", text), code_cell("imports", imports), code_cell("form", form)]
    write_notebook(path, cells)
    keep_as_given(path, path.parent)
    return path
