"""The site as a whole: which files it has, and what each of them is for."""

import json
import shutil
import tempfile
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

import platformdirs

from cubital.handin.released.release import read_release
from cubital.refresh.reviews import WORKSHEET as REFRESH
from cubital.site import (
    archive,
    for_it,
    frozen,
    libraries,
    licences,
    lite,
    practices,
    pyodide,
    started,
)
from cubital.site.bytecode import with_byte_code
from cubital.study import folders, ready_practices
from cubital.study.learner import pages
from cubital.study.offered import FILE as OFFERED
from cubital.study.offered import as_data, of_release
from cubital.study.page.files import NAME as PAGE_NAME
from cubital.study.page.files import make_extension
from cubital.tables.files import style

_SCRIPTS = Path(__file__).parent / "scripts"
_OF_PAGE = ("in_browser.js", "aside.js", "windows.js", "keeping_files.js", "framed.js", "frozen.js")
_PYTHON = "python"
_UNPACKING = "unpacking.js"
# What the kernel looks for by name before it would fetch it: all of it is in the course's archive.
_KNOWN = ("micropip", "piplite", "ssl", "ipykernel", "comm", "pyodide_kernel", "jedi", "ipython")


def build(
    to: Path,
    *,
    released: Iterable[Path] = (),
    given: Path | None = None,
    cache: Path | None = None,
    say: Callable[[str], None] = print,
) -> None:
    """Build a site in a folder, which is replaced once all is ready.

    Parameters
    ----------
    released
        The zip files of released worksheets, as they are given out.
    given
        Where Pyodide's files are, as `pyodide.take` has it.
    cache
        Where they are kept for the next time; by default in this user's own cache.

    Raises
    ------
    ValueError
        Packages that a site is built of are not installed, Pyodide's files are not to be had, the
        folder holds something else, or a file is no released worksheet.
    """
    lite.check_installed()
    _check_target(to)
    releases = {path: of_release(folders.names_of_release(path, "")[0]) for path in released}
    pinned = pyodide.edition()
    cache = cache or Path(platformdirs.user_cache_dir("cubital", appauthor=False)) / "pyodide"
    taken = pyodide.take(given, cache, say)
    to.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=to.parent, prefix=".cubital-site-") as name:
        folder = Path(name)
        for path, offer in releases.items():
            _write(folder / offer.file, path.read_bytes())
        ready = practices.made(say)
        for file, data in ready.files.items():
            _write(folder / file, data)
        of_site = {OFFERED: json.dumps(as_data([*releases.values()])).encode()}
        of_site[ready_practices.FILE] = practices.as_json(ready)
        _write_python(folder / _PYTHON, taken, pinned, of_site, say)
        memory = started.memory(_core(taken), pinned, say)
        if memory is not None:
            _write(folder / _PYTHON / archive.named("started", memory, "bin"), memory)
        for path, data in lite.application():
            _write(folder / path, data)
        for path, data in lite.extensions():
            _write(folder / path, data)
        told = _write_pages(folder / "pages") | {"practices": ready.shows}
        page = _page(folder)
        _write_start(folder, page, told)
        _write(folder / for_it.LICENCES, _licences(taken).encode())
        for_it.write(folder, libraries.LATER)
        _open_to_servers(folder)
        if to.exists():
            shutil.rmtree(to)
        shutil.copytree(folder, to)


def _check_target(to: Path) -> None:
    if to.exists() and (
        not to.is_dir() or (any(to.iterdir()) and not (to / "site.json").is_file())
    ):
        raise ValueError(f"{to} holds something else than a site: name a new folder")


def _core(taken: Iterable[pyodide.Taken]) -> dict[str, bytes]:
    """Return Python itself, each file after its name: what no package of Pyodide's brings."""
    return {one.file.name: one.data for one in taken if not one.file.package}


def _write_python(
    folder: Path,
    taken: Iterable[pyodide.Taken],
    pinned: pyodide.Edition,
    of_site: Mapping[str, bytes],
    say: Callable[[str], None],
) -> None:
    """Write Python, the compiled libraries, and one archive of all that is pure Python."""
    core = _core(taken)
    compiled = [one for one in taken if one.file.package in libraries.NAMES]
    pure = [one.data for one in taken if one.file.package not in {"", *libraries.NAMES}]
    course = archive.course_files(pure, lite.kernel_wheels())
    course |= archive.of_assets({f"site/{name}": data for name, data in of_site.items()})
    parts = {**libraries.files(taken, course, core, pinned, say), "course": course}
    every = {path: data for part in parts.values() for path, data in part.items()}
    ready = with_byte_code(every, core, pinned, say)
    packed = {name: archive.zipped(archive.of_part(ready, part)) for name, part in parts.items()}
    named = {name: archive.named(name, data, "zip") for name, data in packed.items()}
    empty = archive.zipped({})
    made = {named[name]: data for name, data in packed.items()}
    made |= dict(pyodide.packed(name, data) for name, data in core.items())
    made |= {_UNPACKING: (_SCRIPTS / _UNPACKING).read_bytes(), "nothing.zip": empty}
    for name, data in made.items():
        _write(folder / name, data)
    rows = {
        **{
            one.file.package: libraries.row(
                one.file, named[one.file.package], packed[one.file.package]
            )
            for one in compiled
        },
        **{
            name.replace("_", "-"): pyodide.package_row(name, "nothing.zip", empty)
            for name in _KNOWN
        },
        "course": pyodide.package_row("course", named["course"], packed["course"]),
    }
    lock = {"info": {**pinned.info}, "packages": rows}
    _write(folder / "pyodide-lock.json", json.dumps(lock, indent=1).encode())


