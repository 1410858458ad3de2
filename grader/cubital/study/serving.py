"""Running the pages while the server is there: the opened one, those ahead, those asked for."""

import contextlib
import signal
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import NoReturn

import nbformat
from filelock import FileLock, Timeout

from cubital.handin.files import own_folder
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.study import folders, running
from cubital.study.lab import Lab
from cubital.study.pages import Pages

_LOOK_SECONDS = 0.1


@contextlib.contextmanager
def ended_by_signals() -> Iterator[None]:
    """Let a request to end, or a closed terminal, end the command as Ctrl + C does.

    So the server ends with it. In a thread nothing is changed: only the main one gets signals.
    """
    known = [getattr(signal, name, None) for name in ("SIGTERM", "SIGHUP")]
    here = threading.current_thread() is threading.main_thread()
    signals = [number for number in known if number is not None] if here else []

    def end(_number: int, _frame: object) -> NoReturn:
        for number in signals:
            signal.signal(number, signal.SIG_IGN)
        raise KeyboardInterrupt

    before = {number: signal.signal(number, end) for number in signals}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextlib.contextmanager
def only_one(state: Path) -> Iterator[bool]:
    """Tell whether this is the only command that serves from a folder; others wait for nothing."""
    own_folder(state.parent)
    own_folder(state)
    try:
        with FileLock(state / "serving.lock", timeout=0):
            yield True
    except Timeout:
        yield False


def open_in_running(server: Lab, notebook: Path) -> str:
    """Return a notebook's address in the server that runs already; one not yet run will be."""
    server.join()
    cells = nbformat.read(notebook, as_version=4).cells
    if not any(cell.get("execution_count") for cell in cells):
        Pages(server.pages_folder, server.root).add(notebook)
    return server.url(notebook)


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
        self._pages.begin(notebooks)
        self._first_lesson: Path | None = None

    def run(self, notebook: Path) -> None:
        """Run a notebook with what it needs, and give its page out."""
        if (notebook.parent / RELEASE_FILE).is_file():
            folders.render_practice(notebook.parent)
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
        practised = [self._pages.root / name for name in folders.worksheet_names()]
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
        """Render a worksheet's pictures before it is opened; what is wrong is said when it is."""
        if (folder / RELEASE_FILE).is_file():
            try:
                folders.render_practice(folder)
            except (ValueError, OSError):
                return
