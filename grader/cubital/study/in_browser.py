"""What the page asks of Python where both run in a browser, beside `page_kernel`.

Learners' folders lie below one that the browser stores: in memory while the page is open, copied
from the browser's store when Python starts, and into it whenever something was kept.
"""

import asyncio
import base64
import os
import random
from pathlib import Path
from typing import Any

from IPython.display import JSON

from cubital.study import locks_there, site_files  # noqa: F401 - the locks first
from cubital.study.learner import carrying

ROOT = Path("/learners")
random.seed()  # every page begins with the same memory, and this generator would go on alike
_told: list[str] = []  # why the browser stores nothing, if it does not
_begun: list[str] = []  # the site that the course was begun from


async def begin(site: str) -> None:
    """Take what the browser stores, and make the folder of all learners the working folder.

    Where the browser stores nothing, the folder is in memory alone, and `begun` says so. The
    address of the ``site`` ends in a slash.
    """
    import pyodide_js  # type: ignore[import-not-found] # noqa: PLC0415

    site_files.runs_from(site)
    files = pyodide_js.FS
    files.mkdirTree(str(ROOT))
    files.mount(files.filesystems.IDBFS, {}, str(ROOT))
    try:
        await _copied(from_store=True)
    except OSError as error:
        _told[:] = [str(error)]
    os.chdir(ROOT)
    _begun[:] = [site]


async def keep() -> None:
    """Copy what has changed into the browser's store.

    Raises
    ------
    OSError
        The browser did not take it: it says why.
    """
    if not _begun:
        raise OSError("Python was started again, and has not read yet what the browser stores")
    if _told:
        raise OSError(_told[0])
    await _copied(from_store=False)


async def _copied(*, from_store: bool) -> None:
    import pyodide_js  # type: ignore[import-not-found] # noqa: PLC0415
    from pyodide.ffi import create_once_callable  # type: ignore[import-not-found] # noqa: PLC0415

    done: asyncio.Future[None] = asyncio.get_running_loop().create_future()

    def told(error: Any = None) -> None:
        if error:
            done.set_exception(OSError(f"the browser stored nothing: {error}"))
        else:
            done.set_result(None)

    pyodide_js.FS.syncfs(from_store, create_once_callable(told))
    await done


def failed(error: Exception) -> JSON:
    """Answer why something ``failed``, in words."""
    return JSON({"failed": str(error)})


def begun() -> JSON:
    """Answer whether what is kept is ``stored`` by the browser."""
    return JSON({"stored": not _told})


def kept(page: str) -> JSON:
    """Tell whether the learner on this page has ``entered`` anything, and whether all of it is
    ``in_file``, the one they saved last."""
    folder = ROOT / page.partition("/")[0]
    return JSON({"entered": bool(carrying.entered(folder)), "in_file": carrying.is_in_file(folder)})


def my_file(page: str) -> JSON:
    """Return the ``name`` of the learner's own file, and its ``data`` in letters of base 64."""
    folder = ROOT / page.partition("/")[0]
    data = carrying.packed(folder)
    carrying.note_file(folder)
    return JSON({"name": carrying.file_name(folder.name), "data": base64.b64encode(data).decode()})


async def make_room(page: str, needs: list[str]) -> None:
    """Lay out the page that the address names, if it is one that the course has, and load the
    libraries that it needs beside those that all have."""
    import pyodide_js  # type: ignore[import-not-found] # noqa: PLC0415

    for library in needs:
        await pyodide_js.loadPackage(library)
    from cubital.study import folders  # noqa: PLC0415
    from cubital.study.learner import pages  # noqa: PLC0415

    learner, _, rest = page.partition("/")
    name = Path(rest).stem
    if not pages.welcome_path(ROOT).is_file():
        pages.lay_out_welcome(ROOT)
    if learner == pages.WELCOME or (ROOT / page).is_file():
        return
    folder = folders.learner_folder(ROOT, learner)
    if not pages.finish_path(folder).is_file():
        pages.lay_out_finish(folder)
    if name in folders.lesson_names():
        folders.lay_out_lesson(folder, name)
    elif name in folders.worksheet_names():
        folders.practise(folder, name)


def open_page(page: str, *, known: bool) -> JSON:
    """Open a page, as `page_kernel` does; tell too whether its figures are a department's."""
    from cubital.handin.released.department import FILE  # noqa: PLC0415
    from cubital.study import page_kernel  # noqa: PLC0415

    opened = page_kernel.open_page(page, known=known)
    folder = (ROOT / page).parents[1]
    return JSON(opened.data | {"department": (folder / FILE).is_file()})


def read_page(page: str) -> JSON:
    """Return the notebook of a page."""
    from cubital.handin.files import read_json  # noqa: PLC0415

    return JSON(read_json(ROOT / page, largest=8_000_000))


def predict(page: str, cell: str, words: str) -> JSON:
    """Keep a prediction, as `page_kernel` does."""
    from cubital.study import page_kernel  # noqa: PLC0415

    return page_kernel.predict(page, cell, words)


def process() -> JSON:
    """Tell which process this is, as `page_kernel` does."""
    from cubital.study import page_kernel  # noqa: PLC0415

    return page_kernel.process()
