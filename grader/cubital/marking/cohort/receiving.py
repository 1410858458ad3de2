"""Find the hand-ins in the inbox: zips, a learning platform's folders, and zips of zips.

Nothing is unpacked onto the disk. Who handed in is what the hand-in itself says; a folder's name
decides nothing.
"""

import io
import os
import stat
import zipfile
from collections.abc import Callable, Container, Iterable, Iterator
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path, PurePosixPath

from cubital.handin.bundle import (
    HANDIN_FILE,
    Bundle,
    bundle_of,
    opened_zip,
    read_entry,
    zipped_bundle,
)
from cubital.handin.files import is_clutter, printable
from cubital.handin.results import SYSTEM_ERROR, UNREADABLE

INBOX = "inbox"
_DEEPEST = 4  # folders, or zips, within each other
_MOST_FILES = 20_000  # of one folder
_MOST_LOOSE = 100  # files beside the note of an unpacked hand-in
_MOST_ENTRIES = 100_000  # of a zip in the inbox
_MOST_ENTRIES_WITHIN = 5_000  # of a zip in a zip
_LARGEST_FILE = 8_000_000  # bytes of one file of a hand-in
_LARGEST_ZIP = 100_000_000  # bytes of a zip in a zip
_LEAST_COST = 10_000  # what a zip in a zip counts for, however small, in bytes
# Of all the zips in one zip, a quarter of it a zip deeper; and of the hand-ins that lie in one.
_MOST_BYTES = 1_000_000_000


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
    unpacked: list[int] = field(default_factory=list)  # bytes in each of the zips around this one

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

    def _folder(self, folder: Path, file: str, depth: int, but: Iterable[str] = ()) -> None:
        """Read what lies in a folder, each by itself; a full folder costs what is in it alone."""
        if depth > _DEEPEST:
            raise ValueError(f"it lies more than {_DEEPEST} folders deep")
        paths = sorted(folder.iterdir())
        if len(paths) > _MOST_FILES and depth:
            raise ValueError(f"it holds {len(paths)} files, more than {_MOST_FILES}: sort it first")
        for path in paths:
            odd = is_clutter(path.name) or path.name.startswith(".") or path.suffix == ".part"
            if not odd and path.name not in but:
                name = f"{file}/{printable(path.name)}"
                self._try(name, partial(self._path, path, name, depth))

    def _path(self, path: Path, file: str, depth: int) -> None:
        if path.is_symlink() or not (path.is_file() or path.is_dir()):
            raise ValueError("it is not a plain file")
        if path.is_file():
            self._file(path, file)
            return
        loose = {HANDIN_FILE} if (path / HANDIN_FILE).is_file() else set()
        if loose:
            loose |= set(_loose_files(path))
            alone = loose >= {one.name for one in path.iterdir() if not is_clutter(one.name)}
            whose = file if alone else f"{file}/{HANDIN_FILE}"
            self._try(whose, lambda: self._unzipped(path, whose, loose))
        self._folder(path, file, depth + 1, but=loose)

    def _unzipped(self, folder: Path, file: str, names: Iterable[str]) -> None:
        """Read a hand-in that a browser or a platform has unpacked."""
        files: dict[str, bytes] = {}
        for name in sorted(names):
            if len(files) >= _MOST_LOOSE:
                raise ValueError(f"it holds more than {_MOST_LOOSE} files beside {HANDIN_FILE}")
            data = _plain(folder / name)
            if len(data) > _LARGEST_FILE:
                raise ValueError(f"{printable(name)} is larger than is taken")
            files[printable(name)] = data
        self.received.append(Received(file, bundle_of(files, printable(folder.name))))

    def _file(self, path: Path, file: str) -> None:
        self.unpacked = []
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
            if not info.is_dir() and not any(map(is_clutter, PurePosixPath(info.filename).parts))
        ]
        if len(entries) > (_MOST_ENTRIES_WITHIN if depth else _MOST_ENTRIES):
            raise ValueError(f"{name} holds {len(entries)} files, more than are taken")
        zips = [info for info in entries if _is_zip(info.filename)]
        homes: dict[str, list[zipfile.ZipInfo]] = {
            info.filename.removesuffix(HANDIN_FILE): []
            for info in entries
            if os.path.basename(info.filename) == HANDIN_FILE
        }
        if not homes and not zips:
            raise ValueError(f"{name} was not made by “cubital hand-in”: it lacks {HANDIN_FILE}")
        if depth >= _DEEPEST:
            raise ValueError(f"{name} lies more than {_DEEPEST} zips deep")
        for info in entries:
            home = _home(info.filename, homes)
            if home is not None and not _is_zip(info.filename):
                homes[home].append(info)
            elif not _is_zip(info.filename):
                self.others.append(f"{file}/{printable(info.filename)}")
        large = sum(info.file_size for inside in homes.values() for info in inside)
        if large > _MOST_BYTES:
            raise ValueError(f"the hand-ins in {name} unpack to more than {_MOST_BYTES} bytes")
        beside = {_home(info.filename, homes) for info in zips}
        for home, inside in homes.items():
            whose = f"{file}/{printable(home)}".rstrip("/")
            if home in beside or (not home and len(homes) > 1):
                whose = f"{whose}/{HANDIN_FILE}"
            bundle = partial(zipped_bundle, archive, inside, name, home)
            self._try(whose, partial(self._receive, whose, bundle))
        for info in zips:
            whose = f"{file}/{printable(info.filename)}"
            self._try(whose, partial(self._inner, archive, info, whose, depth))

    def _receive(self, file: str, bundle: Callable[[], Bundle]) -> None:
        self.received.append(Received(file, bundle()))

    def _inner(
        self, archive: zipfile.ZipFile, info: zipfile.ZipInfo, file: str, depth: int
    ) -> None:
        """Read a zip in a zip; what it unpacks to counts for the zips around it, each by itself."""
        now = [have + info.file_size + _LEAST_COST for have in self.unpacked[:depth]]
        for level, have in enumerate(now):
            if have > (most := _MOST_BYTES >> 2 * level):
                raise ValueError(f"the zips in a zip around it unpack to more than {most} bytes")
        self.unpacked = [*now, 0]
        name = file.rpartition("/")[2]
        data = io.BytesIO(read_entry(archive, info, name, largest=_LARGEST_ZIP))
        with opened_zip(data, name) as inner:
            self._zip(inner, file, depth + 1)


