"""Python's compiled libraries, packed anew: of each only what a page can use.

Every file is one of a wheel that was taken by its makers' sum. Of scipy a page gets what is loaded
when all is imported that the course asks of it: this is tried in node by the very Python and wheels
that go out. Without node all of scipy goes out, and pages that use it load about 8 MB more.
"""

import ast
import io
import json
import tempfile
import zipfile
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from cubital.site import in_node
from cubital.site.archive import headed
from cubital.site.pyodide import Edition, File, Taken, package_row

AT_FIRST = ("numpy", "pillow", "sqlite3")
LATER = ("scipy", "openblas")
NAMES = (*AT_FIRST, *LATER)
_TRIED = "scipy"
_NEEDED_BY: Mapping[str, tuple[str, ...]] = {"scipy": ("numpy", "openblas")}
_ENDINGS = {".py", ".so", ".npz"}
_UNUSED = (
    "PIL/_imagingft.",  # fonts
    "PIL/_imagingtk.",
    "PIL/_webp.",
    "numpy/_pyinstaller/",
    "numpy/linalg/lapack_lite.",
)
_IN_NODE = """\
import { createRequire } from "node:module";
import fs from "node:fs";
const [, , core, to, library, imports] = process.argv;
const { loadPyodide } = createRequire(import.meta.url)(`${core}/pyodide.js`);
const python = await loadPyodide({ indexURL: `${core}/`, packages: [library] });
python.runPython(imports);
fs.writeFileSync(to, python.runPython(`
import json, sys
files = [getattr(module, "__file__", None) for module in [*sys.modules.values()]]
json.dumps([path.partition("/site-packages/")[2] for path in files if path])
`));
"""


def files(
    taken: Iterable[Taken],
    course: Mapping[str, bytes],
    core: Mapping[str, bytes],
    pinned: Edition,
    say: Callable[[str], None] = lambda _words: None,
) -> dict[str, dict[str, bytes]]:
    """Return the files of each compiled library that goes out, by its name.

    Parameters
    ----------
    course
        The files of the course's archive, with their sources.
    core
        Pyodide's core files by their names.
    """
    wheels = {one.file.package: one for one in taken}
    found = {name: _of_wheel(wheels[name].data) for name in NAMES}
    loaded = _loaded([wheels[name] for name in NAMES], course, core, pinned)
    if loaded is None:
        say("node is not installed here: pages that use scipy load all of it, about 8 MB more")
    else:
        found[_TRIED] = {
            path: data
            for path, data in found[_TRIED].items()
            if path in loaded or path.endswith("/METADATA")
        }
    return found


def row(file: File, name: str, data: bytes) -> dict[str, Any]:
    """Return what Pyodide's list of packages says of a library.

    Parameters
    ----------
    name, data
        The file that it goes out in.
    """
    return {
        **package_row(file.package, name, data),
        "install_dir": file.install_dir,
        "package_type": file.package_type,
        "depends": [*_NEEDED_BY.get(file.package, ())],
    }


def imports(course: Mapping[str, bytes], library: str) -> str:
    """Return all that the course's own sources import of a library, as lines of Python."""
    found = {
        ast.unparse(node)
        for path, data in course.items()
        if path.startswith("cubital/") and path.endswith(".py")
        for node in ast.walk(ast.parse(data))
        if isinstance(node, ast.Import | ast.ImportFrom) and _is_of(node, library)
    }
    return "\n".join(sorted(found))


def _is_of(node: ast.Import | ast.ImportFrom, library: str) -> bool:
    if isinstance(node, ast.ImportFrom):
        named = [node.module or ""] if node.level == 0 else []
    else:
        named = [one.name for one in node.names]
    return any(name.split(".")[0] == library for name in named)


def _of_wheel(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as wheel:
        return {
            name: headed(name, wheel.read(name))
            for name in wheel.namelist()
            if _is_wanted(PurePosixPath(name))
        }


def _is_wanted(path: PurePosixPath) -> bool:
    if path.as_posix().startswith(_UNUSED) or "tests" in path.parts:
        return False
    return path.suffix in _ENDINGS or path.name == "METADATA"


def _loaded(
    taken: Iterable[Taken], course: Mapping[str, bytes], core: Mapping[str, bytes], pinned: Edition
) -> set[str] | None:
    """Return the files that are loaded by what the course imports; None where node is missing."""
    listed = {one.file.package: row(one.file, one.file.name, one.data) for one in taken}
    laid_out = {**core, **{one.file.name: one.data for one in taken}}
    with tempfile.TemporaryDirectory(prefix="cubital-site-") as name:
        to = Path(name, "loaded.json")
        words = (str(to), _TRIED, imports(course, _TRIED))
        how = in_node.command(Path(name), laid_out, pinned, _IN_NODE, *words, packages=listed)
        if how is None:
            return None
        in_node.run(how, f"what the course uses of {_TRIED} could not be found out")
        return {*json.loads(to.read_text())}
