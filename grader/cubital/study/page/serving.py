"""Serving the page: its kernel starts while the browser and JupyterLab load, and has its imports.

What the page needs later, pictures of worksheets to practise, is made when nothing else is to do.
"""

import contextlib
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from queue import Empty

from jupyter_client import BlockingKernelClient

from cubital.handin.files import read_json
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.study import practice_pictures
from cubital.study.lab import Lab

_LOOK_SECONDS = 0.2
_READY_SECONDS = 60
_LARGEST = 8_000_000
_MODULE = "cubital.study.page_kernel"


def start_kernel(server: Lab) -> str:
    """Start a kernel for the page that is opened first; return its id."""
    return str(server.request("POST", "kernels", {"name": "python3", "path": ""})["id"])


@contextlib.contextmanager
def warmed(server: Lab, kernel: str, notebook: Path) -> Iterator[None]:
    """Have a kernel import what a notebook's first cell does, and wait for it only at the end."""
    client = BlockingKernelClient()
    client.load_connection_file(str(server.runtime_folder / f"kernel-{kernel}.json"))
    client.start_channels(hb=False, stdin=False, iopub=False)
    try:
        client.execute(_imports(notebook), silent=True, store_history=False)
        yield
        with contextlib.suppress(Empty):
            client.get_shell_msg(timeout=_READY_SECONDS)
    finally:
        client.stop_channels()


def _imports(notebook: Path) -> str:
    """Return the page's own module and a notebook's first cell, which is imports only."""
    try:
        cells = read_json(notebook, largest=_LARGEST)["cells"]
        first = next("".join(cell["source"]) for cell in cells if cell["cell_type"] == "code")
    except (ValueError, OSError, KeyError, TypeError, StopIteration):
        first = ""  # the page restores it when it is opened
    return f"import {_MODULE}\n{first}"


def wait(server: Lab, worksheets: Iterable[Path]) -> None:
    """Render the pictures of worksheets to practise, then stay until the server ends."""
    for folder in worksheets:
        if server.is_running() and (folder / RELEASE_FILE).is_file():
            practice_pictures.render_aside(folder, server.is_running)
    while server.is_running():
        time.sleep(_LOOK_SECONDS)
