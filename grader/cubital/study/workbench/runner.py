"""Running the pages while the server is there: the opened one, those ahead, those asked for."""

import time
from collections.abc import Callable, Iterable
from pathlib import Path

import nbformat

from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.study import folders, practice_pictures
from cubital.study.lab import Lab
from cubital.study.workbench import running
from cubital.study.workbench.pages import Pages

_LOOK_SECONDS = 0.1


def run_if_new(server: Lab, notebook: Path) -> None:
    """Have a notebook run by the command that serves, if it was not yet."""
    cells = nbformat.read(notebook, as_version=4).cells
    if not any(cell.get("execution_count") for cell in cells):
        Pages(server.pages_folder, server.root).add(notebook)


class Runner:
    """Runs notebooks of a learner's folder, all lessons in one kernel, each worksheet in its own.

    Made before the server starts, it keeps all ``notebooks`` back until they have run. ``say`` gets
    a line for each page whose cells stop with an error or that cannot be run.
    """

    def __init__(
        self, server: Lab, notebooks: Iterable[Path], say: Callable[[str], None] = print
    ) -> None:
        self._server, self._say = server, say
        self._pages = Pages(server.pages_folder, server.root)
        notebooks = [*notebooks]
        self._pages.begin(notebooks)
        worksheets = (path.parent for path in notebooks if not folders.is_lesson(path))
        self._practised = [*dict.fromkeys(worksheets)]
        self._first_lesson: Path | None = None

    def run(self, notebook: Path) -> None:
        """Run a notebook with what it needs, and give its page out."""
        if (notebook.parent / RELEASE_FILE).is_file():
            practice_pictures.render_practice(notebook.parent)
        is_lesson = folders.is_lesson(notebook)
        beside = self._first_lesson if is_lesson else None
        failed = running.run_notebook(self._server, notebook, beside=beside)
        if is_lesson and beside is None:
            self._first_lesson = notebook
        if failed:
            self._say(f"{failed} cells of {notebook.name} stopped with an error; the page says why")
        self._pages.ran(notebook)

    def serve(self, ahead: Iterable[Path]) -> None:
        """Run the pages ahead of their being opened, those that somebody opens first.

        Lasts until the server ends. A page that cannot be run stops no other.
        """
        coming = [*ahead]
        practised = [*self._practised]
        while self._server.is_running():
            notebook = self._pages.wanted() or next(iter(coming), None)
            if notebook in coming:
                coming.remove(notebook)
            if notebook is not None:
                if self._pages.is_to_run(notebook):
                    self._try(notebook)
            elif practised:
                self._prepare(practised.pop(0))
            else:
                time.sleep(_LOOK_SECONDS)

    def _try(self, notebook: Path) -> None:
        try:
            self.run(notebook)
        except Exception as error:
            reason = str(error) or type(error).__name__
            self._pages.fail(notebook, reason)
            if self._server.is_running():
                self._say(f"{notebook.name} could not be run: {reason}")

    def _prepare(self, folder: Path) -> None:
        """Render a worksheet's pictures before it is opened."""
        if (folder / RELEASE_FILE).is_file():
            practice_pictures.render_aside(folder, self._server.is_running)
