"""A released course to copy, and a learner's desk to answer and hand in from."""

import asyncio
import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
import zipfile
from collections.abc import Callable, Coroutine, Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from cubital import items
from cubital.handin.answers import AnswerStore
from cubital.handin.bundle import HANDIN_FILE, hand_in
from cubital.handin.released import pictures
from cubital.handin.released.own import read_own_item
from cubital.handin.released.papers import read_papers, seated, write_papers
from cubital.handin.released.questions import Question
from cubital.handin.released.release import Release, read_release, write_release
from cubital.handin.released.sealed import Sealed, folder_of, made, seed_of, write_sealed
from cubital.handin.results import MARKED, ItemResult, SubmissionResult
from cubital.items import Item

from .built import shared_site
from .recording import Recorder

WORKSHEET = "catheter-sizing"
RELEASE = "autumn-1"
RELEASED = datetime(2021, 3, 1, tzinfo=UTC)  # before the first hand-in of a test
OWN_CODE = Path(__file__).parent / "handin" / "released" / "ratio.py"
PYTHON_CELLS = {"ratio-line", "own-ratio-function"}  # the course's, and that of `OWN_CODE`
# A shell has a job in the background ignore Ctrl-C, and what it starts would ignore it too.
signal.signal(signal.SIGINT, signal.default_int_handler)
SECRET = "5e" * 32  # what the papers of the tests are drawn from

# One setting for all property tests: the same examples each run, no clock, nothing kept.
settings.register_profile("course", deadline=None, derandomize=True, database=None)
settings.load_profile("course")


@pytest.fixture(scope="session", autouse=True)
def few_trials() -> Iterator[None]:
    """Have a release render a dozen trials of a kind, however many learners there are.

    What many learners get is held by `tests/handin/released/test_allocating.py`.
    """
    with pytest.MonkeyPatch.context() as patch:
        deep_of = pictures.deep_of
        patch.setattr(pictures, "deep_of", lambda listed, counts, _: deep_of(listed, counts, 1))
        yield


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add ``--long``, and ``--cases``: where the tests of cases write what they saw."""
    parser.addoption("--long", action="store_true", help="run the tests marked long as well")
    parser.addoption(
        "--cases",
        type=Path,
        help="run the tests of cases alone and write into this file what they saw",
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave the tests marked `long` to ``.ci/long``; pytest counts them as deselected."""
    if config.getoption("--cases"):
        left = [item for item in items if "recorder" not in getattr(item, "fixturenames", ())]
    elif config.getoption("--long"):
        return
    else:
        left = [item for item in items if item.get_closest_marker("long")]
    config.hook.pytest_deselected(items=left)
    gone = set(left)
    items[:] = [item for item in items if item not in gone]


def right_answer(
    item: Item, values: Mapping[str, Any], truth: Mapping[str, Any] | None = None
) -> Any:
    """What a learner types, chooses, puts in order or marks who is right."""
    if item.needs == "person":
        return "A dark band is a shadow; measure the vein by ultrasound."
    return item.solution(values, truth)


class Desk:
    """One learner's folder with the worksheet as it was handed out."""

    WORKSHEET = WORKSHEET
    RIGHT_LINE = "return outer_diameter_mm / vein_diameter_mm"

    def __init__(self, course: Any, learner: str, home: Path) -> None:
        self.course = course
        self.learner = learner
        self.folder = home / learner / self.WORKSHEET
        if not self.folder.exists():
            with zipfile.ZipFile(course.handout(self.WORKSHEET)) as archive:
                archive.extractall(home / learner)
        self.release = read_release(self.folder)
        self.store = AnswerStore(self.folder, self.release, learner, read_papers(self.folder))
        self.path = self.folder / f"{self.WORKSHEET}.ipynb"

    def question(self, item_id: str) -> Question:
        """A question of the learner's paper with its key, as only the educator has it."""
        return self.course.sealed(self.release).question(self.store.paper, item_id)

    def values(self, item_id: str) -> dict[str, Any]:
        """The learner's own values of an item."""
        return dict(self.question(item_id).values)

    def save(self, item_id: str, typed: Any) -> Any:
        """Save an answer, with options under the item's own keys."""
        return self.store.save(item_id, self.question(item_id).as_entered(typed))

    def truth(self, item_id: str) -> dict[str, Any]:
        """The truth of the learner's own pictures of an item, as only the educator has it."""
        form = items.find(item_id).form(self.values(item_id))
        return form.truth(self.course.truths(self.release))

    def answer(self, but: Mapping[str, Any] | None = None, *, line: str = RIGHT_LINE) -> "Desk":
        """Answer every question right, but those in ``but``, and write the line of Python."""
        in_python = False
        for item in self.course.release(self.WORKSHEET).listed():
            if item.needs == "results" or item.kind == "expression":
                in_python = True
            else:
                truth = self.truth(item.id) if item.needs == "truth" else None
                right = right_answer(item, self.values(item.id), truth)
                self.save(item.id, (but or {}).get(item.id, right))
        return self.write_line(line) if in_python else self

    def write_line(self, line: str) -> "Desk":
        """Put a body into the function that is asked for."""
        body = "\n".join(f"    {part}" for part in line.splitlines())
        return self.write_cell(f"def ratio(outer_diameter_mm, vein_diameter_mm):\n{body}")

    def write_cell(self, source: str) -> "Desk":
        """Replace the whole cell that Python is written into."""

        def change(notebook: dict[str, Any]) -> None:
            (own,) = (one for one in notebook["cells"] if grade_id(one) in PYTHON_CELLS)
            own["source"] = source

        return self.edit(change)

    def edit(self, change: Callable[[dict[str, Any]], None]) -> "Desk":
        """Change the notebook as plain data."""
        notebook = json.loads(self.path.read_text(encoding="utf-8"))
        change(notebook)
        self.path.write_text(json.dumps(notebook), encoding="utf-8")
        return self

    def hand_in(self, at: datetime | None = None) -> Path:
        """Hand in to the course's inbox."""
        return hand_in(self.folder, self.learner, self.course.inbox, now=at)