def _write_pages(folder: Path) -> dict[str, Any]:
    """Write the course's pages as they are laid out for somebody new, with what their cells show,
    to be read before Python answers; return the names of those of which something is shown, and
    which libraries a page needs beside those that all have."""
    with tempfile.TemporaryDirectory() as name:
        opened = folders.lay_out(Path(name), "somebody", folders.lesson_names()[0])
        laid_out = {path.stem: path for path in pages.lay_out_all(opened.folder)}
        laid_out[pages.WELCOME] = pages.welcome_path(Path(name))
        for page, path in laid_out.items():
            _write(folder / f"{page}.ipynb", path.read_bytes())
        worksheets = {name: laid_out.pop(name) for name in folders.worksheet_names()}
        with_pictures = [n for n, path in worksheets.items() if read_release(path.parent).pictures]
        drawn = frozen.drawn(laid_out, libraries.LATER[:1])
    shown = {page: one for page, one in drawn.items() if not one.is_empty}
    for page, one in shown.items():
        _write(folder / f"{page}.frozen.json", one.file)
    needs = {page: one.imported for page, one in drawn.items() if one.imported}
    # Where pictures are rendered and compared: a session to refresh may ask any question.
    needs |= dict.fromkeys([*with_pictures, REFRESH], libraries.LATER[:1])
    return {"pages": [*shown], "needs": needs}


def _page(folder: Path) -> dict[str, str]:
    """Write the course's page as an extension; return how JupyterLab is told of it."""
    with tempfile.TemporaryDirectory() as name:
        made = make_extension(Path(name), *(_SCRIPTS / script for script in _OF_PAGE)) / PAGE_NAME
        about = json.loads((made / "package.json").read_text(encoding="utf-8"))
        shutil.copytree(made, folder / "extensions" / PAGE_NAME)
    return {"name": PAGE_NAME, **about["jupyterlab"]["_build"]}


def _write_start(folder: Path, page: dict[str, str], told: dict[str, Any]) -> None:
    """Write the page that loads all else, and what JupyterLab is told."""
    packages = [*libraries.AT_FIRST, "course", *_KNOWN]
    config = {
        "appName": "Cubital",
        "appUrl": ".",
        "exposeAppInBrowser": False,
        "defaultKernelName": "python",
        "federated_extensions": [*lite.federated(), page],
        "disabledExtensions": lite.left_out(),
        "fullLabextensionsUrl": "extensions",
        "fullStaticUrl": "build",
        "themesUrl": "build/themes",
        "licensesUrl": "",
        "litePluginSettings": {},
        "cubitalFrozen": {"edition": _edition(folder), **told},
        "cubitalPython": {
            "url": f"{_PYTHON}/{_UNPACKING}",
            "packages": packages,
            "started": next((path.name for path in (folder / _PYTHON).glob("started-*")), None),
        },
    }
    _write(folder / "site.json", json.dumps(config, indent=1).encode())
    for path in sorted(_SCRIPTS.iterdir()):
        if path.name not in {*_OF_PAGE, _UNPACKING}:
            _write(folder / path.name, path.read_bytes())
    _write(folder / "sheet.css", style("sheet.css", "site.css").encode())


def _licences(taken: Iterable[pyodide.Taken]) -> str:
    """Return the licences of all packages of a site, as far as these carry them."""
    wheels = [(one.file.package, one.data) for one in taken if one.file.name.endswith(".whl")]
    kernel = [(path.name.split("-")[0], path.read_bytes()) for path in lite.kernel_wheels()]
    installed = ("cubital", *archive.INSTALLED, *for_it.FROM_INSTALLED)
    return licences.all_texts([*wheels, *kernel], installed)


def _open_to_servers(folder: Path) -> None:
    """Let every account read a site: a web server's is another than the one that built it."""
    folder.chmod(0o755)
    for path in folder.rglob("*"):
        path.chmod(0o755 if path.is_dir() else 0o644)


def _edition(folder: Path) -> str:
    """Return what changes whenever anything does that Python shows on a page."""
    return next((folder / _PYTHON).glob("course-*.zip")).stem


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
