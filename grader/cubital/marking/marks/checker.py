"""Decide the marks of one submission; nothing here runs or imports what a learner wrote."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from cubital.handin.cells import written_code
from cubital.handin.files import printable
from cubital.handin.marks import mark, mark_cell, mark_code
from cubital.handin.released.pictures import Truths
from cubital.handin.released.questions import Question
from cubital.handin.released.release import Release
from cubital.handin.released.sealed import AllAsked, Sealed
from cubital.handin.results import MARKED, SYSTEM_ERROR, ItemResult, SubmissionResult, item_result
from cubital.handin.trial import CodeRun
from cubital.items.kinds.code import CodeKey
from cubital.marking import notebooks
from cubital.marking.marks.inspecting import Submission

_LONGEST_WORDS = 5000  # longer than any text that an answer field takes
REPORT_IT = (
    "No mark was given. Mark the worksheet again; if it stays, report the reason with the course's "
    "version."
)


@dataclass(frozen=True)
class Basis:
    """What marks are decided by, beside what was handed in.

    Attributes
    ----------
    release
        The release that was answered.
    sealed
        Its papers with their keys.
    released
        Its notebook, as learners got it.
    truths
        The truths of its pictures.
    """

    release: Release
    sealed: Sealed
    released: notebooks.Notebook
    truths: Truths


def check(
    submission: Submission,
    notebook: notebooks.Notebook,
    runs: Mapping[str, CodeRun],
    basis: Basis,
    asked: AllAsked,
) -> SubmissionResult:
    """Mark each item of a submission; see `item_results`."""
    rows = item_results(asked, notebook, runs, basis)
    return SubmissionResult(
        learner=submission.learner,
        worksheet=basis.release.worksheet,
        release=basis.release.name,
        state=MARKED,
        submitted_at=submission.submitted_at,
        items=tuple(rows),
    )


def item_results(
    asked: AllAsked,
    notebook: notebooks.Notebook,
    runs: Mapping[str, CodeRun],
    basis: Basis,
) -> list[ItemResult]:
    """Mark each item.

    Parameters
    ----------
    asked
        The questions as the learner was asked them, with the answers that count.
    notebook
        The submission's notebook, mended.
    runs
        What each code item's function gave, as plain data.
    basis
        What the marks are decided by.
    """
    rows = []
    for item_id, (question, entry) in asked.items():
        if question.key.needs == "results":
            row = mark_code(question, runs.get(item_id))
        else:
            row = mark(question, entry, basis.truths)
            if question.form.by_hand and entry is None:
                row = _written_in_cell(row, question, notebook, basis.released)
            if question.form.in_cell and entry is None:
                source = written_code(notebook, item_id)
                row = row if source is None else mark_cell(question, source)
        rows.append(replace(row, answer=row.answer[:_LONGEST_WORDS]))
    return rows


def cases_of(asked: AllAsked) -> dict[str, list[dict[str, float]]]:
    """Return the inputs that a learner's functions are tried on, by item."""
    keys = {item_id: question.key for item_id, (question, _) in asked.items()}
    return {item_id: key.inputs() for item_id, key in keys.items() if isinstance(key, CodeKey)}


def system_error(
    learner: str, release: Release, error: BaseException, submitted_at: str = ""
) -> SubmissionResult:
    """Return the result of a submission whose marking failed for no reason of its own."""
    where = f"submitted/{learner}/{release.worksheet}"
    return SubmissionResult(
        learner=learner,
        worksheet=release.worksheet,
        release=release.name,
        state=SYSTEM_ERROR,
        reason=printable(f"{where}: {type(error).__name__}: {error}"),
        action=REPORT_IT,
        submitted_at=submitted_at,
    )


def _written_in_cell(
    row: ItemResult, question: Question, notebook: notebooks.Notebook, released: notebooks.Notebook
) -> ItemResult:
    """Let a text that stands in the page's cell, and was not saved in its field, be read too."""
    text, stub = (_text(book, row.item) for book in (notebook, released))
    if text.strip() in {"", stub.strip()}:
        return row
    waiting = question.key.judge(question.form, {"text": text})
    return item_result(question, waiting, {"text": text})


def _text(notebook: notebooks.Notebook, grade_id: str) -> str:
    holder = notebooks.answer_cells(notebook).get(grade_id)
    return notebooks.source_text(holder) if holder else ""
