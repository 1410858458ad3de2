"""Pages beside the course's own: who somebody is, and finishing on a computer that others use."""

from pathlib import Path
from typing import Any

from cubital.handin.files import own_folder, write_json
from cubital.study import folders
from cubital.study.edition import keep_as_given

FINISH = "finish"
WELCOME = "_welcome"  # can be no learner's
_KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
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
    title = {"cell_type": "markdown", "id": "title", "metadata": {}, "source": text}
    cells = [title, _code("imports", imports), _code("form", form)]
    metadata = {"kernelspec": _KERNEL}
    write_json(path, {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5})
    keep_as_given(path, path.parent)
    return path


def _code(cell_id: str, source: str) -> dict[str, Any]:
    return {
        "cell_type": "code",
        "id": cell_id,
        "metadata": {"jupyter": {"source_hidden": True}},
        "execution_count": None,
        "outputs": [],
        "source": source,
    }
