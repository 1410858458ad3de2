"""One file never stops a cohort: each fault is its learner's state, and nobody else's."""

import json
import os
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from cubital.cli import main
from cubital.handin.results import HELD, MARKED, SYSTEM_ERROR, UNREADABLE
from cubital.marking.cohort import problems
from cubital.marking.cohort.course import Course, Learner, write_roster
from cubital.marking.marks import checker, decisions, gradebook, submissions, writer

from ...counted import computed_points
from ...recording import Recorder, Told
from ..untouched import held, written

WORKSHEET = "catheter-sizing"
NOTEBOOK = f"{WORKSHEET}.ipynb"
CODE = "own-ratio"
FULL = computed_points(WORKSHEET)  # without the text, which waits
GOOD = "good"
DEEP = b'{"a":' * 100_000 + b"1" + b"}" * 100_000
LEFT = 3  # the exit status, as the README has it
MORNING = datetime(2021, 3, 4, 8, tzinfo=UTC)


def nested(depth: int) -> Any:
    data: Any = 1
    for _ in range(depth):
        data = {"a": data}
    return data


# ------------------------------------------------------------- what is handed in, by whom


def note(text: bytes) -> Callable[[Path], None]:
    """Replace the note of a zip."""

    def change(path: Path) -> None:
        with zipfile.ZipFile(path) as archive:
            files = {name: archive.read(name) for name in archive.namelist()}
        with zipfile.ZipFile(path, "w") as archive:
            for name, data in (files | {"handin.json": text}).items():
                archive.writestr(name, data)

    return change


def first_cell(**parts: Any) -> Callable[[dict[str, Any]], None]:
    return lambda notebook: notebook["cells"][0].update(parts)


def whole(**parts: Any) -> Callable[[dict[str, Any]], None]:
    return lambda notebook: notebook.update(parts)


NOTEBOOKS = {
    "half-a-character-in-a-cell": first_cell(source="\ud800"),
    "notebook-metadata-a-list": whole(metadata=[1]),
    "cell-metadata-null": first_cell(metadata=None),
    "cell-id-a-list": first_cell(id=["x"]),
    "metadata-deep": first_cell(metadata=nested(900)),
    "outputs-a-number": lambda notebook: next(
        cell for cell in notebook["cells"] if cell["cell_type"] == "code"
    ).update(outputs=7),
    "minor-format-a-word": whole(nbformat_minor="five"),
}
FILES = {
    "version-too-large": ("release.json", b'"version": 1,', b'"version": 1e400,'),
    "half-a-character-in-a-text": ("answers.json", b'"text": "', b'"text": "\\ud800'),
}
CELLS = {
    "half-a-character-of-the-function": (
        'def ratio(**_):\n    raise ValueError("\\udcff")',
        "stopped with ValueError: �",
    ),
    "way-out-closed": ("import os\nos.closerange(3, 64)\nratio = abs", "ended Python itself"),
}
TIMES = {"after-all-time": "9999-12-31T23:59:59-23:59", "before-all-time": "0001-01-01T00:00+23:59"}
BY_HAND = ("release-a-folder", "placed-after-all-time", "odd-name-within", "a-file-for-a-folder")
OURS = ("our-fault-in-inspecting", "our-fault-in-checking", "our-fault-in-writing")

# Who -> state, words of the reason (the file among them)
STATES = {
    **dict.fromkeys(NOTEBOOKS, (UNREADABLE, NOTEBOOK)),
    **{who: (UNREADABLE, file) for who, (file, *_) in FILES.items()},
    "half-a-character-in-a-text": (UNREADABLE, "answers.json holds half a character"),
    "metadata-deep": (UNREADABLE, f"{NOTEBOOK} is nested too deeply"),
    **dict.fromkeys(TIMES, (UNREADABLE, "handin.json in it: nothing is handed in in the year")),
    "deep-note": (UNREADABLE, "handin.json in catheter-sizing_deep-note"),
    "release-a-folder": (UNREADABLE, "release.json is a folder"),
    "placed-after-all-time": (UNREADABLE, "timestamp.txt does not hold a time"),
    "odd-name-within": (UNREADABLE, r"“caf\xe9.txt” is not"),
    "a-file-for-a-folder": (UNREADABLE, f"{WORKSHEET} is a file"),
    **{who: (SYSTEM_ERROR, f"submitted/{who}/{WORKSHEET}: ZeroDivisionError") for who in OURS},
}
NOBODYS = {  # in the workspace -> state, words
    r"inbox/caf\xe9.zip": (UNREADABLE, "is not a whole zip"),
    "inbox": (problems.NO_HAND_IN, r"is not a hand-in: inbox/caf\xe9.txt, inbox/"),
    r"submitted/caf\xe9": (HELD, "is not on the roster"),
}


