"""How surely a worksheet's sums rank a cohort, how they lie, and which options were taken.

A question that a learner did not reach is none that they got wrong: it is one of those after the
last that they answered. It still has no points.
"""

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from cubital import calc
from cubital.calc.statistics.decisions import Consistency
from cubital.handin.objectives import title_of
from cubital.handin.results import MARKED, ItemResult, SubmissionResult
from cubital.handin.standard import Standard
from cubital.items import Item
from cubital.records.figures import Figure

BANDS = 10  # of the points, in the picture of how the sums lie
FEWEST_FOR_RELIABILITY = 10  # learners; with fewer its interval says nothing
NO_ANSWER, RIGHT = "no answer", "right"
_SPREAD_LOW, _SPREAD_HIGH = 0.02, 0.49  # that decisions are worked out for


@dataclass(frozen=True)
class Band:
    """How many learners have ``low`` points to below ``high``; the last has ``high`` too."""

    low: float
    high: float
    n: int


@dataclass(frozen=True)
class Sums:
    """The sums of a worksheet over the learners who reached its end and wait for no mark.

    ``error`` is the standard error of measurement in this cohort, None where there is no
    reliability; ``alike`` how alike two forms would decide by the pass mark in it.
    """

    n: int
    of: float
    mean: float | None
    spread: float | None
    reliability: Figure
    error: float | None
    alike: Consistency | None
    bands: tuple[Band, ...]


@dataclass(frozen=True)
class Options:
    """What was chosen in a choice item: the option, what it rests on, and by how many."""

    item: str
    title: str
    n: int
    chosen: tuple[tuple[str, str, int], ...]


def not_reached(result: SubmissionResult) -> frozenset[str]:
    """Return the items after the last one that was answered; optional ones are not looked at."""
    rows = [row for row in result.items if not row.optional]
    last = max((n for n, row in enumerate(rows, 1) if row.outcome != "blank"), default=0)
    return frozenset(row.item for row in rows[last:])


def finished(results: Sequence[SubmissionResult]) -> list[SubmissionResult]:
    """Return the marked submissions whose learners reached the end."""
    return [row for row in results if row.state == MARKED and not not_reached(row)]


def sums_of(
    results: Sequence[SubmissionResult], standard: Standard | None, item_ids: Collection[str]
) -> Sums:
    """Return reliability, error and spread of the sums of all items that are not optional."""
    rows = [{one.item: one for one in row.items if not one.optional} for row in finished(results)]
    keys = sorted({key for row in rows for key in row} & set(item_ids))
    whole = [row for row in rows if all(key in row and _marked(row[key]) for key in keys)]
    of = float(sum(whole[0][key].max_points for key in keys)) if whole else 0.0
    table = np.array([[row[key].points for key in keys] for row in whole], dtype=float)
    totals = table.sum(axis=1) if whole else np.array([])
    spread = float(totals.std(ddof=1)) if len(whole) > 1 else None
    reliability = _reliability(table, len(whole))
    error = None
    if reliability.value is not None and spread is not None:
        error = spread * float(np.sqrt(1 - min(max(reliability.value, 0.0), 1.0)))
    return Sums(
        len(whole),
        of,
        float(totals.mean()) if whole else None,
        spread,
        reliability,
        error,
        _alike(standard, totals, of, reliability.value, spread),
        _bands(totals, of),
    )


def _marked(row: ItemResult) -> bool:
    return row.points is not None


def _reliability(table: np.ndarray, n: int) -> Figure:
    if n < FEWEST_FOR_RELIABILITY:
        return Figure(words=f"too few learners: {n}, and it takes {FEWEST_FOR_RELIABILITY} or more")
    found = calc.cronbach_alpha(table)
    if found.value is None:
        return Figure(words="no variance: all have the same sum, or there is one item")
    return Figure(found.value, found.low, found.high)


def _alike(
    standard: Standard | None,
    totals: np.ndarray,
    of: float,
    reliability: float | None,
    spread: float | None,
) -> Consistency | None:
    """Return how alike two forms decide on learners whose true sums are spread as these are."""
    if standard is None or reliability is None or spread is None or reliability <= 0 or not of:
        return None
    mean = min(max(float(totals.mean()) / of, 0.01), 0.99)
    true = float(np.sqrt(reliability)) * spread / of
    if not _SPREAD_LOW <= true <= _SPREAD_HIGH or true**2 >= mean * (1 - mean):
        return None
    found: Consistency = calc.decision_consistency(
        standard.worth, cut_share=standard.pass_share, ability_mean=mean, ability_sd=true
    )
    return found


def _bands(totals: np.ndarray, of: float) -> tuple[Band, ...]:
    if not totals.size or not of:
        return ()
    width = max(1, ceil(of / BANDS))
    edges = np.arange(0, of + width, width)
    counts, _ = np.histogram(np.clip(totals, 0, edges[-1]), bins=edges)
    ends = [min(float(edge), of) for edge in edges]
    pairs = zip(ends, ends[1:], counts, strict=False)
    return tuple(Band(low, high, int(n)) for low, high, n in pairs)


def options_of(
    results: Sequence[SubmissionResult], items: Sequence[Item | None]
) -> tuple[Options, ...]:
    """Count what was chosen in each item that offers options, the right one first."""
    found = []
    marked = [row for row in results if row.state == MARKED]
    for item in items:
        if item is None or item.kind != "choice":
            continue
        rows = [row for result in marked for row in result.items if row.item == item.id]
        counts = Counter(map(_option, rows))
        rests = {row.slip: row.misconception or row.message for row in rows if row.slip}
        order = sorted(counts, key=lambda key: (key != RIGHT, key == NO_ANSWER, -counts[key], key))
        chosen = tuple((key, rests.get(key, ""), counts[key]) for key in order)
        found.append(Options(item.id, title_of(item.id), len(rows), chosen))
    return tuple(found)


def _option(row: ItemResult) -> str:
    if row.slip:
        return row.slip
    return RIGHT if row.outcome == "right" else NO_ANSWER
