"""The mark of one answer: the same rule wherever it is asked for.

Nothing here runs a learner's code: a code item's results come as plain JSON data.
"""

import re
from dataclasses import replace

from cubital.handin.answers import Entry
from cubital.handin.released.pictures import Truths
from cubital.handin.released.questions import Question
from cubital.handin.results import REFUSED, ItemResult, item_result
from cubital.handin.trial import NOT_REACHED, CodeRun
from cubital.items import OnPictures, UnreadableAnswerError
from cubital.items.typed.python_cell import NOT_WRITTEN, NotWrittenError

OTHER_VALUES = (
    "This answer was given to other values than those of this learner's paper, so it does not "
    "count: it may come from another paper."
)
ANSWER_AGAIN = "Open the worksheet under your own id, answer again and hand in again."
WRITE_AGAIN = "Change the line so that it gives one number, and hand in again."
# Where Python names the file of a cell, which differs by who runs it, before the line.
_CELL_FILE = re.compile(r" \([^()\n]*, (line \d+)\)$")
DESCRIBED = "Asked in the described version."


def mark(question: Question, entry: Entry | None, truths: Truths | None = None) -> ItemResult:
    """Mark the saved answer to a question that is answered in a field.

    ``truths`` gives the truth of a picture by its name; questions on pictures need it. The mark of
    one that was asked in the described version says so.
    """
    result = _mark(question, entry, truths)
    if not question.described:
        return result
    return replace(result, described=True, message=f"{result.message} ({DESCRIBED})")


def _mark(question: Question, entry: Entry | None, truths: Truths | None) -> ItemResult:
    form, key = question.form, question.key
    if entry is None:
        return item_result(question, key.judge(form, None), None)
    if dict(entry.values) != question.values:
        refused = key.judged(REFUSED, OTHER_VALUES)
        return item_result(question, refused, entry.answer, action=ANSWER_AGAIN)
    truth = None
    if isinstance(form, OnPictures) and truths is not None:
        truth = form.truth(truths)
    judgement = key.judge(form, entry.answer, truth)
    action = ANSWER_AGAIN if judgement.outcome == REFUSED else ""
    return item_result(question, judgement, entry.answer, entry.confidence, action=action)


def mark_cell(question: Question, source: str) -> ItemResult:
    """Mark the answer that is written in a cell of the notebook: its text, which is not run."""
    form, key = question.form, question.key
    try:
        answer = form.read_cell(source)
    except NotWrittenError as error:
        return item_result(question, key.judged("blank", str(error)), None)
    except UnreadableAnswerError as error:
        refused = key.judged(REFUSED, str(error))
        return item_result(question, refused, {"typed": source}, action=WRITE_AGAIN)
    return item_result(question, key.judge(form, answer), answer)


def mark_code(question: Question, run: CodeRun | None) -> ItemResult:
    """Mark what a learner's function gave on the cases of the question's key."""
    if run is None or run.error:
        reason = _told(run.error) if run else NOT_REACHED
        outcome = "blank" if reason == NOT_WRITTEN else "wrong"
        return item_result(question, question.key.judged(outcome, reason), None)
    answer = {"results": list(run.results)}
    judgement = question.key.judge(question.form, answer)
    action = WRITE_AGAIN if judgement.outcome == REFUSED else ""
    return item_result(question, judgement, answer, action=action)


def _told(error: str) -> str:
    """Return an error of a learner's code on one line, and without its cell's file name."""
    return _CELL_FILE.sub(r" (\1)", " ".join(error.split()))
