"""Write what marking decided: marks into nbgrader's gradebook, marked notebooks, and results.

Hand-ins are written two hundred at a time: first their marked notebooks, then their rows of the
gradebook in one transaction, then their results. Whatever is cut off there, marking again ends
with the same.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from cubital.handin.files import printable
from cubital.handin.released.release import Release
from cubital.handin.results import MARKED, SubmissionResult
from cubital.marking.cohort.course import Course, Progress
from cubital.marking.errors import CourseError
from cubital.marking.feedback.showing import Asked, shown
from cubital.marking.marks import booking, checker, gradebook, hand_marks, marked_notebook
from cubital.marking.marks.attempts import Attempt
from cubital.marking.marks.decisions import Decided
from cubital.marking.marks.inspecting import Inspection, Submission
from cubital.marking.marks.marked_folders import MarkedFolders
from cubital.marking.marks.store import Store

_AT_ONCE = 200  # hand-ins: their notebooks are held in memory


def write_unmarked(course: Course, release: Release, found: Mapping[str, Inspection]) -> None:
    """Write the results of who handed in and is not marked, and why.

    Of who is on the roster and has handed in nothing any more, no attempt counts.
    """
    unmarked = {who: seen for who, seen in found.items() if seen.submission is None}
    booked = gradebook.marked(course, release.worksheet) if unmarked else set()
    store = Store(course.workspace)
    store.count_none(release.worksheet, course.roster().keys() - found.keys())
    store.put(
        [
            (
                attempt(learner, release, seen),
                _not_marked(learner, release, seen, earlier=learner in booked),
            )
            for learner, seen in unmarked.items()
        ]
    )


def attempt(learner: str, release: Release, seen: Inspection) -> Attempt:
    """Return the attempt that an inspected hand-in is."""
    answered = seen.submission.release if seen.submission is not None else None
    return Attempt(
        release.worksheet,
        learner,
        answered.name if answered else "",
        seen.submitted_at,
        seen.sha256,
        answered.attempt if answered else None,
    )


def _not_marked(
    learner: str, release: Release, seen: Inspection, *, earlier: bool
) -> SubmissionResult:
    """Return a result without marks; those of an earlier marking stay in the gradebook."""
    kept = gradebook.EARLIER_STAY if earlier else ""
    return SubmissionResult(
        learner=learner,
        worksheet=release.worksheet,
        release=release.name,
        state=seen.state,
        reason=printable(seen.reason),
        action=seen.action + kept,
        submitted_at=seen.submitted_at,
    )


@dataclass(frozen=True)
class _Prepared:
    """A hand-in whose marks are decided, and what is to be written of it."""

    learner: str
    submitted: Path
    notebook: bytes
    booked: booking.HandIn


class Writer:
    """Writes the marks of one worksheet; what fails in that is its learner's state alone."""

    def __init__(
        self,
        course: Course,
        release: Release,
        found: Mapping[str, Inspection],
        progress: Progress | None = None,
    ) -> None:
        self._course, self._release = course, release
        self._found, self._progress = found, progress
        self._ready = sum(seen.submission is not None for seen in found.values())
        self._done = 0
        self._roster = course.roster()
        self._folders = MarkedFolders(course, release.worksheet)
        self._store = Store(course.workspace)

    def write(self, decided: Sequence[Decided]) -> None:
        """Write what was decided of hand-ins; progress is told for each when it is written.

        Raises
        ------
        CourseError
            The store of results cannot be used.
        """
        for start in range(0, len(decided), _AT_ONCE):
            written = self._written(decided[start : start + _AT_ONCE])
            self._keep(
                [
                    (attempt(row.learner, self._release, self._found[row.learner]), row)
                    for row in written
                ]
            )
            for row in written:
                self._done += 1
                if self._progress is not None:
                    self._progress(self._done, self._ready, row.learner)

    def _written(self, decided: Sequence[Decided]) -> list[SubmissionResult]:
        """Write notebooks and gradebook, and return the results with what failed in that."""
        prepared: dict[str, _Prepared] = {}
        failed: dict[str, Exception] = {}
        results = [row.result for row in decided]
        for row in decided:
            submission = self._found[row.result.learner].submission
            if submission is not None and row.result.state == MARKED:
                try:
                    prepared[submission.learner] = self._prepared(submission, row)
                except Exception as error:
                    failed[submission.learner] = error
        for step in (self._ask_again, self._write_folders, self._enter):
            failed |= _tried(step, [row for row in prepared.values() if row.learner not in failed])
        return [
            self._failed(row, failed[row.learner]) if row.learner in failed else row
            for row in results
        ]

    def _failed(self, row: SubmissionResult, error: Exception) -> SubmissionResult:
        release = replace(self._release, name=row.release)
        return checker.system_error(row.learner, release, error, row.submitted_at)

    def _keep(self, rows: Sequence[tuple[Attempt, SubmissionResult]]) -> None:
        """Keep results together, and if that fails each alone, with its fault for its marks."""
        try:
            self._store.put(rows)
        except CourseError:
            raise
        except Exception as error:
            if len(rows) > 1:
                for row in rows:
                    self._keep([row])
                return
            ((seen, result),) = rows
            self._store.put([(seen, self._failed(result, error))])

    def _prepared(self, submission: Submission, decided: Decided) -> _Prepared:
        learner, worksheet = submission.learner, self._release.worksheet
        notebook = decided.notebook
        rows = {row.item: row for row in decided.result.items}
        asked = Asked(submission.release, learner, decided.asked)
        seen = shown(self._course.workspace, asked)
        displays = {
            row.item: marked_notebook.outputs(decided.asked[row.item][0], row, seen.get(row.item))
            for row in decided.result.items
        }
        marked = marked_notebook.marked(notebook, rows, displays)
        named = self._roster[learner]
        return _Prepared(
            learner=learner,
            submitted=submission.folder,
            notebook=json.dumps(marked, ensure_ascii=False, allow_nan=False).encode(),
            booked=booking.HandIn(
                learner=learner,
                first_name=named.first_name,
                last_name=named.last_name,
                handed_in=submission.handed_in,
                scores=marked_notebook.scores(notebook, rows),
                unanswered=marked_notebook.unanswered(notebook),
                asks=hand_marks.asking(
                    self._course, worksheet, learner, notebook, submission.answers
                ),
            ),
        )

    def _ask_again(self, prepared: Sequence[_Prepared]) -> None:
        learners = [row.learner for row in prepared]
        hand_marks.ask_again(self._course, self._release.worksheet, learners)

    def _write_folders(self, prepared: Sequence[_Prepared]) -> None:
        for row in prepared:
            self._folders.write(row.learner, row.submitted, row.notebook)

    def _enter(self, prepared: Sequence[_Prepared]) -> None:
        try:
            booking.enter(self._course, self._release.worksheet, [row.booked for row in prepared])
        except Exception:
            for row in prepared:  # as nbgrader does: no marked notebook without its marks
                self._folders.remove(row.learner)
            raise


def _tried(
    step: Callable[[Sequence[_Prepared]], None], prepared: Sequence[_Prepared]
) -> dict[str, Exception]:
    """Take a step for hand-ins together, and if it fails for each alone; return whose failed.

    Where the gradebook itself cannot be used it fails for all.
    """
    try:
        step(prepared)
    except Exception as error:
        if len(prepared) <= 1 or isinstance(error, CourseError):
            return {row.learner: error for row in prepared}
        return {who: error for row in prepared for who, error in _tried(step, [row]).items()}
    return {}