def _plain(path: Path) -> bytes:
    """Read a plain file, a byte more than is taken at most, and raise ValueError for all else.

    Whoever shares the inbox can put something else there meanwhile: no link is followed, and
    nobody is waited for who would write into a pipe.
    """
    odd = ValueError(f"{printable(path.name)} in it is not a plain file")
    if not stat.S_ISREG(path.lstat().st_mode):
        raise odd

    def opened(name: str, flags: int) -> int:
        return os.open(name, flags | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))

    with open(path, "rb", opener=opened) as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise odd
        return file.read(_LARGEST_FILE + 1)


def _loose_files(folder: Path) -> Iterator[str]:
    """Name what may belong to a hand-in that lies unpacked in a folder: no folder, and no zip."""
    for path in folder.iterdir():
        if not (is_clutter(path.name) or path.is_dir() or _is_zip(path.name)):
            yield path.name


def _is_zip(name: str) -> bool:
    return name.lower().endswith(".zip")


def _home(name: str, homes: Container[str]) -> str | None:
    """Return the innermost folder with a hand-in's note that a zip's file lies in."""
    folder = name
    while folder:
        folder = folder.rstrip("/").rpartition("/")[0]
        folder = f"{folder}/" if folder else ""
        if folder in homes:
            return folder
    return None


def _holds_hand_in(archive: zipfile.ZipFile) -> bool:
    return any(os.path.basename(name) == HANDIN_FILE for name in archive.namelist())
