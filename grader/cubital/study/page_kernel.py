"""What the learner's page asks of its kernel, each by one expression; answers are plain data.

The page starts its kernel at the top, the folder of all who learn here or of one of them; a page
that is opened makes its own folder the working folder, from which worksheets know who answers what.
"""

import os
import secrets
import sys
from pathlib import Path

from IPython.display import JSON

from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.study.edition import restore
from cubital.study.learner.pages import finish_path, welcome_path
from cubital.study.learner.people import person
from cubital.study.learner.predicting import keep_prediction, predicted_on
from cubital.study.learner.reviewed import notices
from cubital.study.learner.standing import note_page

_ROOT = Path.cwd()
PROCESS = secrets.token_hex(8)  # another in every kernel that is started


def open_page(page: str, *, known: bool) -> JSON:
    """Make ready for a page's cells: in its folder, as the course gives it, with its pictures.

    Parameters
    ----------
    page
        The notebook, as the page's address names it: seen from the top.
    known
        Whether the window knows the live parts of the page shown before, and so is told that they
        are closed; after a reload it does not.

    Returns
    -------
    JSON
        ``process``; whether the notebook was ``restored`` and is to be read again; ``who`` learns
        here, with the pages to say that it is somebody else and to finish, where there are such;
        what was ``predicted`` on the page, by the cell's id; and what stands at its top of who has
        ``reviewed`` it.
    """
    _close_live_parts(known=known)
    notebook = _ROOT / page
    os.chdir(notebook.parent)
    restored = restore(notebook)
    note_page(notebook)
    if Path(RELEASE_FILE).is_file():
        from cubital.study.practice_pictures import render_practice  # noqa: PLC0415 - takes long

        render_practice(Path.cwd())
    return JSON(
        {
            "process": PROCESS,
            "restored": restored,
            "who": _who(notebook),
            "predicted": predicted_on(notebook),
            "reviewed": notices(notebook),
        }
    )


def predict(page: str, cell: str, words: str) -> JSON:
    """Keep what a learner said at a prediction of a page; return what is ``kept``.

    Raises
    ------
    ValueError
        The page has no such prediction, or the words are more than anybody says there.
    OSError
        It could not be written.
    """
    return JSON({"kept": keep_prediction(_ROOT / page, cell, words)})


def process() -> JSON:
    """Tell which process this is: to be asked whether it is still the one that drew the page."""
    return JSON({"process": PROCESS})


def _who(notebook: Path) -> dict[str, str]:
    """Return the learner's name, and the pages to change or to finish, seen from the top."""
    folder = notebook.resolve().parents[1]
    welcome = welcome_path(folder.parent)
    if folder in welcome.parents or not welcome.is_file():
        return {}
    finish = finish_path(folder)
    pages = {"not_you": welcome, **({"finish": finish} if finish.is_file() else {})}
    seen = {key: path.relative_to(_ROOT.resolve()).as_posix() for key, path in pages.items()}
    return {"name": person(folder).name, **seen}


def _close_live_parts(*, known: bool) -> None:
    """Close the figures and fields of the page that was shown before, or before a reload."""
    ipywidgets = sys.modules.get("ipywidgets")
    if ipywidgets is None:
        return
    for part in [*ipywidgets.widgets.widget._instances.values()]:
        if not known and part.comm is not None:
            part.comm._closed = True  # so that nothing is sent of it, now or when it is collected
        part.close()