def cell(notebook: dict[str, Any], grade_id: str) -> dict[str, Any]:
    """The cell of that grade_id."""
    marked = (c for c in notebook["cells"] if "nbgrader" in c["metadata"])
    return next(c for c in marked if c["metadata"]["nbgrader"].get("grade_id") == grade_id)


def grade_id(one: dict[str, Any]) -> str:
    """The grade_id of a cell; empty where it has none."""
    return one["metadata"].get("nbgrader", {}).get("grade_id", "")


def tamper(path: Path, files: Mapping[str, bytes | None] | None = None, **note: str) -> Path:
    """Change a handed-in zip with check sums that agree, as someone who knows how would."""
    with zipfile.ZipFile(path) as archive:
        content = {name: archive.read(name) for name in archive.namelist()}
    told = json.loads(content.pop(HANDIN_FILE)) | note
    content |= files or {}
    content = {name: data for name, data in content.items() if data is not None}
    told["sha256"] = {name: hashlib.sha256(data).hexdigest() for name, data in content.items()}
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in content.items():
            archive.writestr(name, data)
        archive.writestr(HANDIN_FILE, json.dumps(told))
    return path


@pytest.fixture
def recorder(request: pytest.FixtureRequest) -> Iterator[Recorder]:
    """What the test of a case records; see `recording`."""
    made = Recorder(request.node.nodeid)
    yield made
    assert made.rows, "a test that takes this fixture records what it saw"
    if request.config.getoption("--cases"):
        made.write(request.config.getoption("--cases"))


@pytest.fixture
def in_own_loop() -> Callable[[Callable[[], Coroutine[Any, Any, Any]]], Any]:
    """Run a coroutine function in a thread with a loop of its own: a browser's may run here."""

    def run(function: Callable[[], Coroutine[Any, Any, Any]]) -> Any:
        with ThreadPoolExecutor(1) as thread:
            return thread.submit(lambda: asyncio.run(function())).result()

    return run


