"""What the learner's page asks of its kernel, each by one expression; answers are plain data.

The page starts its kernel in the learner's folder; a page that is opened makes its own folder the
working folder, from which worksheets know who answers what.
"""

import os
import secrets
import sys
from pathlib import Path

from IPython.display import JSON

from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.study.edition import restore

_ROOT = Path.cwd()
PROCESS = secrets.token_hex(8)  # another in every kernel that is started


def open_page(page: str, *, known: bool) -> JSON:
    """Make ready for a page's cells: in its folder, as the course gives it, with its pictures.

    Parameters
    ----------
    page
        The notebook, as the page's address names it: seen from the learner's folder.
    known
        Whether the window knows the live parts of the page shown before, and so is told that they
        are closed; after a reload it does not.

    Returns
    -------
    JSON
        ``process``, and whether the notebook was ``restored`` and is to be read again.
    """
    _close_live_parts(known=known)
    notebook = _ROOT / page
    os.chdir(notebook.parent)
    restored = restore(notebook)
    if Path(RELEASE_FILE).is_file():
        from cubital.study.practice_pictures import render_practice  # noqa: PLC0415 - takes long

        render_practice(Path.cwd())
    return JSON({"process": PROCESS, "restored": restored})


def _close_live_parts(*, known: bool) -> None:
    """Close the figures and fields of the page that was shown before, or before a reload."""
    ipywidgets = sys.modules.get("ipywidgets")
    if ipywidgets is None:
        return
    for part in [*ipywidgets.widgets.widget._instances.values()]:
        if not known and part.comm is not None:
            part.comm._closed = True  # so that nothing is sent of it, now or when it is collected
        part.close()
