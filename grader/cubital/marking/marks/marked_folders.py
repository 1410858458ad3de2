"""The folders of marked hand-ins, ``autograded/<learner>/<worksheet>``, as nbgrader lays them out.

In each lie the marked notebook, what was handed in beside it, and over that the files that stand
beside the worksheet's source, but for the papers of all learners, which nothing reads there:
nbgrader's own marking puts them in where it runs cells. A folder is replaced as a whole; only its
owner can read it.
"""

import fnmatch
import os
import shutil
from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path

from nbgrader.coursedir import CourseDirectory

from cubital.handin.files import OWNERS_FILE, OWNERS_FOLDER, entries, is_folder, own_folder
from cubital.handin.released.papers import FILE as PAPERS_FILE
from cubital.marking.cohort.course import Course
from cubital.scene.files.atomic import put_in_place

_PART, _OLD = "part", "old"


class MarkedFolders:
    """Writes the folders of one worksheet's marked hand-ins; what is left half written goes."""

    def __init__(self, course: Course, worksheet: str) -> None:
        self._course, self._worksheet = course, worksheet
        self._ignored = tuple(CourseDirectory(config=course.config).ignore)
        kept = course.config.Autograde.get("exclude_overwriting", {}).get(worksheet, ())
        left = {*kept, PAPERS_FILE}
        source = course.source(worksheet)
        self._source = {
            name: (source / name).read_bytes() for name in self._files(source) if name not in left
        }
        own_folder(course.workspace / "autograded")
        for suffix in (_PART, _OLD):
            for half in course.workspace.glob(f"autograded/*/.{worksheet}.{suffix}"):
                shutil.rmtree(half)

    def write(self, learner: str, submitted: Path, notebook: bytes) -> None:
        """Replace a learner's folder by the marked notebook and what was handed in beside it."""
        folder = self._course.autograded(learner, self._worksheet)
        part, old = (folder.with_name(f".{folder.name}.{end}") for end in (_PART, _OLD))
        contents = {name: (submitted / name).read_bytes() for name in self._files(submitted)}
        contents |= self._source | {f"{self._worksheet}.ipynb": notebook}
        own_folder(folder.parent)
        part.mkdir(mode=OWNERS_FOLDER)
        for name, data in contents.items():
            for outer in reversed(Path(name).parents[:-1] if "/" in name else ()):
                (part / outer).mkdir(mode=OWNERS_FOLDER, exist_ok=True)
            with open(part / name, "xb", opener=_owners) as file:
                file.write(data)
        was_there = folder.exists()
        if was_there:
            put_in_place(folder, old)
        put_in_place(part, folder)
        if was_there:
            shutil.rmtree(old, ignore_errors=True)

    def remove(self, learner: str) -> None:
        """Take a learner's folder out, as nbgrader does where its own marking failed."""
        shutil.rmtree(self._course.autograded(learner, self._worksheet), ignore_errors=True)

    def _files(self, folder: Path) -> Iterator[str]:
        """Name the files of a folder but its notebooks."""
        ignored = partial(_matches, patterns=self._ignored)
        for name, entry in entries(folder, left_out=ignored):
            if not (is_folder(entry) or _matches(entry.name, ("*.ipynb",))):
                yield name


def _owners(path: str, flags: int) -> int:
    return os.open(path, flags, OWNERS_FILE)


def _matches(name: str, patterns: Sequence[str]) -> bool:
    return any(fnmatch.fnmatch(name, pattern) for pattern in patterns)
