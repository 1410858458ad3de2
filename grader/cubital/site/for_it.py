"""The page for who puts a site up: what it is made of, under which licences, what a web server has
to be set to, what stays where. It is drawn of the site's own files."""

import hashlib
import io
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from jinja2 import Environment, PackageLoader, StrictUndefined

from cubital import __version__
from cubital.site import libraries, pyodide, serving
from cubital.site.licences import Package, normal, of_installed, of_metadata

FOR_IT = "for-it.html"
SUMS = "sums.txt"
LICENCES = "licences.txt"
# Parts that come from a package which is installed where the site is built, by their folders.
_BY_FOLDER = {
    "build/": ("jupyterlite-core", "JupyterLab, in the browser alone: JupyterLite"),
    "extensions/@jupyter-widgets/": ("jupyterlab-widgets", "sliders and fields on a page"),
    "extensions/@jupyterlite/": ("jupyterlite-pyodide-kernel", "leads from the page to Python"),
    "extensions/anywidget/": ("anywidget", "draws the course's figures"),
}
FROM_INSTALLED = tuple(name for name, _what in _BY_FOLDER.values())
_PYTHON = "python/"
_ARCHIVE = f"{_PYTHON}course-"
_STARTED = f"{_PYTHON}started-"


class Part(NamedTuple):
    """A part of a site: its package, what it is for, its files and their size in bytes."""

    package: Package
    what: str
    files: tuple[str, ...]
    size: int


class Row(NamedTuple):
    """A file with its sum."""

    path: str
    sha256: str
    size: int


def parts(folder: Path) -> list[Part]:
    """Return the parts of a site, of which each file of it is in exactly one."""
    sizes = _sizes(folder)
    pinned = pyodide.edition()
    left = dict(sizes)

    def part(package: Package, what: str, paths: Sequence[str]) -> Part:
        return Part(package, what, tuple(paths), sum(left.pop(path) for path in paths))

    found = []
    for path, file in packed(sizes).items():
        if not file.package:
            continue
        package = Package(file.package, _version(file.name), file.licence)
        found.append(part(package, "a compiled library of Python's", [path]))
    core = [path for path in left if _of_core(path) in pinned.files]
    memory = [path for path in left if path.startswith(_STARTED)]
    named = [one for path in core for one in pinned.files[_of_core(path)].licence.split("; ")]
    licences = "; ".join(dict.fromkeys(named))
    one = Package("Pyodide", f"{pinned.version}, Python {pinned.info['python']}", licences)
    found.insert(0, part(one, "Python for the browser", [*core, *memory]))
    for place, (name, what) in _BY_FOLDER.items():
        found.append(
            part(of_installed(name), what, [path for path in left if path.startswith(place)])
        )
    own = Package("Cubital", __version__, of_installed("cubital").licence)
    found.insert(0, part(own, "the course, with the packages below in its archive", [*left]))
    return found


def packed(paths: Iterable[str]) -> dict[str, pyodide.File]:
    """Return which of a site's files are packed here, and of which of Pyodide's."""
    known = {one.package: one for one in pyodide.edition().files.values()}
    by_name = {path: path.removeprefix(_PYTHON).rpartition("-")[0] for path in paths}
    found = {path: known[name] for path, name in by_name.items() if name in libraries.NAMES}
    core = {f"{_PYTHON}{name}.bin": pyodide.edition().files[name] for name in pyodide.PACKED}
    return found | {path: file for path, file in core.items() if path in by_name}


def _of_core(path: str) -> str:
    """Return the name that a file has in Pyodide's release."""
    return path.removeprefix(_PYTHON).removesuffix(".bin")


def _version(name: str) -> str:
    """Return the version in the name of a wheel, or of an archive, `openblas-0.3.26.zip`."""
    return name.removesuffix(".zip").split("-")[1]


def in_archive(folder: Path) -> list[Package]:
    """Return the packages in the course's archive, the course itself left out."""
    (path,) = folder.glob(f"{_ARCHIVE}*.zip")
    known = {normal(one.package): one.licence for one in pyodide.edition().files.values()}
    with zipfile.ZipFile(io.BytesIO(path.read_bytes())) as archive:
        told = [
            archive.read(name).decode()
            for name in archive.namelist()
            if name.endswith(".dist-info/METADATA") and not name.startswith("cubital-")
        ]
    return sorted((of_metadata(text, known) for text in told), key=lambda one: one.name.lower())


def sums(folder: Path) -> list[Row]:
    """Return each file of a site with its SHA-256 sum and its size in bytes; the list of sums
    cannot hold its own."""
    return [
        Row(path, hashlib.sha256((folder / path).read_bytes()).hexdigest(), size)
        for path, size in _sizes(folder).items()
        if path != SUMS
    ]


def _sizes(folder: Path) -> dict[str, int]:
    return {
        path.relative_to(folder).as_posix(): path.stat().st_size
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def write(folder: Path, later: Sequence[str]) -> None:
    """Write the page, and the sums of all files in the form that `sha256sum -c` reads.

    Parameters
    ----------
    later
        The packages that a browser asks for only once something needs them.
    """
    (folder / FOR_IT).write_text(page(folder, later), encoding="utf-8")
    lines = (f"{row.sha256}  {row.path}\n" for row in sums(folder))
    (folder / SUMS).write_text("".join(lines), encoding="utf-8", newline="\n")


def page(folder: Path, later: Sequence[str]) -> str:
    """Return the page for a site whose other files are there."""
    made = Environment(
        loader=PackageLoader("cubital.site"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["megabytes"] = lambda size: f"{size / 1e6:.1f} MB"
    pinned = pyodide.edition()
    rows = [row for row in sums(folder) if row.path != FOR_IT]
    found = parts(folder)
    python = [row for row in rows if row.path.startswith(_PYTHON)]
    late = {path for one in found if one.package.name in later for path in one.files}
    return made.get_template("for-it.html.j2").render(
        parts=found,
        packages=in_archive(folder),
        python=python,
        pinned={f"{_PYTHON}{name}": file.sha256 for name, file in pinned.files.items()},
        packed=packed(row.path for row in python),
        pyodide=pinned,
        total=sum(row.size for row in rows),
        count=len(rows),
        at_once=sum(row.size for row in python if row.path not in late),
        later=sum(row.size for row in python if row.path in late),
        sums=SUMS,
        licences=LICENCES,
        headers=_told(serving.HEADERS, serving.WHY),
        directives=serving.DIRECTIVES,
        types=serving.TYPES,
        by_type=_by_type(),
        smaller=serving.SMALLER,
    )


def _told(values: Mapping[str, str], why: Mapping[str, str]) -> list[tuple[str, str, str]]:
    return [(name, value, why[name]) for name, value in values.items()]


def _by_type() -> dict[str, list[str]]:
    """Return the endings of each type, without their points."""
    found: dict[str, list[str]] = {}
    for ending, name in serving.TYPES.items():
        found.setdefault(name, []).append(ending.removeprefix("."))
    return found
