"""Byte code made ahead, so that the browser need not compile what it imports.

It is made by the very Python that runs there: by Pyodide in node, where node is installed, or by an
installed Python of the same version. Without either the sources go out, and a page takes about a
second longer to be live.
"""

import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

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
        done = subprocess.run(how, check=False, capture_output=True, text=True)
        if done.returncode:
            raise RuntimeError(f"no byte code could be made:\n{_told(done.stderr)}")
        compiled = {
            path.relative_to(work).as_posix(): path.read_bytes() for path in work.rglob("*.pyc")
        }
    return {path: data for path, data in files.items() if path not in sources} | compiled


def _runs(python: str) -> bool:
    """Tell whether a Python is really there, and not only a manager's name for it."""
    return not subprocess.run([python, "-c", ""], check=False, capture_output=True).returncode


def _told(errors: str) -> str:
    """Return what was said of an error, without the lines of minified code."""
    return "\n".join(line for line in errors.splitlines() if len(line) < 300)[-2000:]


def _how(
    folder: Path, work: Path, script: Path, core: Mapping[str, bytes], pinned: Edition
) -> list[str] | None:
    if f"{sys.version_info.major}.{sys.version_info.minor}" == pinned.python:
        return [sys.executable, str(script), str(work)]
    python = shutil.which(f"python{pinned.python}")
    if (
        python
        and not subprocess.run([python, "-c", ""], check=False, capture_output=True).returncode
    ):
        return [python, str(script), str(work)]
    if node := shutil.which("node"):
        (folder / "core").mkdir()
        for name, data in core.items():
            (folder / "core" / name).write_bytes(data)
        lock = {"info": {**pinned.info}, "packages": {}}
        (folder / "core" / "pyodide-lock.json").write_text(json.dumps(lock))
        (folder / "run.mjs").write_text(_IN_NODE)
        words = [str(folder / "core"), str(work), script.read_text()]
        return [node, str(folder / "run.mjs"), *words]
    return None
