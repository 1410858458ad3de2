"""JupyterLab's parts that run without a server, from the packages that carry them."""

import importlib.metadata
import importlib.resources
import json
import sys
import tarfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cubital.study.ways import left_out_of_a_page

# The extra `site`: what the parts below come from.
PACKAGES = ("jupyterlab-widgets", "jupyterlite-core", "jupyterlite-pyodide-kernel")
_EXTENSIONS = (
    "@jupyterlite/pyodide-kernel-extension",
    "@jupyter-widgets/jupyterlab-manager",
    "anywidget",
)
_KERNEL = _EXTENSIONS[0]
# The page gives its own: these ask a server for languages, and compile schemas to scripts.
_INSTEAD = ("@jupyterlab/translation-extension", "@jupyterlab/apputils-extension:settings")
_SERVICES = "@jupyterlite/services-extension"
_WHEELS = ("pyodide_kernel", "ipykernel")


def check_installed() -> None:
    """Check that the packages of the extra `site` are installed.

    Raises
    ------
    ValueError
        Some are not: it names them, and the command that installs them.
    """
    missing = [name for name in PACKAGES if not _is_installed(name)]
    if missing:
        raise ValueError(
            f"a site is built of packages that are not installed here: {', '.join(missing)}. "
            'Install them by: pip install "cubital[site]"'
        )


def _is_installed(name: str) -> bool:
    try:
        importlib.metadata.version(name)
    except importlib.metadata.PackageNotFoundError:
        return False
    return True


def application() -> Iterator[tuple[str, bytes]]:
    """Give each file of JupyterLite's application that a page may load, by its path in a site."""
    with tarfile.open(_archive()) as archive:
        for member in archive:
            name = member.name.removeprefix("package/")
            if not member.isfile() or not _is_wanted(name):
                continue
            yield name, archive.extractfile(member).read()


def _archive() -> Path:
    folder = Path(str(importlib.resources.files("jupyterlite_core")))
    return next(folder.glob("jupyterlite-app-*.tgz"))


def _of_application(name: str) -> bytes:
    with tarfile.open(_archive()) as archive:
        return archive.extractfile(name).read()  # type: ignore[union-attr] - a file


def _is_wanted(name: str) -> bool:
    if not name.startswith("build/") or name.endswith((".map", "LICENSE.txt")):
        return False
    parts = name.split("/")
    return len(parts) == 2 or parts[1] in {"lab", "themes"}


def extensions() -> Iterator[tuple[str, bytes]]:
    """Give each file of the extensions that a page loads, by its path in a site."""
    for name in _EXTENSIONS:
        folder = _extension(name)
        for path in sorted((folder / "static").rglob("*")):
            if path.is_file() and path.suffix in {".js", ".json", ".css"}:
                yield f"extensions/{name}/{path.relative_to(folder).as_posix()}", path.read_bytes()


def federated() -> list[dict[str, Any]]:
    """Return what JupyterLab is told of these extensions."""
    told = []
    for name in _EXTENSIONS:
        about = json.loads((_extension(name) / "package.json").read_text(encoding="utf-8"))
        told.append({"name": name, **about["jupyterlab"]["_build"]})
    return told


def left_out() -> list[str]:
    """Name the parts of JupyterLab that a page does without; it makes the kernel itself."""
    about = json.loads(_of_application("package/lab/package.json"))["jupyterlab"]
    parts = [*about["extensions"], *about["mimeExtensions"]]
    return [*_INSTEAD, *left_out_of_a_page(parts, needed={_SERVICES}), f"{_KERNEL}:kernel"]


def kernel_wheels() -> list[Path]:
    """Return the wheels of the kernel that runs in the browser."""
    folder = _extension(_KERNEL) / "static" / "pypi"
    return [next(folder.glob(f"{name}-*.whl")) for name in _WHEELS]


def _extension(name: str) -> Path:
    return Path(sys.prefix) / "share" / "jupyter" / "labextensions" / name
