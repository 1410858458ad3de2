"""Pyodide run while a site is built, by node, where that is installed."""

import json
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from cubital.site.pyodide import Edition


def command(
    folder: Path,
    core: Mapping[str, bytes],
    pinned: Edition,
    script: str,
    *words: str,
    packages: Mapping[str, Any] | None = None,
) -> list[str] | None:
    """Return what runs a script of node's with Pyodide; None where node is not installed.

    Parameters
    ----------
    folder
        Where Pyodide and the script are laid out.
    core
        Pyodide's core files by their names, and those of packages that are to be loaded.
    words
        What the script is given after the folder that Pyodide is in.
    packages
        What Pyodide's list of packages says of these.
    """
    node = shutil.which("node") or shutil.which("nodejs")
    if node is None:
        return None
    laid_out = folder / "core"
    laid_out.mkdir()
    for name, data in core.items():
        (laid_out / name).write_bytes(data)
    lock = {"info": {**pinned.info}, "packages": {**(packages or {})}}
    (laid_out / "pyodide-lock.json").write_text(json.dumps(lock))
    (folder / "run.mjs").write_text(script)
    return [node, str(folder / "run.mjs"), str(laid_out), *words]


def run(how: list[str], fails: str) -> None:
    """Run a command.

    Raises
    ------
    RuntimeError
        It failed: ``fails`` says what that means, and the command why.
    """
    done = subprocess.run(how, check=False, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(f"{fails}:\n{_told(done.stderr)}")


def _told(errors: str) -> str:
    """Return what was said of an error, without the lines of minified code."""
    return "\n".join(line for line in errors.splitlines() if len(line) < 300)[-2000:]