def hand_in(course: Course, desk: Any, tampered: Callable, home: Path) -> None:
    """Let everybody hand in by the inbox."""
    zips: dict[str, Callable[[Path], Any]] = {"deep-note": note(DEEP)}
    for who, (file, old, new) in FILES.items():
        text = (desk(course, who, home).answer().folder / file).read_bytes()
        assert old in text
        zips[who] = partial(tampered, files={file: text.replace(old, new, 1)})
    for who, at in TIMES.items():
        zips[who] = partial(tampered, at=at)
    for who, change in NOTEBOOKS.items():
        notebook = json.loads(desk(course, who, home).path.read_text())
        change(notebook)
        zips[who] = partial(tampered, files={NOTEBOOK: json.dumps(notebook).encode()})
    for who, change in zips.items():
        change(desk(course, who, home).hand_in())
    for who, (cell, _) in CELLS.items():
        desk(course, who, home).answer().write_cell(cell).hand_in()
    for who in OURS:
        desk(course, who, home).answer().hand_in()
    # A name that is not UTF-8: of a whole hand-in, of a broken one, of a letter.
    path = desk(course, "named-oddly", home).answer().hand_in()
    os.rename(path, os.fsencode(course.inbox) + b"/\xff.zip")
    Path(os.fsdecode(os.fsencode(course.inbox) + b"/caf\xe9.zip")).write_bytes(b"PK half")
    Path(os.fsdecode(os.fsencode(course.inbox) + b"/caf\xe9.txt")).write_text("hello")
    (course.inbox / "letter.html").write_text("<p>received</p>")


def place_by_hand(course: Course, desk: Any, home: Path) -> None:
    """Place folders as nbgrader's exchange would."""
    for who in BY_HAND:
        folder = course.submitted(who, WORKSHEET)
        folder.parent.mkdir(parents=True)
        os.rename(desk(course, who, home).folder, folder)
    (course.submitted("release-a-folder", WORKSHEET) / "release.json").unlink()
    (course.submitted("release-a-folder", WORKSHEET) / "release.json").mkdir()
    stamp = course.submitted("placed-after-all-time", WORKSHEET) / "timestamp.txt"
    stamp.write_text(TIMES["after-all-time"])
    odd = os.fsencode(course.submitted("odd-name-within", WORKSHEET)) + b"/caf\xe9.txt"
    Path(os.fsdecode(odd)).write_text("x")
    file = course.submitted("a-file-for-a-folder", WORKSHEET)
    file.rename(home / "moved")
    file.write_text("not a folder")
    stranger = os.fsencode(course.workspace / "submitted") + b"/caf\xe9/" + WORKSHEET.encode()
    os.makedirs(stranger)


class Cohort:
    """Good hand-ins, marked alone, and marked among one hand-in of each fault."""

    def __init__(self, copy_code_course: Any, desk: Any, tampered: Any, where: Path) -> None:
        learners = [GOOD, *NOTEBOOKS, *FILES, *CELLS, *TIMES, "deep-note", "named-oddly"]
        everybody = [*learners, *BY_HAND, *OURS]
        self.course = copy_code_course(where / "among", everybody)
        self.alone = copy_code_course(where / "alone", everybody)  # with the same papers
        write_roster(self.alone.roster_file, [Learner(GOOD, GOOD.title(), "Moss")])
        for course in (self.course, self.alone):
            at = desk(course, GOOD, where / course.workspace.name)
            at.answer({"sizing-french": "3.33 Fr"}).hand_in(MORNING)
        hand_in(self.course, desk, tampered, where / "homes")
        self.statuses = {"collect alone": self.run("collect", self.alone)}
        self.statuses["mark alone"] = self.run("mark", self.alone)
        self.statuses["collect"] = self.run("collect", self.course)
        place_by_hand(self.course, desk, where / "homes")
        but = written(self.course.workspace)
        self.before = held(where, but=but)
        self.statuses["mark"] = self.run("mark", self.course)
        self.after = held(where, but=but)
        self.results = {row.learner: row for row in gradebook.results(self.course, WORKSHEET)}

    def run(self, step: str, course: Course) -> int:
        return main(["cohort", step, WORKSHEET, "--workspace", str(course.workspace)])


