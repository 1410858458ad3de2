"""Byte code made ahead, so that the browser need not compile what it imports.

It is made by the very Python that runs there: by Pyodide in node, where node is installed, or by an
installed Python of the same version. Without either the sources go out, and a page takes about a
second longer to be live.
"""

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from cubital.site import in_node
from cubital.site.pyodide import Edition

_COMPILE = """\
import os, py_compile, sys
top = sys.argv[1] if len(sys.argv) > 1 else "/work"
for folder, _folders, names in os.walk(top):
    for name in names:
        if name.endswith(".py"):
            path = os.path.join(folder, name)
            shown = os.path.relpath(path, top)
            py_compile.compile(path, path + "c", dfile=shown, doraise=True, optimize=0,
                invalidation_mode=py_compile.PycInvalidationMode.UNCHECKED_HASH)
            os.remove(path)
"""
_IN_NODE = """\
import { createRequire } from "node:module";
const [, , core, work, script] = process.argv;
const { loadPyodide } = createRequire(import.meta.url)(`${core}/pyodide.js`);
const pyodide = await loadPyodide({ indexURL: `${core}/` });
pyodide.FS.mkdirTree("/work");
pyodide.FS.mount(pyodide.FS.filesystems.NODEFS, { root: work }, "/work");
pyodide.runPython(script);
"""


def with_byte_code(
    files: Mapping[str, bytes],
    core: Mapping[str, bytes],
    pinned: Edition,
    say: Callable[[str], None] = lambda _words: None,
) -> dict[str, bytes]:
    """Return files with byte code in place of sources, or as they are where none can be made.

    Parameters
    ----------
    core
        Pyodide's core files by their names.
    """
    with tempfile.TemporaryDirectory(prefix="cubital-site-") as name:
        work, script = Path(name, "work"), Path(name, "compile.py")
        script.write_text(_COMPILE)
        sources = {path: data for path, data in files.items() if path.endswith(".py")}
        for path, data in sources.items():
            (work / path).parent.mkdir(parents=True, exist_ok=True)
            (work / path).write_bytes(data)
        how = _how(Path(name), work, script, core, pinned)
        if how is None:
            say(
                f"neither node nor Python {pinned.python} is installed here: the site carries "
                "sources, and takes about a second longer to start"
            )
            return dict(files)
        in_node.run(how, "no byte code could be made")
        compiled = {
            path.relative_to(work).as_posix(): path.read_bytes() for path in work.rglob("*.pyc")
        }
    return {path: data for path, data in files.items() if path not in sources} | compiled


def _runs(python: str) -> bool:
    """Tell whether a Python is really there, and not only a manager's name for it."""
    return not subprocess.run([python, "-c", ""], check=False, capture_output=True).returncode


def _how(
    folder: Path, work: Path, script: Path, core: Mapping[str, bytes], pinned: Edition
) -> list[str] | None:
    if f"{sys.version_info.major}.{sys.version_info.minor}" == pinned.python:
        return [sys.executable, str(script), str(work)]
    python = shutil.which(f"python{pinned.python}")
    if python and _runs(python):
        return [python, str(script), str(work)]
    return in_node.command(folder, core, pinned, _IN_NODE, str(work), script.read_text())
