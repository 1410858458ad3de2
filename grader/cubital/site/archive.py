"""All Python that the browser gets beside compiled libraries, as one archive.

What is pure Python of Pyodide's own packages, of the kernel's, of the environment that the course
is installed in, and the course itself: one file to fetch and to unpack.
"""

import hashlib
import importlib.metadata
import io
import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path, PurePosixPath

from cubital.study.folders import CLEARED, cleared_worksheet, worksheet_names
from cubital.tables.files import course_folder

# Of the environment that the course is installed in; what is compiled there is left out, since
# each of these has its sources beside.
INSTALLED = (
    "anywidget",
    "comm",
    "filelock",
    "flexcache",
    "flexparser",
    "fsrs",
    "ipywidgets",
    "pint",
    "platformdirs",
    "psygnal",
    "typing-extensions",
)
_DATA_FOLDERS = ("modules", "exercises", "assets")
_LEFT_OUT = {
    "tests",
    "testsuite",
    "__pycache__",
    "labextension",
    "nbextension",
}
# What no page imports; a folder and all below it, or of a folder all but these modules.
_UNUSED = ("IPython/sphinxext/", "IPython/terminal/", "prompt_toolkit/", "wcwidth/")
_USED_OF = {
    "pygments/lexers/": ("__init__", "_mapping", "python"),
    "pygments/styles/": ("__init__", "_mapping", "default"),
    "pygments/formatters/": ("__init__", "_mapping", "html", "terminal256"),
    "IPython/testing/": ("__init__", "skipdoctest"),
}
_NOT_IN_THE_BROWSER = ("site", "marking", "educator", "demo", "records")
_NOT_GIVEN = {"docs", "answers.json", "visibility-runs.npz"}  # the last is what a fit was made of
_COMPILED = {".so", ".pyd", ".dylib"}
# What the kernel and IPython ask for by name, and the course has no use for.
_STANDS_IN = {
    "IPython/terminal/__init__.py": "",
    "IPython/terminal/embed.py": "embed = None\n",
    "IPython/terminal/pt_inputhooks/__init__.py": "backends = []\naliases = {}\n",
    "piplite/__init__.py": "",
    "piplite/piplite.py": '"""Nothing is installed in the browser."""\n',
}
_FIXED_TIME = (1980, 1, 1, 0, 0, 0)  # the same content gives the same bytes


def course_files(wheels: Iterable[bytes], kernel_wheels: Iterable[Path]) -> dict[str, bytes]:
    """Return all files of the archive by their paths in it.

    Parameters
    ----------
    wheels
        Pyodide's pure packages, the bytes of each wheel.
    kernel_wheels
        The wheels of the kernel that runs in the browser.
    """
    files: dict[str, bytes] = {}
    for data in wheels:
        files |= _of_wheel(data)
    for path in kernel_wheels:
        files |= _of_wheel(path.read_bytes())
    for name in INSTALLED:
        files |= _of_installed(name)
    files |= {name: text.encode() for name, text in _STANDS_IN.items()}
    return files | _of_course()


def _of_wheel(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as wheel:
        return {
            name: headed(name, wheel.read(name))
            for name in wheel.namelist()
            if not name.endswith("/") and _is_wanted(PurePosixPath(name))
        }


def _of_installed(name: str) -> dict[str, bytes]:
    found = importlib.metadata.distribution(name)
    return {
        str(path): headed(str(path), found.locate_file(path).read_bytes())  # type: ignore[attr-defined]
        for path in found.files or ()
        if not path.as_posix().startswith("..") and _is_wanted(PurePosixPath(path))
    }


def headed(name: str, data: bytes) -> bytes:
    """Return a file; of a package's metadata the head alone, without its long description."""
    return data.partition(b"\n\n")[0] + b"\n" if name.endswith("/METADATA") else data


def _is_wanted(path: PurePosixPath) -> bool:
    if path.suffix in _COMPILED or _LEFT_OUT & {*path.parts}:
        return False
    if path.as_posix().startswith(_UNUSED):
        return False
    for folder, modules in _USED_OF.items():
        if path.as_posix().startswith(folder):
            return path.stem in modules
    if path.parts[0].endswith(".dist-info"):
        return path.parts[1:] in {("METADATA",), ("entry_points.txt",)}
    return path.suffix in {".py", ".json", ".txt", ".js", ".css", ".typed"}


def edition() -> str:
    """Return a short sum of all of the course that a site has: another for any other edition."""
    told = hashlib.sha256()
    for path, data in sorted(_of_course().items()):
        told.update(hashlib.sha256(path.encode()).digest() + hashlib.sha256(data).digest())
    return told.hexdigest()[:12]


def _of_course() -> dict[str, bytes]:
    """Return the package without what only an educator needs, and its folders of data."""
    package = Path(__file__).parents[1]
    files = {
        f"cubital/{path.relative_to(package).as_posix()}": path.read_bytes()
        for path in sorted(package.rglob("*"))
        if path.is_file()
        and "__pycache__" not in path.parts
        and path.relative_to(package).parts[0] not in _NOT_IN_THE_BROWSER
        and path.relative_to(package).parts[0] != "course"
    }
    for name in _DATA_FOLDERS:
        folder = course_folder(name)
        files |= {
            f"cubital/course/{name}/{path.relative_to(folder).as_posix()}": path.read_bytes()
            for path in sorted(folder.rglob("*"))
            if path.is_file() and not _NOT_GIVEN & {*path.relative_to(folder).parts}
        }
    for name in worksheet_names():
        inside = f"cubital/course/exercises/{CLEARED}/{name}.ipynb"
        files[inside] = cleared_worksheet(name).encode()
    version = importlib.metadata.version("cubital")
    about = f"Metadata-Version: 2.1\nName: cubital\nVersion: {version}\n"
    files[f"cubital-{version}.dist-info/METADATA"] = about.encode()
    return files


def of_assets(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return files under the paths that they have in the archive as assets of the course."""
    return {f"cubital/course/assets/{path}": data for path, data in files.items()}


def of_part(files: Mapping[str, bytes], part: Iterable[str]) -> dict[str, bytes]:
    """Return of files, whose sources may have become byte code, those that a part has."""
    own = {*part}
    return {path: data for path, data in files.items() if {path, path.removesuffix("c")} & own}


def named(what: str, data: bytes, ending: str) -> str:
    """Return a file's name that changes with what is in it, so that no browser shows an earlier."""
    return f"{what}-{hashlib.sha256(data).hexdigest()[:16]}.{ending}"


def zipped(files: Mapping[str, bytes]) -> bytes:
    """Return files as one archive, the same for the same content."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in sorted(files):
            info = zipfile.ZipInfo(name, _FIXED_TIME)
            info.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(info, files[name])
    return buffer.getvalue()
