"""A file of Pyodide is taken from wherever it is, but only with the sum that its makers name."""

import hashlib
import http.server
import io
import tarfile
import threading
import zipfile
from functools import partial

import pytest

from cubital.site import pyodide

FILES = {"core.js": b"let python = 1;", "part-1.whl": b"PK part"}
OTHER = b"something else"


@pytest.fixture(autouse=True)
def small(monkeypatch):
    """An edition of two small files, and neither release nor carrier."""
    files = {
        name: pyodide.File(name, hashlib.sha256(data).hexdigest(), "MIT")
        for name, data in FILES.items()
    }
    edition = pyodide.Edition("9.9", "3.12", "http://127.0.0.1:9/", (), {}, files)
    monkeypatch.setattr(pyodide, "edition", lambda: edition)
    return edition


def folder_of(path, files):
    (path / "deep").mkdir(parents=True)
    for name, data in files.items():
        (path / "deep" / name).write_bytes(data)
    return path


def zip_of(path, files):
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in files.items():
            archive.writestr(f"some/where/{name}", data)
    return path


def tar_of(path, files):
    with tarfile.open(path, "w:gz") as archive:
        for name, data in files.items():
            info = tarfile.TarInfo(f"package/{name}")
            info.size = len(data)
            archive.addfile(info, io.BytesIO(data))
    return path


PLACES = {"folder": folder_of, "zip": zip_of, "tar": tar_of}


@pytest.mark.parametrize("make", PLACES.values(), ids=PLACES)
def test_files_are_taken_from_what_is_given_and_kept(tmp_path, make):
    given = make(tmp_path / "given", FILES)
    said = []
    taken = pyodide.take(given, tmp_path / "cache", said.append)
    assert {one.file.name: one.data for one in taken} == FILES
    assert said == [f"2 files of Pyodide 9.9 from {given}"]
    again = pyodide.take(None, tmp_path / "cache", said.append)
    assert {one.file.name: one.data for one in again} == FILES
    assert said[1] == f"2 files of Pyodide 9.9 from {tmp_path / 'cache'}"


def test_an_archive_within_a_folder_is_looked_into(tmp_path):
    (tmp_path / "given").mkdir()
    zip_of(tmp_path / "given" / "carrier.whl", FILES)
    taken = pyodide.take(tmp_path / "given", tmp_path / "cache")
    assert {one.file.name: one.data for one in taken} == FILES


@pytest.mark.parametrize("make", PLACES.values(), ids=PLACES)
def test_a_file_with_another_sum_is_never_taken(tmp_path, make):
    given = make(tmp_path / "given", FILES | {"core.js": OTHER})
    with pytest.raises(ValueError, match=r"lacks core\.js of Pyodide 9\.9; with another sum"):
        pyodide.take(given, tmp_path / "cache")
    assert not (tmp_path / "cache").exists()


def test_a_kept_file_that_was_changed_is_taken_no_more(tmp_path):
    pyodide.take(folder_of(tmp_path / "given", FILES), tmp_path / "cache")
    (tmp_path / "cache" / "core.js").write_bytes(OTHER)
    with pytest.raises(ValueError, match=r"core\.js"):
        pyodide.take(None, tmp_path / "cache")

    other = folder_of(tmp_path / "other", FILES)
    pyodide.take(other, tmp_path / "cache")
    assert (tmp_path / "cache" / "core.js").read_bytes() == FILES["core.js"]


def test_a_damaged_archive_is_as_good_as_none(tmp_path):
    given = tmp_path / "given"
    given.mkdir()
    whole = zip_of(given / "b.zip", FILES).read_bytes()
    at = whole.index(FILES["core.js"])
    (given / "a.zip").write_bytes(whole[:at] + b"?" + whole[at + 1 :])
    packed = tar_of(tmp_path / "whole.tgz", FILES).read_bytes()
    (given / "a.tgz").write_bytes(packed[: len(packed) // 2])
    taken = pyodide.take(given, tmp_path / "cache")
    assert {one.file.name: one.data for one in taken} == FILES
    for damaged in ("a.zip", "a.tgz"):
        with pytest.raises(ValueError, match=r"lacks .* of Pyodide 9\.9"):
            pyodide.take(given / damaged, tmp_path / "none")


def test_what_is_nowhere_is_named_with_what_to_do(tmp_path):
    with pytest.raises(ValueError, match=r"core\.js, part-1\.whl .* Give them by --pyodide"):
        pyodide.take(None, tmp_path / "cache")
    with pytest.raises(ValueError, match="there is no folder or archive"):
        pyodide.take(tmp_path / "none", tmp_path / "cache")


def test_files_come_from_the_release_if_nothing_is_given(tmp_path, monkeypatch, small):
    folder_of(tmp_path / "release", FILES)
    handler = partial(
        http.server.SimpleHTTPRequestHandler, directory=str(tmp_path / "release" / "deep")
    )
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        release = f"http://127.0.0.1:{server.server_port}/"
        monkeypatch.setattr(
            pyodide,
            "edition",
            lambda: small.__class__(small.version, small.python, release, (), {}, small.files),
        )
        said = []
        taken = pyodide.take(None, tmp_path / "cache", said.append)
        server.shutdown()
    assert {one.file.name: one.data for one in taken} == FILES
    assert said == [f"2 files of Pyodide 9.9 from {release}"]
