"""The files of all hand-ins, those that do not count included: ``hand-ins/<worksheet>/<learner>/``.

Each is a zip under the id of its attempt, closed to other users, and the same bytes whenever it is
made. Its check sum is the attempt's, so that what is marked later is what was handed in.
"""

import io
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path, PurePosixPath

from cubital.handin.bundle import opened_zip, read_entry
from cubital.handin.files import entries, own_folder
from cubital.handin.released.papers import FILE as PAPERS_FILE
from cubital.marking.marks.attempts import Attempt, sum_of_files
from cubital.scene.files.atomic import begin, finish

FOLDER = "hand-ins"
LARGEST = 40_000_000  # bytes of one hand-in
MOST = 200_000_000  # bytes, compressed, of one learner's hand-ins to a worksheet
_DATE = (1980, 1, 1, 0, 0, 0)  # the earliest a zip can hold: equal files, equal bytes


class TooMuchError(ValueError):
    """A hand-in, or all of a learner, are more than is kept."""


class Kept:
    """The files of the hand-ins to one worksheet."""

    def __init__(self, workspace: Path, worksheet: str) -> None:
        self._workspace = workspace
        self.folder = workspace / FOLDER / worksheet
        self._there = {path.stem for path in self.folder.glob("*/*.zip")}
        self._are_closed = False

    def has(self, attempt: Attempt) -> bool:
        """Tell whether the files of an attempt are here."""
        return attempt.id in self._there

    def keep(self, attempt: Attempt, files: Mapping[str, bytes]) -> None:
        """Keep the files of an attempt, but for the papers that everybody was given.

        What is kept already stays, unless it is damaged.

        Raises
        ------
        TooMuchError
            They are more than is kept of one hand-in, or of one learner.
        OSError
            The disk has something against it.
        """
        self.begin(attempt, files)()

    def begin(self, attempt: Attempt, files: Mapping[str, bytes]) -> Callable[[], None]:
        """Begin to keep the files of an attempt, and return what ends it: waiting for the disk.

        Several may be ended at the same time, each in a thread. Both raise what `keep` does.
        """
        if self.has(attempt) and self._sound(attempt):
            return lambda: None
        if sum(map(len, files.values())) > LARGEST:
            raise TooMuchError(f"its files have more than {LARGEST // 10**6} MB")
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
            for name, data in sorted(files.items()):
                if name != PAPERS_FILE:
                    entry = zipfile.ZipInfo(name, _DATE)
                    entry.compress_type = zipfile.ZIP_DEFLATED
                    archive.writestr(entry, data)
        own = self.folder / attempt.learner
        have = sum(row.stat().st_size for name, row in entries(own) if name.endswith(".zip"))
        if have + packed.tell() > MOST:
            raise TooMuchError(
                f"all hand-ins of “{attempt.learner}” together have more than {MOST // 10**6} MB"
            )
        self._close_folders()
        own_folder(own)
        path = self._path(attempt)
        part = begin(path, packed.getvalue())

        def end() -> None:
            finish(part, path)
            self._there.add(attempt.id)

        return end

    def read(self, attempt: Attempt) -> dict[str, bytes]:
        """Return the files of an attempt as they were handed in.

        Raises
        ------
        ValueError
            They are not here, cannot be read, or are not what was handed in.
        """
        path = self._path(attempt)
        where = path.relative_to(self._workspace).as_posix()
        try:
            with opened_zip(path, where) as archive:
                files = {
                    info.filename: read_entry(archive, info, where, largest=LARGEST)
                    for info in archive.infolist()
                }
        except OSError as error:
            raise ValueError(f"{where} cannot be read: {error}") from error
        odd = [name for name in files if ".." in (parts := PurePosixPath(name).parts) or not parts]
        if odd or any(PurePosixPath(name).is_absolute() for name in files):
            raise ValueError(f"{where} holds a name that leads elsewhere")
        if sum_of_files(files) != attempt.sha256:
            raise ValueError(f"{where} is not what was handed in: its check sum is another")
        return files

    def _close_folders(self) -> None:
        """Close the folders of all hand-ins, and of those to the worksheet, once."""
        if not self._are_closed:
            for folder in (self._workspace / FOLDER, self.folder):
                own_folder(folder)
            self._are_closed = True

    def _sound(self, attempt: Attempt) -> bool:
        try:
            return bool(self.read(attempt))
        except ValueError:
            return False

    def _path(self, attempt: Attempt) -> Path:
        return self.folder / attempt.learner / f"{attempt.id}.zip"
