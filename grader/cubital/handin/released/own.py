"""Items of an educator's own: one Python file each, run only if its check sum is the release's.

In a course folder they lie in ``items/<name>.py``; a release holds them beside its notebook as
``own-<name>.py``, a name that nothing can import by mistake.
"""

import hashlib
import re
import traceback
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from cubital.handin.files import write_text
from cubital.handin.ids import is_device
from cubital.items import Item
from cubital.items.kinds import KINDS, rules
from cubital.tables.course import section_titles

FOLDER = "items"
PREFIX = "own-"  # of a released file's name, and of every own item's id
NAMES = ("WORKSHEET", "OBJECTIVE", "ITEM")
SHARE = "PASS_SHARE"

_FILE = re.compile(rf"{PREFIX}[a-z][a-z0-9_-]{{0,39}}\.py")
_NAME = re.compile(r"[a-z][a-z0-9_-]{0,39}")
_NAMES = (
    "up to 40 letters a to z, digits, hyphens or underscores, the first a letter, but not con, "
    "nul, com1 or the like, which Windows keeps for devices"
)
_ID = re.compile(rf"{PREFIX}[a-z0-9][a-z0-9-]{{0,50}}")
_LARGEST = 100_000  # characters of one file


class OwnItemError(ValueError):
    """An educator's own file cannot be used; the text says where and why."""


@dataclass(frozen=True)
class OwnFile:
    """What a release says of one of its own items: file, check sum and objective."""

    file: str
    sha256: str
    objective: str


@dataclass(frozen=True)
class OwnItem:
    """An own item of a course folder, as its file defines it.

    ``pass_share`` is what somebody who just passes is expected to have of it [-], if the file
    says so.
    """

    path: Path
    source: str
    worksheet: str
    objective: str
    item: Item
    pass_share: float | None = None

    @property
    def released(self) -> OwnFile:
        """What a release says of it."""
        return OwnFile(f"{PREFIX}{self.path.name}", check_sum(self.source), self.objective)


def check_sum(source: str) -> str:
    """Return the SHA-256 of a file's text."""
    return hashlib.sha256(source.encode()).hexdigest()


def own_file_names(folder: Path) -> list[str]:
    """Return which of a folder's files are named as released own items."""
    return sorted(path.name for path in folder.glob(f"{PREFIX}*.py"))


def read_sources(folder: Path, listed: Mapping[str, OwnFile]) -> dict[str, str]:
    """Read the texts of released own files, as far as they are there; nothing is run."""
    found = {}
    for row in listed.values():
        if not _FILE.fullmatch(row.file):
            raise ValueError(f"{row.file!r:.60} cannot be the file of an own item")
        path = folder / row.file
        if path.is_file() and not path.is_symlink() and path.stat().st_size <= 4 * _LARGEST:
            found[row.file] = path.read_bytes().decode("utf-8", "replace")
    return found


def released_item(item_id: str, row: OwnFile, sources: Mapping[str, str]) -> Item:
    """Return a released own item; its file is run only if it is the one that was released."""
    source = sources.get(row.file)
    if source is None:
        raise ValueError(
            f"{row.file}, which asks “{item_id}”, is missing: restore it beside the release in the "
            "workspace's sealed folder"
        )
    if check_sum(source) != row.sha256:
        raise ValueError(
            f"{row.file} is not the file that was released, so it is not run: restore that one "
            "beside the release in the workspace's sealed folder"
        )
    item: Item = _defined(row.file, source)["ITEM"]
    return item


def released_share(row: OwnFile, sources: Mapping[str, str]) -> float | None:
    """Return what a released own file expects of who just passes [-], if it says so.

    As `released_item`, it runs the file, and only the one that was released.
    """
    released_item("", row, sources)
    return _defined(row.file, sources[row.file]).get(SHARE)


def read_own_items(workspace: Path) -> tuple[OwnItem, ...]:
    """Read and run the own items of a course folder, by file name.

    Raises
    ------
    OwnItemError
        A file does not run, lacks a name or defines something else; the text says where.
    """
    return tuple(read_own_item(path) for path in sorted((workspace / FOLDER).glob("*.py")))