@pytest.fixture(scope="session")
def site_folder(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """A site, built once a run; Pyodide's files come from where the command finds them."""
    return shared_site(tmp_path_factory.getbasetemp(), worker_id)


@pytest.fixture(scope="session")
def released_workspace(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workspace with the worksheet released; copy it, do not change it."""
    from cubital.marking.cohort import course, releasing  # noqa: PLC0415 - slow, and not for every test

    cohort = course.create(tmp_path_factory.mktemp("released") / "workspace")
    cohort.make_seal(WORKSHEET, SECRET)
    releasing.release(cohort, WORKSHEET, RELEASE, now=RELEASED)
    return cohort.workspace


@pytest.fixture(scope="session")
def copy_course(released_workspace: Path) -> Callable[[Path, Iterable[str]], Any]:
    """Make a released course of one's own with these learners on its roster."""
    return partial(copied, released_workspace)


def copied(released: Path, workspace: Path, learners: Iterable[str]) -> Any:
    """Copy a workspace, put these learners on its roster and give each a paper of their own."""
    from cubital.marking.cohort import course, releasing  # noqa: PLC0415

    shutil.copytree(released, workspace)
    rows = [course.Learner(name, name.title(), "Moss") for name in learners]
    course.write_roster(workspace / course.ROSTER_FILE, rows)
    cohort = course.Course(workspace)
    release = cohort.release(WORKSHEET)  # released for nobody: now they get their seats
    papers = drawn(release, (row.id for row in rows), cohort.seal(WORKSHEET))
    write_sealed(folder_of(workspace, WORKSHEET, release.name), papers)
    for folder in (cohort.source(WORKSHEET), cohort.released(WORKSHEET)):
        write_papers(folder, papers.papers)
    releasing.make_handout(cohort, WORKSHEET)
    return cohort


@pytest.fixture(scope="session")
def own_code() -> Any:
    """A function of a department's own."""
    return read_own_item(OWN_CODE).item


@pytest.fixture(scope="session")
def copy_code_course(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Any]:
    """Make a released course that asks for a function of its own, in place of the course's line."""
    from cubital.marking.cohort import course, releasing  # noqa: PLC0415

    cohort = course.create(tmp_path_factory.mktemp("code") / "workspace")
    (cohort.workspace / "items").mkdir()
    shutil.copy(OWN_CODE, cohort.workspace / "items")
    off = "[items.sizing-ratio-code]\noff = true\n"
    (cohort.workspace / "bank.toml").write_text(off, encoding="utf-8")
    cohort.make_seal(WORKSHEET, SECRET)
    releasing.release(cohort, WORKSHEET, RELEASE, now=RELEASED)
    return partial(copied, cohort.workspace)


def drawn(release: Release, learners: Iterable[str], secret: str = SECRET) -> Sealed:
    """The papers of a release with their keys, with a seat for each of these learners."""
    seating = seated(seed_of(secret, release.name, release.attempt), learners)
    return made(release, release.listed(), secret=secret, seating=seating)


@pytest.fixture(scope="session")
def given_out() -> Callable[[Path, Release], Sealed]:
    """Write a release with its papers into a learner's folder for it, and return them."""

    def write(folder: Path, release: Release) -> Sealed:
        papers = drawn(release, [folder.parent.name])
        write_release(folder, release)
        write_papers(folder, papers.papers)
        return papers

    return write


@pytest.fixture(scope="session")
def desk() -> type[Desk]:
    """The desk's class: ``desk(course, learner, home)``."""
    return Desk


@pytest.fixture(scope="session")
def tampered() -> Callable[..., Path]:
    """Change a handed-in zip; see `tamper`."""
    return tamper


@pytest.fixture(scope="session")
def moment() -> Callable[[int], datetime]:
    """A time of hand-in, by the hour of a day."""
    return lambda hour: datetime(2021, 3, 4, hour, tzinfo=UTC)


@pytest.fixture(scope="session")
def nbgrader() -> Callable[..., None]:
    """Run one of nbgrader's own commands in a workspace, as an educator would."""

    def run(workspace: Path, *command: str) -> None:
        tools = str(Path(sys.executable).parent)
        done = subprocess.run(
            [sys.executable, "-m", "nbgrader", *command],
            cwd=workspace,
            env=os.environ | {"PATH": f"{tools}{os.pathsep}{os.environ['PATH']}"},
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )
        assert done.returncode == 0, done.stderr[-3000:]

    return run


# ------------------------------------- results as a marker would write them, without a marker


@pytest.fixture
def row():
    """Make one item's result: by default right for 2 points."""

    def make(
        item,
        points=2.0,
        outcome=None,
        *,
        full=2.0,
        slip=None,
        message="",
        manual=False,
        misconception="",
        confidence=None,
    ):
        if outcome is None:
            outcome = "waiting" if points is None else "right" if points == full else "wrong"
        return ItemResult(
            item,
            outcome,
            points,
            full,
            message,
            "an answer",
            slip,
            manual,
            misconception=misconception,
            confidence=confidence,
        )

    return make


@pytest.fixture
def sheet():
    """Make one learner's marked submission."""

    def make(learner, rows, at="2026-03-02T09:30:00+00:00"):
        return SubmissionResult(
            learner, WORKSHEET, "spring", MARKED, submitted_at=at, items=tuple(rows)
        )

    return make


@pytest.fixture
def unmarked():
    """Make one learner's submission that could not be marked."""

    def make(learner, state, reason="", action=""):
        return SubmissionResult(learner, WORKSHEET, "spring", state, reason, action)

    return make


@pytest.fixture
def all_right(row):
    """All items of the worksheet right; single ones can be replaced."""

    def make(**replaced):
        rows = {
            item.id: replace(row(item.id, item.points, full=item.points), optional=item.optional)
            for item in items.WORKSHEETS[WORKSHEET]
        }
        rows |= {key.replace("_", "-"): value for key, value in replaced.items()}
        return list(rows.values())

    return make
