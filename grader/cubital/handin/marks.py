"""The mark of one answer: the same rule wherever it is asked for.

Nothing here runs a learner's code: a code item's results come as plain JSON data.
"""

from cubital.handin.answers import Entry
from cubital.handin.pictures import Truths
from cubital.handin.release import Release
from cubital.handin.results import ItemResult, item_result
from cubital.handin.trial import NOT_WRITTEN, CodeRun
from cubital.items import CodeItem, Item, PictureItem


def mark(
    release: Release,
    item: Item,
    learner: str,
    entry: Entry | None,
    truths: Truths | None = None,
) -> ItemResult:
    """Mark the saved answer to a question that is answered in a field.

    ``truths`` gives the truth of a picture by its name; items on pictures need it.
    """
    values = release.values(item, learner)
    if entry is None:
        return item_result(item, item.judge(values, None), values, None)
    if dict(entry.values) != values:
        refused = item.judged(
            "refused",
            "This answer was given to other values than this learner's: it may be a copy. "
            "Open the worksheet under your own id and answer again.",
        )
        return item_result(item, refused, values, None)
    if isinstance(item, PictureItem):
        if truths is None:
            raise ValueError(f"{item.id} is about a picture, and its truth is not at hand")
        judgement = item.judge_seen(values, entry.answer, truths(values["picture"])["truth"])
    else:
        judgement = item.judge(values, entry.answer)
    return item_result(item, judgement, values, entry.answer, entry.confidence)


def mark_code(
    release: Release, item: CodeItem, learner: str, run: CodeRun | None, seal: str
) -> ItemResult:
    """Mark what a learner's function gave on the cases drawn from ``seal``."""
    values = release.values(item, learner)
    if run is None or run.error:
        reason = run.error if run else "The cell with the function was not reached."
        outcome = "blank" if reason == NOT_WRITTEN else "wrong"
        return item_result(item, item.judged(outcome, reason), values, None)
    cases = item.cases(values, seal)
    judgement = item.judge_results(cases, list(run.results))
    return item_result(item, judgement, values, {"results": list(run.results)})
