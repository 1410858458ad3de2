"""A site carries of Python's compiled libraries what its pages use, taken from verified wheels."""

import io
import json
import zipfile
from pathlib import Path, PurePosixPath

import platformdirs
import pytest

from cubital.site import archive, building, in_node, libraries, pyodide

from .measured import loaded

SMALL = {
    "numpy": {"numpy/__init__.py": b"", "numpy/include/n.h": b"", "numpy/a.so": b"a"},
    "pillow": {"PIL/Image.py": b"", "PIL/_webp.cpython.so": b"w", "pillow.dist-info/METADATA": b""},
    "sqlite3": {"sqlite3/__init__.py": b"", "sqlite3/tests/test_a.py": b""},
    "scipy": {"scipy/one.py": b"1", "scipy/other.py": b"2", "scipy-1.dist-info/METADATA": b""},
    "openblas": {"libopenblas.so": b"o"},
}


@pytest.fixture
def taken():
    """A wheel for each library, with little in it."""
    found = []
    for name, files in SMALL.items():
        data = archive.zipped(files)
        found.append(pyodide.Taken(pyodide.File(f"{name}-1.zip", "", "MIT", name), "here", data))
    return found


def kept(taken, say=lambda _words: None):
    return libraries.files(taken, {}, {}, pyodide.edition(), say)


def test_where_node_is_missing_all_of_scipy_goes_out_and_it_is_said(taken, monkeypatch):
    monkeypatch.setattr(in_node.shutil, "which", lambda _name: None)
    said = []
    found = kept(taken, said.append)
    assert found["scipy"].keys() == SMALL["scipy"].keys()
    assert len(said) == 1
    assert "node is not installed" in said[0]


def test_with_node_scipy_has_what_is_loaded_and_no_library_what_no_page_uses(taken, monkeypatch):
    monkeypatch.setattr(libraries, "_loaded", lambda *_given: {"scipy/one.py"})
    found = {name: sorted(files) for name, files in kept(taken).items()}
    assert found == {
        "numpy": ["numpy/__init__.py", "numpy/a.so"],
        "pillow": ["PIL/Image.py", "pillow.dist-info/METADATA"],
        "sqlite3": ["sqlite3/__init__.py"],
        "scipy": ["scipy-1.dist-info/METADATA", "scipy/one.py"],
        "openblas": ["libopenblas.so"],
    }


def test_each_import_of_the_courses_own_sources_counts_wherever_it_stands():
    course = {
        "cubital/a.py": b"from scipy import fft, ndimage\ndef f():\n    import scipy.special\n",
        "cubital/b.py": b"from .scipy import c\nimport scipy_b\nfrom scipy import fft, ndimage\n",
        "pint/c.py": b"import scipy.stats\n",
        "cubital/d.txt": b"import scipy.signal\n",
    }
    found = libraries.imports(course, "scipy").splitlines()
    assert found == ["from scipy import fft, ndimage", "import scipy.special"]


def archived(site, name):
    """The files of a library as a site carries it."""
    (path,) = site.glob(f"python/{name}-*.zip")
    with zipfile.ZipFile(path) as opened:
        return {inside: opened.read(inside) for inside in opened.namelist()}


def verified(name):
    """The files of the wheel, or the archive, that has the sum of the library's makers."""
    (file,) = [one for one in pyodide.edition().files.values() if one.package == name]
    cache = Path(platformdirs.user_cache_dir("cubital", appauthor=False)) / "pyodide"
    (one,) = [one for one in pyodide.take(None, cache) if one.file == file]
    with zipfile.ZipFile(io.BytesIO(one.data)) as opened:
        return {inside: opened.read(inside) for inside in opened.namelist()}


@pytest.mark.parametrize("name", libraries.NAMES)
def test_every_compiled_part_is_the_one_of_the_verified_wheel(site_folder, name):
    ours, theirs = archived(site_folder, name), verified(name)
    sources = {path.removesuffix("c") if path.endswith(".pyc") else path for path in ours}
    assert sources <= theirs.keys()
    parts = [path for path in ours if path.endswith(".so")]
    assert parts
    assert [path for path in parts if ours[path] != theirs[path]] == []


def test_of_scipy_a_site_carries_what_its_imports_load_and_no_more(site_folder, with_all):
    course = archive._of_course()
    found = with_all(loaded.files, libraries.imports(course, "scipy"), "scipy")
    ours = archived(site_folder, "scipy")
    assert sorted(found) == sorted(path for path in ours if not path.endswith("/METADATA"))
    folders = {PurePosixPath(path).parts[1] for path in found if path.count("/") > 1}
    assert {"ndimage", "spatial", "special", "linalg"} <= folders
    assert not folders & {"stats", "signal", "interpolate", "optimize", "io", "misc", "datasets"}


def test_pages_that_need_scipy_are_given_what_it_needs(site_folder):
    lock = json.loads((site_folder / "python" / "pyodide-lock.json").read_text())["packages"]
    assert lock["scipy"]["depends"] == ["numpy", "openblas"]
    told = json.loads((site_folder / "site.json").read_text())
    assert "scipy" not in told["cubitalPython"]["packages"]
    assert building.REFRESH in told["cubitalFrozen"]["needs"]
