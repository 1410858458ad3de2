"""A cohort's workspace: one folder that is an nbgrader course, with a roster and an inbox."""

import csv
import io
import os
import shutil
import sys
import sysconfig
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from cubital import tables
from cubital.handin import pictures
from cubital.handin.files import own_folder, read_json, write_text
from cubital.handin.ids import canonical_id
from cubital.handin.release import FILE as RELEASE_FILE
from cubital.handin.release import Release, read_release

CONFIG_FILE = "nbgrader_config.py"
ROSTER_FILE = "roster.csv"
COLUMNS = ("id", "first_name", "last_name")
EXECUTION = "NBGRADER_EXECUTION"  # what nbgrader does, told to its kernels
SEAL_FORMAT = "cubital-seal/1"
_NOT_COPIED = shutil.ignore_patterns(
    "answers.json", ".answers.lock", RELEASE_FILE, ".ipynb_checkpoints", "__pycache__", "*.pyc"
)


class CourseError(ValueError):
    """What the educator asked for cannot be done; the text says why and what to do."""


@dataclass(frozen=True)
class Learner:
    """One row of the roster."""

    id: str
    first_name: str = ""
    last_name: str = ""

    @property
    def name(self) -> str:
        """First and last name, or the id where the roster has no name."""
        return f"{self.first_name} {self.last_name}".strip() or self.id


class Course:
    """The folders and files of one workspace; nothing is written outside it."""

    def __init__(self, workspace: Path) -> None:
        self.workspace = Path(workspace).resolve()
        if not (self.workspace / CONFIG_FILE).is_file():
            raise CourseError(
                f"{self.workspace} is not a cohort's workspace: it has no {CONFIG_FILE}. "
                "Make the workspace first, or name another folder."
            )

    @property
    def inbox(self) -> Path:
        """Where handed-in zips are put."""
        return self.workspace / "inbox"

    @property
    def results_folder(self) -> Path:
        """Where marking writes its results."""
        return self.workspace / "results"

    @property
    def roster_file(self) -> Path:
        """The cohort's roster."""
        return self.workspace / ROSTER_FILE

    def source(self, worksheet: str) -> Path:
        """The educator's version of a worksheet, with its solutions."""
        return self.workspace / "source" / self.known(worksheet)

    def released(self, worksheet: str) -> Path:
        """The learners' version of a worksheet."""
        return self.workspace / "release" / self.known(worksheet)

    def handout(self, worksheet: str) -> Path:
        """The zip that learners get."""
        return self.workspace / "handout" / f"{self.known(worksheet)}.zip"

    def submitted(self, learner: str, worksheet: str) -> Path:
        """A learner's submission."""
        return self.workspace / "submitted" / learner / worksheet

    def autograded(self, learner: str, worksheet: str) -> Path:
        """A learner's marked submission."""
        return self.workspace / "autograded" / learner / worksheet

    def feedback(self, learner: str, worksheet: str) -> Path:
        """A learner's feedback page."""
        return self.workspace / "feedback" / learner / worksheet / f"{worksheet}.html"

    def worksheets(self) -> list[str]:
        """Return the worksheets of this course."""
        folder = self.workspace / "source"
        return sorted(p.name for p in folder.glob("*") if (p / f"{p.name}.ipynb").is_file())

    def known(self, worksheet: str) -> str:
        """Return the worksheet's name, or raise with the names there are."""
        if worksheet not in self.worksheets():
            raise CourseError(
                f"there is no worksheet “{worksheet}” in {self.workspace}; there are: "
                f"{', '.join(self.worksheets()) or 'none'}"
            )
        return worksheet

    def release(self, worksheet: str) -> Release:
        """Return the release that learners of this course have."""
        folder = self.source(worksheet)
        if not (folder / RELEASE_FILE).is_file():
            raise CourseError(f"“{worksheet}” is not released yet: release it first")
        return read_release(folder)

    def profile(self) -> tables.Profile:
        """Return the department's figures, this workspace's own first."""
        return tables.profile(self.workspace)

    def roster(self) -> dict[str, Learner]:
        """Return the learners of the roster by id."""
        return {learner.id: learner for learner in read_roster(self.roster_file)}

    def seal(self, worksheet: str) -> str:
        """Return the secret that this course's hidden cases are drawn from."""
        path = self._seal_file(worksheet)
        if not path.is_file():
            raise CourseError(f"{path} is missing: release “{worksheet}” again to make one")
        data = read_json(path)
        if not isinstance(data, dict) or data.get("format") != SEAL_FORMAT:
            raise CourseError(f"{path} is not a seal: restore it, or delete it and release again")
        return str(data["seal"])

    def make_seal(self, worksheet: str) -> None:
        """Make the secret of a worksheet's hidden cases, once, readable by its owner only."""
        path = self._seal_file(worksheet)
        path.parent.mkdir(mode=0o700, exist_ok=True)
        if path.exists():
            return
        secret = os.urandom(32).hex()  # 32 bytes: as many as SHA-256 gives
        with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w") as file:
            file.write(f'{{"format": "{SEAL_FORMAT}", "seal": "{secret}"}}\n')

    def pool(self, release: Release) -> Path:
        """Where the pictures of a release lie with their truth."""
        return pictures.pool_folder(self.workspace, release.worksheet, release.name)

    def truths(self, release: Release) -> pictures.Truths:
        """Return the truths of a release's pictures."""
        return pictures.truths(self.pool(release))

    def _seal_file(self, worksheet: str) -> Path:
        return self.workspace / "sealed" / f"{self.known(worksheet)}.json"

    @cached_property
    def config(self) -> Any:
        """The course's nbgrader configuration."""
        from traitlets.config.loader import PyFileConfigLoader  # noqa: PLC0415 - educator's side

        before = dict(os.environ)
        try:
            return PyFileConfigLoader(CONFIG_FILE, path=str(self.workspace)).load_config()
        finally:  # what the file sets is for nbgrader's own kernels
            for key in os.environ.keys() - before.keys():
                del os.environ[key]
            os.environ.update(before)

    @contextmanager
    def gradebook(self) -> Iterator[Any]:
        """Open nbgrader's gradebook of this course."""
        from nbgrader.api import Gradebook  # noqa: PLC0415 - it takes a second to import
        from nbgrader.coursedir import CourseDirectory  # noqa: PLC0415

        where = CourseDirectory(config=self.config, root=str(self.workspace))
        with tools_found(), Gradebook(where.db_url, where.course_id) as book:
            yield book


