"""Mutated hand-ins: none stops the marker, costs anybody else, or scores for work it lacks.

One batch holds a mutant of each class, each made from the honest hand-in of a learner of its own,
and some honest hand-ins among them. The batch is drawn from its number, so that each run makes the
same. The ordinary run has the first batch, the long one some two thousand mutants.
"""

import json
import random
import shutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from cubital.handin.results import LATE, MARKED, STATES, SYSTEM_ERROR, ItemResult, SubmissionResult
from cubital.marking.cohort import collecting, problems
from cubital.marking.cohort.course import Course
from cubital.marking.counting import looking
from cubital.marking.marks import gradebook, marker

from ...counted import computed_points
from ...recording import Recorder, Told
from ..untouched import held, written
from .mutating import of_answers, of_notebook, of_notes, of_zip
from .mutating.given import (
    ANSWERS,
    LINE,
    MUTANTS,
    NOTEBOOK,
    TIMESTAMP,
    WORKSHEET,
    HandIn,
    Items,
    last_line,
)

TOPICS = (of_answers, of_notebook, of_notes, of_zip)
NAMES = sorted(MUTANTS)
BATCHES = -(-2_000 // len(NAMES))
HONEST = [f"honest-{number}" for number in range(4)]
CHANGED = [f"learner-{number:03d}" for number in range(len(NAMES))]
MORNING = datetime(2021, 3, 4, 8, tzinfo=UTC)
RIGHT_LINE = "    return outer_diameter_mm / vein_diameter_mm"
MOST = computed_points(WORKSHEET)  # points without the text, which waits
WRONG = {"sizing-french": "50 Fr", "sizing-reasons": "It is a shadow."}


class Made:
    """Honest hand-ins of everybody, their results, and an empty course to mark mutants in."""

    def __init__(self, copy_course: Any, desk: Any, where: Path) -> None:
        self.where, self.copy_course = where, copy_course
        self.learners = [*HONEST, *CHANGED]
        course = copy_course(where / "honest", self.learners)
        self.keys = course.sealed(course.release(WORKSHEET)).rows
        self.given: dict[str, HandIn] = {}
        for learner in self.learners:
            at = desk(course, learner, where / "homes").answer(WRONG)
            path = at.hand_in(MORNING)
            self.given[learner] = HandIn.read(path, learner, at.store.paper)
            path.write_bytes(self.given[learner].zipped())
        assert collecting.collect(course, WORKSHEET, now=MORNING) == []
        self.rows = {row.learner: row for row in marker.mark(course, WORKSHEET)}
        assert {row.points for row in self.rows.values()} == {MOST - 2}, "all but the French size"
        self.alone = copy_course(where / "alone", self.learners)
        for learner in HONEST:
            hand_in(self.alone, learner, self.given[learner].zipped())
        assert collecting.collect(self.alone, WORKSHEET, now=MORNING) == []
        marker.mark(self.alone, WORKSHEET)

    def mutated(self, batch: int) -> dict[str, tuple[str, HandIn, Items]]:
        """Make a batch: by learner the class, the mutant, and the items that it says to change."""
        learners = CHANGED.copy()
        random.Random(batch).shuffle(learners)
        made = {}
        for name, learner in zip(NAMES, learners, strict=True):
            others = [one for who, one in self.given.items() if who != learner]
            given = self.given[learner].copy(others)
            items = MUTANTS[name].change(given, random.Random(f"{batch} {name}"))
            made[learner] = (name, given, items or {})
        return made


class Batch:
    """One batch of mutants, collected and marked among honest hand-ins."""

    def __init__(self, made: Made, number: int) -> None:
        where = made.where / f"batch-{number}"
        self.course = made.copy_course(where, made.learners)
        self.mutants = made.mutated(number)
        for learner in HONEST:
            hand_in(self.course, learner, made.given[learner].zipped())
        for learner, (_, given, _) in self.mutants.items():
            hand_in(self.course, learner, given.zipped())
        but = written(where)
        sent = held(made.where, but=[*but, where / "submitted"])
        collecting.collect(self.course, WORKSHEET, now=MORNING)
        for learner, (_, given, _) in self.mutants.items():
            for name, data in given.placed.items():
                (self.course.submitted(learner, WORKSHEET) / name).write_bytes(data)
        before = held(made.where, but=but)
        self.results = {row.learner: row for row in marker.mark(self.course, WORKSHEET)}
        self.changed = held(made.where, but=but).items() ^ before.items()
        sent_now = held(made.where, but=[*but, where / "submitted"])
        self.changed |= sent_now.items() ^ sent.items()
        self.told: dict[str, str] = {}
        odd = looking.to_look_at(self.course, WORKSHEET)
        for problem in (*problems.read_problems(self.course, WORKSHEET), *odd):
            for learner in self.mutants:
                if file_of(learner) in problem.file or problem.file.startswith(f"{learner}, "):
                    self.told[learner] = f"{self.told.get(learner, '')} {problem.reason}"


def file_of(learner: str) -> str:
    """The name of a learner's hand-in."""
    return f"{WORKSHEET}_{learner}_20210304-080000.zip"


def hand_in(course: Course, learner: str, whole: bytes) -> None:
    course.inbox.mkdir(exist_ok=True)
    (course.inbox / file_of(learner)).write_bytes(whole)


def as_text(row: SubmissionResult) -> str:
    """A result but for how many hand-ins it is one of: a mutant may bear another's id."""
    row = replace(row, counts="", hand_ins=0)
    return json.dumps(asdict(row), sort_keys=True, ensure_ascii=False)


def entitled(row: ItemResult, given: HandIn, key: Mapping[str, Any]) -> bool:
    """Tell, from what was sent and the sealed key alone, whether an item may have its points."""
    answers = given.data(ANSWERS) if ANSWERS in given.files else {"items": {}}
    entries = answers["items"].get(row.item, [])
    if row.item == LINE:
        line = last_line(given.data(NOTEBOOK)) or ""
        return not entries and RIGHT_LINE in line.splitlines()
    if not entries or (answers["learner"], answers.get("paper")) != (given.learner, given.paper):
        return False
    answer = entries[-1]["answer"]
    if "right" in key["key"]:
        number = answer.get("number")
        if type(number) not in {int, float}:
            return False
        return bool(abs(min(number, 1e300) - key["key"]["right"]) <= key["key"]["tolerance"])
    (right,) = (one["key"] for one in key["key"]["options"] if not one["misconception"])
    choice = answer.get("choice")
    return isinstance(choice, str) and bool(key["names"].get(choice) == right)


@pytest.fixture(scope="module")
def made(copy_course: Any, desk: Any, tmp_path_factory: pytest.TempPathFactory) -> Made:
    return Made(copy_course, desk, tmp_path_factory.mktemp("mutated"))


@pytest.fixture(
    scope="module",
    params=[0, *(pytest.param(n, marks=pytest.mark.long) for n in range(1, BATCHES))],
)
def batch(made: Made, request: pytest.FixtureRequest) -> Iterator[Batch]:
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(made.where)  # what a cell writes, it writes here
        batch = Batch(made, request.param)
    yield batch
    shutil.rmtree(batch.course.workspace)


def test_each_class_reaches_its_state_with_words_of_its_reason(batch: Batch) -> None:
    odd = {}
    for learner, (name, _, _) in batch.mutants.items():
        mutant, row = MUTANTS[name], batch.results[learner]
        told = f"{row.reason} {batch.told.get(learner, '')}"
        as_marked = (row.state == MARKED) == bool(row.items) == (not row.action)
        if row.state != mutant.state or mutant.words not in told or not as_marked:
            odd[name] = (row.state, told)
    assert odd == {}


first_batch = pytest.mark.parametrize("batch", [0], indirect=True, ids=["first"], scope="module")


@first_batch
@pytest.mark.parametrize("name", NAMES)
def test_a_mutant_has_the_points_that_it_is_entitled_to_and_no_others(
    batch: Batch, made: Made, name: str, recorder: Recorder
) -> None:
    learner = next(one for one, (what, _, _) in batch.mutants.items() if what == name)
    _, given, _ = batch.mutants[learner]
    row, keys = batch.results[learner], made.keys[given.paper]
    worth = None
    if MUTANTS[name].state == MARKED:
        worth = sum(item.max_points for item in row.items if due(item, given, keys))
    told = f"{row.reason} {batch.told.get(learner, '')} {row.action}".strip()
    refused = [item.message for item in row.items if item.outcome == "refused"]
    seen = Told(row.state, row.points if row.items else None, told or " ".join(refused) or "marked")
    recorder.saw(name.replace("-", " "), Told(MUTANTS[name].state, worth), seen, most=MOST)
    assert (row.state, row.points if row.items else None) == (MUTANTS[name].state, worth)


def due(row: ItemResult, given: HandIn, keys: Mapping[str, Any]) -> bool:
    """Tell whether an item's points are due; its text is for a person."""
    return not row.is_text and entitled(row, given, keys[row.item])


@first_batch
@pytest.mark.parametrize("learner", HONEST)
def test_an_honest_hand_in_among_mutants_has_all_its_points(
    batch: Batch, learner: str, recorder: Recorder
) -> None:
    row = batch.results[learner]
    seen = Told(row.state, row.points, row.reason or "marked")
    due = Told(MARKED, MOST - 2)
    recorder.saw(
        "an honest hand-in among mutants, one answer wrong", due, seen, most=MOST, honest=True
    )
    assert (row.state, row.points) == (MARKED, MOST - 2)


def test_only_what_was_changed_is_marked_otherwise(batch: Batch, made: Made) -> None:
    odd = {}
    for learner, (name, _, items) in batch.mutants.items():
        honest = {row.item: row for row in made.rows[learner].items}
        for row in batch.results[learner].items:
            outcomes, words = items.get(row.item, ("", ""))
            as_told = row.outcome in outcomes.split() and words in row.reason
            as_before = row.item not in items and (row == honest[row.item] or MUTANTS[name].loose)
            if not (as_told or as_before):
                odd[name, row.item] = (row, honest[row.item])
    assert odd == {}


def test_no_mutant_scores_for_work_that_it_does_not_hold(batch: Batch, made: Made) -> None:
    odd = {}
    for learner, (name, given, _) in batch.mutants.items():
        honest = {row.item: row.points for row in made.rows[learner].items}
        for row in batch.results[learner].items:
            key = made.keys[given.paper][row.item]
            if row.points and not entitled(row, given, key):
                odd[name, row.item] = row
            if (row.points or 0) > (honest[row.item] or 0) and not MUTANTS[name].loose:
                odd[name, row.item] = row
            if (row.points or 0) > 2 or row.max_points > 3:  # as the course has them
                odd[name, row.item] = row
    assert odd == {}


def test_the_honest_ones_have_what_they_have_alone_to_the_byte(
    batch: Batch, made: Made, in_gradebook: Callable
) -> None:
    alone = {row.learner: row for row in gradebook.results(made.alone, WORKSHEET)}
    for learner in HONEST:
        assert as_text(batch.results[learner]) == as_text(alone[learner])
        assert in_gradebook(batch.course, learner) == in_gradebook(made.alone, learner)
        one, other = (
            (course.autograded(learner, WORKSHEET) / NOTEBOOK).read_bytes()
            for course in (batch.course, made.alone)
        )
        assert one == other


def test_the_gradebook_has_the_same_points_and_nothing_of_who_was_not_marked(
    batch: Batch,
) -> None:
    with batch.course.gradebook() as book:
        booked = {
            sent.student.id: {grade.name: grade.auto_score for grade in sent.notebooks[0].grades}
            for sent in book.assignment_submissions(WORKSHEET)
        }
    assert booked == {
        row.learner: {item.item: item.points for item in row.items}
        for row in batch.results.values()
        if row.state == MARKED
    }


def test_marking_changes_nothing_but_marks_and_puts_back_what_counts(batch: Batch) -> None:
    """A stamp that was placed and says no time, or an earlier one, gives way to the collected."""
    placed = {
        str(batch.course.submitted(learner, WORKSHEET) / TIMESTAMP): name
        for learner, (name, given, _) in batch.mutants.items()
        if TIMESTAMP in given.placed
    }
    changed = {path for path, _ in batch.changed}
    assert changed <= placed.keys()
    assert "stamp-placed-that-is-no-time" in {placed[path] for path in changed}
    for path in changed:
        assert Path(path).read_text().startswith("2021-03-04 08:00:00")


def test_a_batch_is_the_same_each_time_and_no_two_batches_are(made: Made) -> None:
    def whole(batch: int) -> list[bytes]:
        return [given.zipped() for _, given, _ in made.mutated(batch).values()]

    first = whole(0)
    assert first == whole(0)
    assert len({*first, *whole(1)}) > 1.9 * len(first), "all but a few that leave nothing to draw"
    assert {mutant.state for mutant in MUTANTS.values()} == {*STATES} - {SYSTEM_ERROR, LATE}
    assert BATCHES * len(NAMES) >= 2_000
