"""A cohort's workspace: one folder that is an nbgrader course, with a roster and an inbox."""

import errno
import getpass
import json
import os
import shutil
import socket
import sys
import sysconfig
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from functools import cached_property
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout

from cubital import tables
from cubital.handin.files import close_folder, own_folder, read_json, write_json
from cubital.handin.released import pictures
from cubital.handin.released.bank import Bank, read_bank
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.handin.released.release import Release, read_release
from cubital.handin.released.sealed import Sealed, read_sealed, releases_of
from cubital.marking.cohort.receiving import Inbox
from cubital.marking.cohort.roster import FILE as ROSTER_FILE
from cubital.marking.cohort.roster import Learner, changes, read_roster, write_roster
from cubital.marking.errors import CourseError

CONFIG_FILE = "nbgrader_config.py"
AT_WORK_FILE = ".at-work.json"
EXECUTION = "NBGRADER_EXECUTION"  # what nbgrader does, told to its kernels
_OF_THE_DISK = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EROFS, errno.EIO}
SEAL_FORMAT = "cubital-seal/1"
# How far a step is: how many are done, of how many, and whose was the last.
Progress = Callable[[int, int, str], None]
_NOT_COPIED = shutil.ignore_patterns(
    "answers.json", ".answers.lock", RELEASE_FILE, ".ipynb_checkpoints", "__pycache__", "*.pyc"
)


