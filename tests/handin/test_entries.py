"""A folder's entries are those that `os.walk` finds, and nothing outside it."""

import contextlib
import os
import sys
from pathlib import Path

from cubital.handin.files import entries


def walked(folder: Path) -> list[str]:
    """List a folder as `os.walk` does, folders before files, each by its path from there."""
    return [
        (Path(where) / name).relative_to(folder).as_posix()
        for where, folders, files in os.walk(folder)
        for name in (*folders, *files)
    ]


def tree(folder: Path) -> Path:
    """Put files and folders within each other into a folder."""
    for name in ("b.txt", "a/c.txt", "a/d/e.txt", "f/g.txt", ".hidden"):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(name)
    (folder / "empty").mkdir()
    return folder


def test_entries_come_as_os_walk_has_them(tmp_path: Path) -> None:
    names = [name for name, _ in entries(tree(tmp_path))]
    assert len(names) == 9
    assert names == walked(tmp_path)


def test_no_link_is_followed_and_a_circle_ends(tmp_path: Path) -> None:
    outside, inside = tmp_path / "outside", tmp_path / "inside"
    outside.mkdir()
    inside.mkdir()
    tree(outside)
    (inside / "folder").symlink_to(outside)
    (inside / "circle").symlink_to(inside / "circle")
    found = dict(entries(inside))
    assert sorted(found) == sorted(walked(inside)) == ["circle", "folder"]
    assert all(entry.is_symlink() for entry in found.values())


def test_folders_may_lie_deeper_in_each_other_than_python_calls_itself(tmp_path: Path) -> None:
    deep = sys.getrecursionlimit() + 100
    with contextlib.chdir(tmp_path):
        for _ in range(deep):
            os.mkdir("d")
            os.chdir("d")
        found = sum(1 for _ in entries(tmp_path))
        for _ in range(deep):
            os.chdir("..")
            os.rmdir("d")
    assert found == deep


def test_what_is_left_out_is_left_out_with_all_in_it(tmp_path: Path) -> None:
    found = {name for name, _ in entries(tree(tmp_path), left_out=lambda name: name in {"a", "f"})}
    assert found == {"b.txt", ".hidden", "empty"}


def test_what_is_no_folder_has_no_entries(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert [*entries(tmp_path / "file")] == [*entries(tmp_path / "nowhere")] == []
