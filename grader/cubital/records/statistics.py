"""How the items worked in a cohort, and which slips were commonest."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isclose

from cubital import calc, items
from cubital.handin.mending import lesson_of
from cubital.handin.objectives import title_of
from cubital.handin.results import MARKED, ItemResult, SubmissionResult
from cubital.items import Item
from cubital.records.figures import Figure
from cubital.records.sums import not_reached
from cubital.tables import Curriculum

FEWEST_FOR_CORRELATION = 4  # Fisher's interval needs more than three learners
SMALL_COHORT = 30  # below this the intervals are too wide to judge an item by


@dataclass(frozen=True)
class ItemStatistics:
    """One item over the marked submissions that hold it."""

    item: str
    title: str
    critical: bool
    n: int
    waiting: int
    difficulty: Figure
    discrimination: Figure
    not_reached: int = 0


@dataclass(frozen=True)
class SlipCount:
    """How many learners made one slip in one item, and what mends it."""

    item: str
    title: str
    slip: str
    count: int
    n: int
    misconception: str
    section: str
    lesson: str


def find(item_id: str) -> Item | None:
    """Return an item, or None where this course no longer has it."""
    try:
        return items.find(item_id)
    except ValueError:
        return None


def item_order(
    results: Sequence[SubmissionResult], worksheet: str, asked: Sequence[Item] | None = None
) -> tuple[str, ...]:
    """Return the items that were marked, in the worksheet's order; unknown ones at the end.

    ``asked`` are the release's items, those of the course if not given.
    """
    seen = dict.fromkeys(row.item for result in results for row in result.items)
    listed = [item.id for item in asked or items.WORKSHEETS.get(worksheet, ())]
    if not seen:
        return tuple(listed)
    return tuple(
        [key for key in listed if key in seen] + [key for key in seen if key not in listed]
    )


def item_statistics(
    results: Sequence[SubmissionResult], item_ids: Sequence[str]
) -> tuple[ItemStatistics, ...]:
    """Compute difficulty and discrimination of each item over the marked submissions.

    The rest score is the sum of the other items that are marked in every submission, so that
    an open hand mark lowers nobody's rest. Who did not reach an item is not counted as wrong in
    it, and who did not reach the end has no rest. An optional item is judged over those who
    answered it, and is in nobody's rest.
    """
    marked = [(r, not_reached(r)) for r in results if r.state == MARKED]
    sheets = [(_answered(r, left), not left) for r, left in marked]
    ended = [sheet for sheet, whole in sheets if whole]
    whole = [key for key in item_ids if ended and all(_marked(sheet, key) for sheet in ended)]
    return tuple(
        replace(
            _statistics([sheet for sheet, _ in sheets], ended, key, whole),
            not_reached=sum(key in left for _, left in marked),
        )
        for key in item_ids
    )


def _answered(result: SubmissionResult, left: frozenset[str]) -> dict[str, ItemResult]:
    """Return the items that a learner reached, by id, without optional ones that were left."""
    return {
        row.item: row
        for row in result.items
        if row.item not in left and not (row.optional and row.outcome == "blank")
    }


def _marked(sheet: dict[str, ItemResult], key: str) -> bool:
    return key in sheet and sheet[key].points is not None and not sheet[key].optional


def _statistics(
    sheets: list[dict[str, ItemResult]],
    ended: list[dict[str, ItemResult]],
    key: str,
    whole: list[str],
) -> ItemStatistics:
    held = [sheet for sheet in sheets if key in sheet]
    waiting = sum(sheet[key].points is None for sheet in held)
    item = find(key)
    if waiting:
        words = Figure(words=f"hand-marking open for {waiting} of {len(held)}")
        figures = (words, words)
    else:
        figures = (
            _difficulty(held, key),
            _discrimination([one for one in ended if key in one], key, whole),
        )
    return ItemStatistics(
        key, title_of(key), bool(item and item.critical), len(held), waiting, *figures
    )


def _share(row: ItemResult) -> float:
    """Share of an item's points; extra points given by hand count as all."""
    return min(1.0, max(0.0, (row.points or 0.0) / row.max_points)) if row.max_points else 0.0


def _difficulty(sheets: list[dict[str, ItemResult]], key: str) -> Figure:
    if not sheets:
        return Figure(words="no learner was marked on it")
    if not any(sheet[key].max_points for sheet in sheets):
        return Figure(words="it carries no points")
    found = calc.item_difficulty([_share(sheet[key]) for sheet in sheets])
    return Figure(found.value, found.low, found.high)


def _discrimination(sheets: list[dict[str, ItemResult]], key: str, whole: list[str]) -> Figure:
    n = len(sheets)
    if n < FEWEST_FOR_CORRELATION:
        least = FEWEST_FOR_CORRELATION
        return Figure(words=f"too few learners: {n}, and it takes {least} or more")
    others = [other for other in whole if other != key]
    if not others:
        return Figure(words="no other item to compare with")
    own = [_share(sheet[key]) for sheet in sheets]
    rest = [sum(sheet[other].points or 0.0 for other in others) for sheet in sheets]
    if _alike(own):
        return Figure(words="no variance: all scored alike on it")
    if _alike(rest):
        return Figure(words="no variance: all scored alike on the rest")
    found = calc.item_discrimination(own, rest)
    words = "" if found.low is not None else "no interval at a correlation of 1"
    return Figure(found.value, found.low, found.high, words)


def _alike(scores: Sequence[float]) -> bool:
    return isclose(min(scores), max(scores), abs_tol=1e-9)


def misconception(row: ItemResult) -> str:
    """Say what a slip rests on, as the item that knows it presumes."""
    text = row.misconception or row.message
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def _is_slip(row: ItemResult) -> bool:
    """Tell whether the slip stands: a mark given by hand overrules it."""
    return bool(row.slip) and row.outcome == "slip" and not row.manual


def slip_counts(
    results: Sequence[SubmissionResult], curriculum: Curriculum
) -> tuple[SlipCount, ...]:
    """Count the slips over the marked submissions, commonest first."""
    rows = [row for result in results if result.state == MARKED for row in result.items]
    held = Counter(row.item for row in rows)
    made = Counter((row.item, row.slip) for row in rows if row.slip and _is_slip(row))
    text = {(row.item, row.slip): misconception(row) for row in reversed(rows) if row.slip}
    counts = []
    for (key, slip), count in made.items():
        section, lesson = mended_by(key, curriculum)
        counts.append(
            SlipCount(key, title_of(key), slip, count, held[key], text[key, slip], section, lesson)
        )
    return tuple(sorted(counts, key=lambda row: (-row.count, row.title, row.slip)))


def mended_by(item_id: str, curriculum: Curriculum) -> tuple[str, str]:
    """Return the section that an item is taught in and its lesson; empty where unknown."""
    item = find(item_id)
    lessons = [objective.lesson for objective in curriculum.objectives_of(item_id)]
    return (item.section if item else ""), (lessons[0] if lessons else lesson_of(item_id))
