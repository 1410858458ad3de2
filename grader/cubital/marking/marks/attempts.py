"""A hand-in that was seen, known again by what it says and what its files hold."""

import hashlib
import os
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from uuid import UUID, uuid5

from cubital.handin.bundle import TIMESTAMP_FILE
from cubital.handin.files import entries, is_clutter
from cubital.handin.released.papers import FILE as PAPERS_FILE

_NAMESPACE = UUID("0d3c1b5e-8a52-5f0e-b6a7-53c1d6b0a7f4")  # of attempts alone
_AT_ONCE = 65_536  # bytes of a file: most are read at a time


@dataclass(frozen=True)
class Attempt:
    """A hand-in that was seen.

    Attributes
    ----------
    worksheet, learner
        Of what, and whose it says to be.
    release
        The release that it answers; empty if that is not known.
    said_at
        The time that it says, in UTC; empty if it says none.
    sha256
        A check sum of its files; empty if they could not be read.
    number
        Which attempt at the worksheet the release's papers are for: 1, and more for retakes.
    """

    worksheet: str
    learner: str
    release: str = ""
    said_at: str = ""
    sha256: str = ""
    number: int | None = None

    @cached_property
    def id(self) -> str:
        """The same for what is handed in again without a change."""
        told = "\n".join((self.worksheet, self.learner, self.said_at, self.sha256))
        return uuid5(_NAMESPACE, told).hex


def sum_of_files(files: Mapping[str, bytes]) -> str:
    """Return a check sum of what a hand-in holds, by name.

    Its time is not part of that, nor are the papers that everybody was given, nor what a computer
    adds of its own.
    """
    return _sum({name: hashlib.sha256(data).digest() for name, data in files.items()})


def is_added(name: str) -> bool:
    """Tell whether a file of a hand-in, or a folder around it, was added by a computer."""
    return any(map(is_clutter, name.split("/")))


def sum_of_folder(folder: Path) -> str:
    """Return the same of a submitted folder; empty if it cannot be read as plain files."""
    digests = {}
    try:
        for name, entry in entries(folder):
            is_file = entry.is_file(follow_symlinks=False)
            if not is_file and (entry.is_symlink() or not entry.is_dir()):
                return ""
            if is_file and not is_added(name):
                digests[name] = _sum_of_file(entry.path)
        return _sum(digests) if digests else ""
    except (OSError, UnicodeError):
        return ""


def _sum_of_file(path: str) -> bytes:
    told = hashlib.sha256()
    with open(path, "rb", buffering=0, opener=_follows_no_link) as file:
        while data := file.read(_AT_ONCE):
            told.update(data)
    return told.digest()


def _follows_no_link(path: str, flags: int) -> int:
    """Open a file; a link that was put in its place since it was listed raises OSError."""
    return os.open(path, flags | getattr(os, "O_NOFOLLOW", 0))  # which Windows has not


def _sum(digests: Mapping[str, bytes]) -> str:
    told = hashlib.sha256()
    for name, digest in sorted(digests.items()):
        if name not in {TIMESTAMP_FILE, PAPERS_FILE} and not is_added(name):
            told.update(digest + name.encode("utf-8"))
    return told.hexdigest()