def read_own_item(path: Path) -> OwnItem:
    """Read and run one own file of a course folder."""
    if not _can_name(path.stem):
        raise OwnItemError(f"{path}: name the file by {_NAMES}")
    try:
        source = path.read_bytes().decode("utf-8-sig")  # some editors begin with a mark
    except UnicodeDecodeError as error:
        raise OwnItemError(f"{path} is not text in UTF-8: {error.reason}") from error
    if len(source) > _LARGEST:
        raise OwnItemError(f"{path} has {len(source)} characters; at most {_LARGEST} are taken")
    told = _defined(str(path), source)
    missing = [name for name in NAMES if name not in told]
    if missing:
        raise OwnItemError(f"{path} does not define {' and '.join(missing)}")
    item, share = told["ITEM"], told.get(SHARE)
    # An own item has no pictures in the pool.
    allowed = [kind.item for kind in KINDS.values() if kind.item.needs != "truth"]
    if type(item) not in allowed:
        kinds = ", ".join(kind.__name__ for kind in allowed)
        raise OwnItemError(f"{path}: ITEM is a {type(item).__name__}: it must be one of {kinds}")
    if not isinstance(item.id, str) or not _ID.fullmatch(item.id):
        raise OwnItemError(
            f"{path}: the id of ITEM is {item.id!r:.60}: it must be “{PREFIX}” and letters a to z, "
            "digits or hyphens"
        )
    if share is not None and not (isinstance(share, int | float) and 0 < share <= 1):
        raise OwnItemError(f"{path}: {SHARE} is {share!r:.40}: it must be above 0 and at most 1")
    return OwnItem(path, source, str(told["WORKSHEET"]), str(told["OBJECTIVE"]), item, share)


@lru_cache(maxsize=64)
def _defined(name: str, source: str) -> dict[str, Any]:
    """Run a file's text and return what it defines."""
    names: dict[str, Any] = {"__name__": "own_item", "__file__": name}
    try:
        exec(compile(source.removeprefix("\ufeff"), name, "exec"), names)
    except Exception as error:
        raise OwnItemError(
            f"{name}{where(error, name)}: {type(error).__name__}: {error}"
        ) from error
    return names


def where(error: BaseException, name: str) -> str:
    """Say in which line of the file ``name`` an error arose; nothing if in none."""
    if isinstance(error, SyntaxError) and error.filename == name:
        return f", line {error.lineno}"
    frames = traceback.extract_tb(error.__traceback__)
    lines = [frame.lineno for frame in frames if frame.filename == name]
    return f", line {lines[-1]}" if lines else ""


def own_faults(own: OwnItem, draws: rules.Draws, lesson: str) -> list[str]:
    """Say what is wrong with an own item, with its file and, where it can be told, the line.

    ``draws`` gives the values of a learner's id, ``lesson`` is the one of its objective.
    """
    sections = section_titles(lesson)
    if own.item.section not in sections:
        listed = ", ".join(f"“{title}”" for title in sections)
        return [f"{own.path}: section is “{own.item.section}”; {lesson} has: {listed}"]
    path = str(own.path)
    found = rules.faults(own.item, draws, place=lambda error: where(error, path))
    return [f"{path}: {fault}" for fault in found]


def _can_name(name: str) -> bool:
    return _NAME.fullmatch(name) is not None and not is_device(name)


def write_template(workspace: Path, name: str) -> Path:
    """Write a commented example of an own item into a course folder and return its path."""
    if not _can_name(name):
        raise OwnItemError(f"{name!r:.60} cannot name an item: use {_NAMES}")
    path = workspace / FOLDER / f"{name}.py"
    if path.exists():
        raise OwnItemError(f"{path} is there already: choose another name")
    text = (
        files("cubital.handin.released")
        .joinpath("own_item_template.txt")
        .read_text(encoding="utf-8")
    )
    write_text(path, text.replace("own-NAME", f"{PREFIX}{name.replace('_', '-')}"))
    return path