def failing(function: Callable, learner: Callable[..., str], whose: str) -> Callable:
    """A fault of the program, for one learner."""

    def called(*given: Any, **more: Any) -> Any:
        if learner(*given) == whose:
            raise ZeroDivisionError
        return function(*given, **more)

    return called


@pytest.fixture(scope="module")
def cohort(
    copy_code_course: Any, desk: Any, tampered: Any, tmp_path_factory: pytest.TempPathFactory
) -> Cohort:
    where = tmp_path_factory.mktemp("one-file")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HOME", str(where))
        inspect, check, shown = submissions.inspect, checker.check, writer.shown
        patch.setattr(submissions, "inspect", failing(inspect, lambda _, who, *rest: who, OURS[0]))
        patch.setattr(checker, "check", failing(check, lambda given, *rest: given.learner, OURS[1]))
        run = decisions.run_code
        patch.setattr(  # no cell of these is asked about
            decisions,
            "run_code",
            lambda learner, *rest, **more: (
                {} if learner in {*OURS, "named-oddly"} else run(learner, *rest, **more)
            ),
        )
        patch.setattr(writer, "shown", failing(shown, lambda _, asked: asked.learner, OURS[2]))
        return Cohort(copy_code_course, desk, tampered, where)


@pytest.mark.parametrize("learner", STATES)
def test_each_fault_is_its_learners_state_with_file_reason_and_what_to_do(
    cohort: Cohort, in_gradebook: Callable, learner: str, recorder: Recorder
) -> None:
    state, words = STATES[learner]
    row = cohort.results[learner]
    seen = Told(row.state, row.points if row.items else None, f"{row.reason} {row.action}")
    recorder.saw(learner.replace("-", " "), Told(state, None), seen, most=FULL)
    assert (row.state, row.items) == (state, ()), row.reason
    assert words in row.reason
    assert row.action
    assert in_gradebook(cohort.course, learner) is None


@pytest.mark.parametrize("learner", CELLS)
def test_what_a_cell_does_to_its_run_costs_its_own_item(
    cohort: Cohort, in_gradebook: Callable, learner: str, recorder: Recorder
) -> None:
    row = cohort.results[learner]
    assert row.state == MARKED, row.reason
    (code,) = (item for item in row.items if item.item == CODE)
    does = f"a cell: {learner.replace('-', ' ')}"
    recorder.saw(does, Told("wrong", 0), Told(code.outcome, code.points, code.message), most=2)
    assert (code.outcome, code.points) == ("wrong", 0)
    assert CELLS[learner][1] in code.message
    assert row.points == FULL - code.max_points
    assert in_gradebook(cohort.course, learner)[CODE] == 0


def test_the_others_are_marked_as_if_there_were_no_faults(
    cohort: Cohort, in_gradebook: Callable, recorder: Recorder
) -> None:
    alone = {row.learner: row for row in gradebook.results(cohort.alone, WORKSHEET)}
    good = cohort.results[GOOD]
    recorder.saw(
        "an honest hand-in among all these, one answer wrong",
        Told(MARKED, FULL - 2),
        Told(good.state, good.points, good.reason or "marked"),
        most=FULL,
        honest=True,
    )
    assert cohort.results[GOOD] == alone[GOOD]
    assert cohort.results[GOOD].points == FULL - 2, "all but the French size"
    assert in_gradebook(cohort.course, GOOD) == in_gradebook(cohort.alone, GOOD)
    marked = [
        (course.autograded(GOOD, WORKSHEET) / NOTEBOOK).read_bytes()
        for course in (cohort.course, cohort.alone)
    ]
    assert marked[0] == marked[1]
    done = {row.learner for row in cohort.results.values() if row.state == MARKED}
    assert done == {GOOD, *CELLS, "named-oddly"}


def test_marking_changes_nothing_but_marks(cohort: Cohort) -> None:
    assert cohort.after == cohort.before


def test_what_is_nobodys_is_told_once_with_its_file(cohort: Cohort) -> None:
    told = {
        row.file: (row.state, row.reason)
        for row in problems.read_problems(cohort.course, WORKSHEET)
        if row.learner is None
    }
    assert told.keys() == NOBODYS.keys()
    for file, (state, words) in NOBODYS.items():
        assert told[file][0] == state
        assert words in told[file][1]


def test_a_step_that_left_a_hand_in_ends_with_a_status_of_its_own(cohort: Cohort) -> None:
    assert cohort.statuses == {
        "collect alone": 0,
        "mark alone": 0,
        "collect": LEFT,
        "mark": LEFT,
    }
