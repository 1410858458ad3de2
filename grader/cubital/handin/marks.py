"""The mark of one answer: the same rule wherever it is asked for.

Nothing here runs a learner's code: a code item's results come as plain JSON data.
"""

import re
from dataclasses import replace

from cubital.handin.answers import Entry
from cubital.handin.pictures import Truths
from cubital.handin.release import Release
from cubital.handin.results import REFUSED, ItemResult, item_result
from cubital.handin.trial import NOT_REACHED, NOT_WRITTEN, CodeRun
from cubital.items import CodeItem, Item, PictureItem

OTHER_VALUES = "This answer was given to other values than this learner's, so it may be a copy."
ANSWER_AGAIN = "Open the worksheet under your own id, answer again and hand in again."
WRITE_AGAIN = "Change the line so that it gives one number, and hand in again."
# Where Python names the file of a cell, which differs by who runs it, before the line.
_CELL_FILE = re.compile(r" \([^()\n]*, (line \d+)\)$")
DESCRIBED = "Asked in the described version."


def mark(
    release: Release,
    item: Item,
    learner: str,
    entry: Entry | None,
    truths: Truths | None = None,
) -> ItemResult:
    """Mark the saved answer to a question that is answered in a field.

    ``truths`` gives the truth of a picture by its name; items on pictures need it. The mark of an
    item that was asked in the described version says so.
    """
    result = _mark(release, item, learner, entry, truths)
    if item.id not in release.described:
        return result
    return replace(result, described=True, message=f"{result.message} ({DESCRIBED})")


def _mark(
    release: Release, item: Item, learner: str, entry: Entry | None, truths: Truths | None
) -> ItemResult:
    values = release.values(item, learner)
    if entry is None:
        return item_result(item, item.judge(values, None), values, None)
    if dict(entry.values) != values:
        refused = item.judged(REFUSED, OTHER_VALUES)
        return item_result(item, refused, values, entry.answer, action=ANSWER_AGAIN)
    if isinstance(item, PictureItem):
        if truths is None:
            raise ValueError(f"{item.id} is about a picture, and its truth is not at hand")
        judgement = item.judge_seen(values, entry.answer, truths(values["picture"])["truth"])
    else:
        judgement = item.judge(values, entry.answer)
    action = ANSWER_AGAIN if judgement.outcome == REFUSED else ""
    return item_result(item, judgement, values, entry.answer, entry.confidence, action=action)


def mark_code(
    release: Release, item: CodeItem, learner: str, run: CodeRun | None, seal: str
) -> ItemResult:
    """Mark what a learner's function gave on the cases drawn from ``seal``."""
    values = release.values(item, learner)
    if run is None or run.error:
        reason = _told(run.error) if run else NOT_REACHED
        outcome = "blank" if reason == NOT_WRITTEN else "wrong"
        return item_result(item, item.judged(outcome, reason), values, None)
    cases = item.cases(values, seal)
    judgement = item.judge_results(cases, list(run.results))
    action = WRITE_AGAIN if judgement.outcome == REFUSED else ""
    return item_result(item, judgement, values, {"results": list(run.results)}, action=action)


def _told(error: str) -> str:
    """Return an error of a learner's code on one line, and without its cell's file name."""
    return _CELL_FILE.sub(r" (\1)", " ".join(error.split()))