@contextmanager
def tools_found() -> Iterator[None]:
    """Let nbgrader find the command that it numbers a new gradebook with; keep the environment.

    It asks `alembic` by name, which is not on the path of a Python that was started by its own.
    And it leaves behind what it tells its kernels, by which a field here would think it is marked.
    """
    before, execution = os.environ.get("PATH", ""), os.environ.get(EXECUTION)
    folders = (str(Path(sys.executable).parent), sysconfig.get_path("scripts"), before)
    os.environ["PATH"] = os.pathsep.join(folders)
    try:
        yield
    finally:
        os.environ["PATH"] = before
        os.environ.pop(EXECUTION, None)
        if execution is not None:
            os.environ[EXECUTION] = execution


def create(workspace: Path, roster: Path | Iterable[Learner] | None = None) -> Course:
    """Lay out a workspace from the course's exercises, and return it.

    A file that is there already stays as it is, so that a second call harms nothing; ``roster``
    is a CSV file or learners, and replaces the workspace's.
    """
    workspace = Path(workspace).resolve()
    exercises = tables.course_folder("exercises")
    if workspace.exists() and not workspace.is_dir():
        raise CourseError(f"{workspace} is a file: name a folder")
    if workspace.is_dir() and any(workspace.iterdir()) and not (workspace / CONFIG_FILE).is_file():
        raise CourseError(f"{workspace} holds other files: name a new or empty folder")
    learners = read_roster(roster) if isinstance(roster, Path) else roster
    own_folder(workspace)
    for part in ("inbox", "results", "handout", "source"):
        (workspace / part).mkdir(parents=True, exist_ok=True)
    for folder in sorted((exercises / "source").iterdir()):
        target = workspace / "source" / folder.name
        if folder.is_dir() and not target.exists():
            shutil.copytree(folder, target, ignore=_NOT_COPIED)
    if not (workspace / CONFIG_FILE).exists():
        shutil.copyfile(exercises / CONFIG_FILE, workspace / CONFIG_FILE)
    if learners is not None or not (workspace / ROSTER_FILE).exists():
        write_roster(workspace / ROSTER_FILE, learners or ())
    return Course(workspace)


def read_roster(path: Path) -> list[Learner]:
    """Read a roster with the columns id, first_name, last_name.

    Raises
    ------
    CourseError
        A column is missing, or ids are wrong or twice there; the text names every such line.
    """
    if not path.is_file():
        raise CourseError(f"there is no roster at {path}: make one with the columns {_columns()}")
    try:
        text = path.read_text(encoding="utf-8-sig")
        rows = csv.DictReader(io.StringIO(text, newline=""), strict=True)
        missing = [name for name in COLUMNS if name not in (rows.fieldnames or ())]
        if missing:
            raise CourseError(
                f"{path} lacks the columns {', '.join(missing)}: it needs {_columns()}"
            )
        numbered = [(rows.line_num, row) for row in rows]
    except (UnicodeDecodeError, csv.Error) as error:
        raise CourseError(f"{path} is not a CSV file in UTF-8: {error}") from error
    faults, learners, lines = [], [], {}
    for line, row in numbered:
        try:
            learner = canonical_id(row["id"] or "")
        except ValueError as error:
            faults.append(f"line {line}: {error}")
            continue
        if learner in lines:
            faults.append(f"lines {lines[learner]} and {line} both have the id “{learner}”")
            continue
        lines[learner] = line
        names = ((row[column] or "").strip() for column in COLUMNS[1:])
        learners.append(Learner(learner, *names))
    if faults:
        raise CourseError(f"{path} cannot be used: " + "; ".join(faults))
    return learners


def write_roster(path: Path, learners: Iterable[Learner]) -> None:
    """Write a roster."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows((row.id, row.first_name, row.last_name) for row in learners)
    write_text(path, text.getvalue())


def _columns() -> str:
    return ", ".join(COLUMNS)
