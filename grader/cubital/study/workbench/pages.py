"""Which pages are still to be run, and which of them somebody waits for.

The command runs the notebooks, the server gives them out, in two processes. What they tell each
other are small files in the server's folder, so that a page is never given out before its cells
have run, and never kept back for ever.
"""

import shutil
from collections.abc import Iterable
from pathlib import Path
from urllib.parse import quote, unquote

from cubital.handin.files import write_text


class Pages:
    """The pages of a learner's folder ``root``, told about in ``folder``."""

    def __init__(self, folder: Path, root: Path) -> None:
        self.root = root.resolve()
        self._to_run, self._wanted, self._failed = (
            folder / name for name in ("to-run", "wanted", "failed")
        )
        self._folders = (self._to_run, self._wanted, self._failed)

    def begin(self, notebooks: Iterable[Path]) -> None:
        """Forget an earlier server's pages; all of these are to be run."""
        for folder in self._folders:
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir(parents=True)
        for notebook in notebooks:
            self.add(notebook)

    def add(self, notebook: Path) -> None:
        """Keep a notebook back until it has run."""
        self._mark(self._to_run, notebook).touch()

    def is_to_run(self, notebook: Path) -> bool:
        """Whether a notebook is kept back."""
        return self._mark(self._to_run, notebook).exists()

    def want(self, notebook: Path) -> None:
        """Ask for a notebook, again if running it failed before."""
        self._mark(self._failed, notebook).unlink(missing_ok=True)
        self._mark(self._wanted, notebook).touch()

    def wanted(self) -> Path | None:
        """Return the notebook to run next: of those that somebody waits for, the first."""
        there = [mark for mark in self._wanted.iterdir() if (self._to_run / mark.name).exists()]
        first = min(there, key=lambda mark: (mark.stat().st_mtime_ns, mark.name), default=None)
        return first and self.root / unquote(first.name)

    def ran(self, notebook: Path) -> None:
        """Give a notebook out from now on."""
        self._mark(self._wanted, notebook).unlink(missing_ok=True)
        self._mark(self._to_run, notebook).unlink(missing_ok=True)

    def fail(self, notebook: Path, reason: str) -> None:
        """Tell whoever waits why a notebook could not be run; it is tried again when asked for."""
        self._mark(self._wanted, notebook).unlink(missing_ok=True)
        write_text(self._mark(self._failed, notebook), reason)

    def failure(self, notebook: Path) -> str | None:
        """Return why a notebook could not be run, if that is so."""
        try:
            return self._mark(self._failed, notebook).read_text(encoding="utf-8")
        except FileNotFoundError:
            return None

    def _mark(self, folder: Path, notebook: Path) -> Path:
        relative = notebook.resolve().relative_to(self.root)
        return folder / quote(relative.as_posix(), safe="")