class Course:
    """The folders and files of one workspace; nothing is written outside it."""

    def __init__(self, workspace: Path) -> None:
        self.workspace = Path(workspace).resolve()
        if not (self.workspace / CONFIG_FILE).is_file():
            raise CourseError(
                f"{self.workspace} is not a cohort's workspace: it has no {CONFIG_FILE}. "
                "Make the workspace first, or name another folder."
            )
        self._book: Any = None  # the gradebook, while it is open

    @property
    def inbox(self) -> Path:
        """Where handed-in zips are put."""
        return self.workspace / "inbox"

    @property
    def results_folder(self) -> Path:
        """Where it is kept what was not taken."""
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
        given_out = read_release(folder)
        return self.releases(worksheet).get(given_out.name, given_out)

    def releases(self, worksheet: str) -> dict[str, Release]:
        """Return all releases of a worksheet that were made in this workspace, by name.

        Raises
        ------
        CourseError
            What was sealed of one cannot be read.
        """
        try:
            return releases_of(self.workspace, worksheet)
        except ValueError as error:
            raise CourseError(str(error)) from error

    def sealed(self, release: Release) -> Sealed:
        """Return the papers of a release with their keys; what is missing raises ValueError."""
        return read_sealed(self.workspace, release.worksheet, release.name)

    def profile(self) -> tables.Profile:
        """Return the department's figures, this workspace's own first.

        Raises
        ------
        CourseError
            The workspace's ``local-profile.toml`` cannot be used.
        """
        try:
            return tables.profile(self.workspace)
        except ValueError as error:
            raise CourseError(str(error)) from error

    def bank(self, worksheet: str) -> Bank:
        """Return the workspace's item bank.

        Raises
        ------
        CourseError
            ``bank.toml`` or an own item cannot be used, or no item is of this worksheet.
        """
        try:
            bank = read_bank(self.workspace)
        except ValueError as error:
            raise CourseError(str(error)) from error
        if worksheet not in bank.worksheets:
            raise CourseError(f"the course has no items for “{worksheet}”")
        return bank

    def roster(self) -> dict[str, Learner]:
        """Return the learners of the roster by id."""
        return {learner.id: learner for learner in read_roster(self.roster_file)}

    def seal(self, worksheet: str) -> str:
        """Return the secret that the papers of a worksheet's releases are drawn from."""
        path = self._seal_file(worksheet)
        if not path.is_file():
            raise CourseError(f"{path} is missing: release “{worksheet}” again to make one")
        data = read_json(path)
        if not isinstance(data, dict) or data.get("format") != SEAL_FORMAT:
            raise CourseError(f"{path} is not a seal: restore it, or delete it and release again")
        return str(data["seal"])

    def make_seal(self, worksheet: str, secret: str | None = None) -> None:
        """Make the secret of a worksheet's papers, once, readable by its owner only.

        ``secret`` takes the place of a random one where nobody's marks hang on it.
        """
        path = self._seal_file(worksheet)
        path.parent.mkdir(mode=0o700, exist_ok=True)
        if path.exists():
            return
        secret = secret or os.urandom(32).hex()  # 32 bytes: as many as SHA-256 gives
        with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
            file.write(json.dumps({"format": SEAL_FORMAT, "seal": secret}).encode() + b"\n")

    def pool(self, release: Release) -> Path:
        """Where the pictures of a release lie with their truth."""
        return pictures.pool_folder(self.workspace, release.worksheet, release.name)

    def truths(self, release: Release) -> pictures.Truths:
        """Return the truths of a release's pictures."""
        return pictures.sealed_truths(self.workspace, release.worksheet, release.name)

    def described_pool(self, release: Release) -> Path:
        """Where the pictures of a release's described version lie, and their truth."""
        return pictures.described_folder(self.workspace, release.worksheet, release.name)

    def _seal_file(self, worksheet: str) -> Path:
        return self.workspace / "sealed" / f"{self.known(worksheet)}.json"

    @contextmanager
    def at_work(self, doing: str) -> Iterator[None]:
        """Let nobody else do a step in this workspace meanwhile, see `at_work`."""
        with at_work(self.workspace, doing):
            yield

    @cached_property
    def config(self) -> Any:
        """The course's nbgrader configuration."""
        from traitlets.config.loader import PyFileConfigLoader  # noqa: PLC0415 - educator's side

        before = dict(os.environ)
        try:
            return PyFileConfigLoader(CONFIG_FILE, path=str(self.workspace)).load_config()
        except Exception as error:  # whatever a file of settings does
            raise CourseError(
                f"{self.workspace / CONFIG_FILE} cannot be used: {error}. If another edition of "
                "the course made this workspace, go on in it with that edition; else put back what "
                "was changed in the file"
            ) from error
        finally:  # what the file sets is for nbgrader's own kernels
            for key in os.environ.keys() - before.keys():
                del os.environ[key]
            os.environ.update(before)

    @contextmanager
    def gradebook(self) -> Iterator[Any]:
        """Open nbgrader's gradebook of this course; who asks within that is given the same one.

        What is not committed when a use ends is taken back.

        Raises
        ------
        CourseError
            It is damaged, another program holds it, or it cannot be read or written.
        """
        from nbgrader.api import Gradebook  # noqa: PLC0415 - it takes a second to import
        from nbgrader.coursedir import CourseDirectory  # noqa: PLC0415
        from sqlalchemy import make_url  # noqa: PLC0415
        from sqlalchemy.exc import DatabaseError, OperationalError  # noqa: PLC0415

        where = CourseDirectory(config=self.config, root=str(self.workspace))
        try:
            if self._book is not None:
                try:
                    yield self._book
                finally:
                    self._book.db.remove()
                return
            with tools_found(), Gradebook(where.db_url, where.course_id) as book:
                self._book = book
                try:
                    yield book
                finally:
                    self._book = None
        except DatabaseError as error:
            if type(error) not in {DatabaseError, OperationalError}:  # a fault in what was asked
                raise
            raise CourseError(
                f"the gradebook {make_url(where.db_url)} cannot be used: {error.orig}. If another "
                "program is at work with it, let that end and try again; if the disk is full, make "
                "room; if it is damaged, put a copy back in its place"
            ) from error


@contextmanager
def at_work(workspace: Path, doing: str) -> Iterator[None]:
    """Let nobody else lay out, collect, release, mark, hand back or report there meanwhile.

    The lock is the system's and ends with the process that has it, however that ends. In a folder
    that is no workspace yet nobody can be at work.

    Raises
    ------
    CourseError
        Somebody is at work here; the text says who, where, and at what. Or the disk is full, or
        takes nothing.
    """
    if not (workspace / CONFIG_FILE).is_file():
        yield
        return
    note = workspace / AT_WORK_FILE
    lock = FileLock(workspace / ".at-work.lock", timeout=0)
    try:
        lock.acquire()
    except Timeout as error:
        raise CourseError(
            f"{_told(note)} in {workspace}: wait until that is done, and try again"
        ) from error
    try:
        write_json(note, _who(doing))
        yield
    except OSError as error:
        if error.errno not in _OF_THE_DISK:
            raise
        raise CourseError(
            f"{workspace} cannot be written: {error.strerror}: see that the disk has "
            "room and can be written, and do this again; what was kept by then stays"
        ) from error
    finally:
        with suppress(PermissionError):  # on Windows, while somebody reads it: the lock decides
            note.unlink(missing_ok=True)
        lock.release()


