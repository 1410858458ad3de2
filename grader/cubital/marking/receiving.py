"""Find the hand-ins in the inbox: zips, a learning platform's folders, and zips of zips.

Nothing is unpacked onto the disk. Who handed in is what the hand-in itself says; a folder's name
decides nothing.
"""

import io
import os
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from cubital.handin.bundle import (
    HANDIN_FILE,
    Bundle,
    bundle_of,
    opened_zip,
    read_entry,
    zipped_bundle,
)
from cubital.handin.files import printable
from cubital.handin.results import SYSTEM_ERROR, UNREADABLE

INBOX = "inbox"
_DEEPEST = 4  # folders, or zips, within each other
_MOST_FILES = 20_000  # in the inbox
_MOST_ENTRIES = 5_000  # of a zip that holds several hand-ins
_LARGEST_FILE = 8_000_000  # bytes of one file of a hand-in
_LARGEST_ZIP = 100_000_000  # bytes of a zip in a zip
_LEAST_COST = 10_000  # what a zip in a zip counts for, however small, in bytes
_MOST_BYTES = 1_000_000_000  # of all the zips in a zip
_CLUTTER = {"__macosx", ".ds_store", "thumbs.db", "desktop.ini"}  # computers add it


@dataclass(frozen=True)
class Received:
    """A hand-in of the inbox, or what could not be read and why."""

    file: str
    bundle: Bundle | None = None
    state: str = UNREADABLE
    reason: str = ""


@dataclass
class Inbox:
    """What lies in the inbox: hand-ins in the order of their names, and other files."""

    received: list[Received] = field(default_factory=list)
    others: list[str] = field(default_factory=list)
    files: int = 0
    bytes: int = 0  # unpacked from the zip at hand

    def read(self, folder: Path) -> "Inbox":
        """Read a folder, if it is there, with all within it."""
        if folder.is_dir():
            self._try(INBOX, lambda: self._folder(folder, INBOX, 0))
        return self

    def _try(self, file: str, read: Callable[[], None]) -> None:
        """Keep what one file or folder does to us to that one."""
        try:
            read()
        except (ValueError, OSError, OverflowError, RecursionError) as error:
            self.received.append(Received(file, reason=printable(str(error))))
        except Exception as error:  # ours: not a hand-in's fault
            reason = printable(f"{type(error).__name__}: {error}")
            self.received.append(Received(file, state=SYSTEM_ERROR, reason=reason))

    def _folder(self, folder: Path, file: str, depth: int) -> None:
        if depth > _DEEPEST:
            raise ValueError(f"it lies more than {_DEEPEST} folders deep")
        for path in sorted(folder.iterdir()):
            self.files += 1
            if self.files > _MOST_FILES:
                raise ValueError(f"the inbox holds more than {_MOST_FILES} files: sort it first")
            if not (_is_clutter(path.name) or path.name.startswith(".") or path.suffix == ".part"):
                name = f"{file}/{printable(path.name)}"
                self._try(name, lambda path=path, name=name: self._path(path, name, depth))

    def _path(self, path: Path, file: str, depth: int) -> None:
        if path.is_symlink() or not (path.is_file() or path.is_dir()):
            raise ValueError("it is not a plain file")
        if path.is_file():
            self._file(path, file)
        elif (path / HANDIN_FILE).is_file():
            self._unzipped(path, file)
        else:
            self._folder(path, file, depth + 1)

    def _unzipped(self, folder: Path, file: str) -> None:
        """Read a hand-in that a browser or a platform has unpacked."""
        files = {}
        for path in _plain_files(folder):
            if path.stat().st_size > _LARGEST_FILE:
                raise ValueError(f"{printable(path.name)} is larger than is taken")
            files[printable(path.name)] = path.read_bytes()
        self.received.append(Received(file, bundle_of(files, printable(folder.name))))

    def _file(self, path: Path, file: str) -> None:
        self.bytes = 0
        named = path.suffix.lower() == ".zip"
        if not named and not zipfile.is_zipfile(path):
            self.others.append(file)
            return
        with opened_zip(path, printable(path.name)) as archive:
            if named or _holds_hand_in(archive):
                self._zip(archive, file, 0)
            else:  # a text processor's file is a zip too
                self.others.append(file)

    def _zip(self, archive: zipfile.ZipFile, file: str, depth: int) -> None:
        name = file.rpartition("/")[2]
        entries = [
            info
            for info in archive.infolist()
            if not info.is_dir() and not any(map(_is_clutter, PurePosixPath(info.filename).parts))
        ]
        if HANDIN_FILE in (info.filename for info in entries):
            self.received.append(Received(file, zipped_bundle(archive, entries, name)))
            return
        if len(entries) > _MOST_ENTRIES:
            raise ValueError(f"{name} holds {len(entries)} files, more than are taken")
        homes = [
            info.filename.removesuffix(HANDIN_FILE)
            for info in entries
            if info.filename.endswith(f"/{HANDIN_FILE}")
        ]
        zips = [info for info in entries if info.filename.lower().endswith(".zip")]
        if not homes and not zips:
            raise ValueError(f"{name} was not made by “cubital hand-in”: it lacks {HANDIN_FILE}")
        if depth >= _DEEPEST:
            raise ValueError(f"{name} lies more than {_DEEPEST} zips deep")
        for home in homes:
            inside = [info for info in entries if info.filename.startswith(home)]
            whose = f"{file}/{printable(home.rstrip('/'))}"
            self._try(
                whose,
                lambda inside=inside, home=home, whose=whose: self.received.append(
                    Received(whose, zipped_bundle(archive, inside, name, home))
                ),
            )
        for info in zips:
            if not info.filename.startswith(tuple(homes)):
                whose = f"{file}/{printable(info.filename)}"
                self._try(whose, lambda i=info, w=whose: self._inner(archive, i, w, depth))
        self.others.extend(
            f"{file}/{printable(info.filename)}"
            for info in entries
            if info not in zips and not info.filename.startswith(tuple(homes))
        )

    def _inner(
        self, archive: zipfile.ZipFile, info: zipfile.ZipInfo, file: str, depth: int
    ) -> None:
        self.bytes += info.file_size + _LEAST_COST
        if self.bytes > _MOST_BYTES:
            raise ValueError(f"the zips in it unpack to more than {_MOST_BYTES // 10**6} MB")
        name = file.rpartition("/")[2]
        data = io.BytesIO(read_entry(archive, info, name, largest=_LARGEST_ZIP))
        with opened_zip(data, name) as inner:
            self._zip(inner, file, depth + 1)


def _plain_files(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.iterdir()):
        if _is_clutter(path.name):
            continue
        if path.is_symlink() or not path.is_file():
            raise ValueError(f"{printable(path.name)} in it is not a plain file")
        yield path


def _is_clutter(name: str) -> bool:
    return name.lower() in _CLUTTER or name.startswith("._")


def _holds_hand_in(archive: zipfile.ZipFile) -> bool:
    return any(os.path.basename(name) == HANDIN_FILE for name in archive.namelist())
