"""Run a notebook in the kernel that its page will use, so that it opens with nothing to do."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat
from jupyter_client import BlockingKernelClient
from nbformat.sign import NotebookNotary

from cubital.handin.files import write_text
from cubital.study.lab import Lab

_READY_SECONDS = 60
_CELL_SECONDS = 120
_SHOWN = {"stream", "display_data", "execute_result", "error"}


def run_notebook(
    lab: Lab,
    path: Path,
    progress: Callable[[int, int], None] | None = None,
    *,
    beside: Path | None = None,
) -> int:
    """Start a session for a notebook, run its cells, save and sign it as trusted.

    Parameters
    ----------
    beside
        A notebook that has run already, whose kernel this one shares: lessons keep nothing in it.

    Returns
    -------
    int
        How many cells stopped with an error; 0 is as it should be.
    """
    relative = _in_lab(lab, path)
    if beside is None:
        _end_session(lab, relative)
    kernel = _kernel_of(lab, beside) if beside else {"name": "python3"}
    session = lab.request(
        "POST",
        "sessions",
        {"path": relative, "name": path.name, "type": "notebook", "kernel": kernel},
    )
    connection = lab.runtime_folder / f"kernel-{session['kernel']['id']}.json"
    notebook = nbformat.read(path, as_version=4)
    client = BlockingKernelClient()
    client.load_connection_file(str(connection))
    client.start_channels(hb=False)  # a busy computer's kernel is late, not dead
    try:
        client.wait_for_ready(timeout=_READY_SECONDS)
        notebook.metadata.update(_kernel_metadata(lab, client))
        failed = _run_cells(client, notebook, progress)
    finally:
        client.stop_channels()
    write_text(path, nbformat.writes(notebook))
    with_trust(lab, notebook)
    return failed


def _kernel_metadata(lab: Lab, client: BlockingKernelClient) -> dict[str, Any]:
    """Return what the page writes into a notebook that it opens.

    Standing there already, it leaves the notebook as it is, so that nobody who leaves the page is
    asked about changes that are not theirs.
    """
    spec = lab.request("GET", "kernelspecs")["kernelspecs"]["python3"]["spec"]
    told = {"name": "python3", "display_name": spec["display_name"], "language": spec["language"]}
    language = client.kernel_info(reply=True, timeout=_READY_SECONDS)["content"]["language_info"]
    return {"kernelspec": told, "language_info": language}


def _in_lab(lab: Lab, path: Path) -> str:
    return path.resolve().relative_to(lab.root).as_posix()


def _end_session(lab: Lab, relative: str) -> None:
    """End the kernel of an earlier run: of a worksheet that was replaced, or a run that failed."""
    for row in lab.request("GET", "sessions"):
        if row["path"] == relative:
            lab.request("DELETE", f"sessions/{row['id']}")


def _kernel_of(lab: Lab, path: Path) -> dict[str, str]:
    """Return the kernel of a notebook's session, as the server's API names it."""
    sessions = {row["path"]: row["kernel"]["id"] for row in lab.request("GET", "sessions")}
    return {"id": sessions[_in_lab(lab, path)]}


def with_trust(lab: Lab, notebook: nbformat.NotebookNode) -> None:
    """Sign a notebook, so that the page shows the figures of a copy that we ran ourselves."""
    notary = NotebookNotary(data_dir=str(lab.data_folder))
    try:
        notary.sign(notebook)
    finally:
        notary.store.close()


def _run_cells(
    client: BlockingKernelClient,
    notebook: nbformat.NotebookNode,
    progress: Callable[[int, int], None] | None,
) -> int:
    cells = [cell for cell in notebook.cells if cell.cell_type == "code" and cell.source.strip()]
    failed = 0
    for number, cell in enumerate(cells, 1):
        outputs: list[nbformat.NotebookNode] = []

        def keep(message: dict, outputs: list = outputs) -> None:
            if message["msg_type"] in _SHOWN:
                outputs.append(nbformat.v4.output_from_msg(message))

        reply = client.execute_interactive(
            cell.source,
            output_hook=keep,
            allow_stdin=False,
            stop_on_error=False,
            timeout=_CELL_SECONDS,
        )
        cell.outputs = outputs
        cell.execution_count = reply["content"].get("execution_count")
        failed += reply["content"]["status"] != "ok"
        if progress:
            progress(number, len(cells))
    return failed