def _who(doing: str) -> dict[str, Any]:
    since = datetime.now(UTC).isoformat(timespec="seconds")
    try:
        user = getpass.getuser()
    except (OSError, KeyError, ImportError):  # an account without a name; Windows has no `pwd`
        user = "somebody"
    return {
        "doing": doing,
        "user": user,
        "host": socket.gethostname(),
        "pid": os.getpid(),
        "since": since,
    }


def _told(note: Path) -> str:
    try:
        who = read_json(note)
        return (
            f"{who['user']} is {who['doing']} since {who['since']} (process {who['pid']} on "
            f"{who['host']})"
        )
    except (OSError, ValueError, KeyError, TypeError):  # just begun, or just done
        return "somebody else is at work"


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


def create(
    workspace: Path,
    roster: Path | Iterable[Learner] | None = None,
    *,
    replace_roster: bool = False,
) -> Course:
    """Lay out a workspace from the course's exercises, and return it.

    A file that is there already stays as it is, so that a second call harms nothing; ``roster``
    is a CSV file or learners. Another roster than the workspace's takes its place only by
    ``replace_roster``, and the earlier one is kept beside it.

    Raises
    ------
    CourseError
        The folder or the roster cannot be used, or the roster would be replaced: the text says
        who would be added, removed and renamed.
    """
    workspace = Path(workspace).resolve()
    exercises = tables.course_folder("exercises")
    if workspace.exists() and not workspace.is_dir():
        raise CourseError(f"{workspace} is a file: name a folder")
    if workspace.is_dir() and any(workspace.iterdir()) and not (workspace / CONFIG_FILE).is_file():
        raise CourseError(f"{workspace} holds other files: name a new or empty folder")
    learners = read_roster(roster) if isinstance(roster, Path) else roster
    learners = None if learners is None else list(learners)
    with at_work(workspace, "laying out the folder"):
        return _laid_out(workspace, exercises, learners, replace_roster=replace_roster)


def _laid_out(
    workspace: Path, exercises: Path, learners: list[Learner] | None, *, replace_roster: bool
) -> Course:
    if learners is not None and not replace_roster:
        _check_roster(workspace, learners)
    own_folder(workspace)
    for part in ("inbox", "results", "handout", "source"):
        (workspace / part).mkdir(parents=True, exist_ok=True)
    for folder in sorted((exercises / "source").iterdir()):
        target = workspace / "source" / folder.name
        if folder.is_dir() and not target.exists():
            shutil.copytree(folder, target, ignore=_NOT_COPIED)
    if not (workspace / CONFIG_FILE).exists():
        shutil.copyfile(exercises / CONFIG_FILE, workspace / CONFIG_FILE)
    close_folder(workspace / "source")
    _put_roster(workspace / ROSTER_FILE, learners)
    return Course(workspace)


def _check_roster(workspace: Path, learners: list[Learner]) -> None:
    path = workspace / ROSTER_FILE
    if not path.is_file():
        return
    before = {row.id: row for row in read_roster(path)}
    changed = changes(before, {row.id: row for row in learners})
    if before and changed:
        handed_in = {folder.name for folder in (workspace / "submitted").glob("*")}
        waiting = Inbox().read(workspace / "inbox").received
        handed_in |= {row.bundle.learner for row in waiting if row.bundle}
        raise CourseError(
            f"{path} is another roster already, and stays as it is. The new one would change:\n"
            f"{changed.in_words(handed_in)}\n"
            "If that is meant, say --replace-roster. Nobody's hand-in or mark is deleted by it."
        )


def _put_roster(path: Path, learners: list[Learner] | None) -> None:
    """Write a roster if it differs; an earlier one with learners is kept beside it."""
    if path.is_file():
        before = _readable(path)
        if learners is None or before == learners:
            return
        if before != []:
            number = 1
            while (kept := path.with_name(f"roster-before-{number}.csv")).exists():
                number += 1
            shutil.copy2(path, kept)
    write_roster(path, learners or ())


def _readable(path: Path) -> list[Learner] | None:
    try:
        return read_roster(path)
    except CourseError:  # what cannot be read is replaced only by who asked for it
        return None
