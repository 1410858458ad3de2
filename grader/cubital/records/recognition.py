"""How well a cohort tells trials that show something from those that do not, and how it leans.

Recognition decides no pass. Trials of which no picture tells the answer are not in it, nor trials
that were left open, nor the answers of learners who had the pictures in words.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from cubital import calc
from cubital.calc.statistics.detection import CohortDetection
from cubital.calc.statistics.intervals import Estimate
from cubital.handin.objectives import title_of
from cubital.handin.results import MARKED, ItemResult, SubmissionResult
from cubital.items import TrialsItem
from cubital.items.kinds.on_pictures.tally import Tally, read
from cubital.records.figures import Figure
from cubital.records.statistics import find
from cubital.scene.files import planning

FEWEST_LEARNERS = 10  # who answered trials of both sorts; with fewer the interval says nothing
FEWEST_ANSWERS = 20  # to trials of each sort
NO_PASS = (
    "Recognition decides no pass. The points of trials count for their worksheet alone: the "
    "pictures are simulated, and no clinicians' readings validate them yet."
)


class Pooled(defaultdict[str, list[Tally]]):
    """The counts of some of the trials by learner, one for each band of each question."""

    def __init__(self) -> None:
        super().__init__(list)


@dataclass(frozen=True)
class Row:
    """Some of the trials: what they are, how many answered them, and how; None if too few did."""

    what: str
    learners: int
    counts: Tally
    found: CohortDetection | None

    @property
    def d_prime(self) -> Figure:
        """How far apart they keep the two sorts [standard deviations]."""
        return _figure(self.found and self.found.d_prime)

    @property
    def criterion(self) -> Figure:
        """Which way they lean: above 0 to no, below 0 to yes [standard deviations]."""
        return _figure(self.found and self.found.criterion)

    @property
    def says(self) -> str:
        """What the row says, in words for somebody who knows neither number."""
        if self.found is None:
            return (
                f"Too little to tell: it takes {FEWEST_LEARNERS} learners and {FEWEST_ANSWERS} "
                "answers to trials of each sort."
            )
        return f"{_tells(self.found)} {_leans(self.found.criterion)}"


class Recognition(NamedTuple):
    """All trials, each band and each question, and how many learners were counted in none.

    ``uncounted`` are learners whose trials were marked before answers were counted by band,
    ``described`` those who had the pictures in words.
    """

    rows: tuple[Row, ...] = ()
    uncounted: int = 0
    described: int = 0

    @property
    def told(self) -> bool:
        """Whether there is something to say of it."""
        return any(self)


def recognition(results: Iterable[SubmissionResult]) -> Recognition:
    """Return what the marked results of one or more worksheets say of recognition.

    A learner's answers of several worksheets are put together, since they lean alike.
    """
    marked = [
        (result.learner, row)
        for result in results
        if result.state == MARKED
        for row in result.items
    ]
    total, questions = Pooled(), defaultdict[str, Pooled](Pooled)
    bands = {band: Pooled() for band in planning.bands()}
    for learner, row in marked:
        for band, counts in read(row.tally).items() if not row.described else ():
            for pooled in (total, bands.setdefault(band, Pooled()), questions[row.item]):
                pooled[learner].append(counts)
    rows = [
        ("All trials", total),
        *((f"{band.capitalize()} ones", pooled) for band, pooled in bands.items()),
        *((title_of(item), pooled) for item, pooled in questions.items() if len(questions) > 1),
    ]
    trials = _trials({row.item for _, row in marked})
    of_trials = [(learner, row) for learner, row in marked if row.item in trials]
    return Recognition(
        tuple(_row(what, pooled) for what, pooled in rows if pooled),
        len({learner for learner, row in of_trials if _is_uncounted(row)}),
        len({learner for learner, row in of_trials if row.described}),
    )


def _trials(asked: Iterable[str]) -> set[str]:
    """Return which of the questions are trials that are counted."""
    found = {key: find(key) for key in asked}
    return {key for key, item in found.items() if isinstance(item, TrialsItem) and not item.always}


def _is_uncounted(row: ItemResult) -> bool:
    answered = row.outcome in {"right", "slip", "wrong"}
    return answered and not row.tally and not row.described


def _row(what: str, pooled: Pooled) -> Row:
    sums = [_sum(tallies) for tallies in pooled.values()]
    both = [one for one in sums if one.signals and one.noise]
    counts = _sum(both)
    if len(both) < FEWEST_LEARNERS or min(counts.signals, counts.noise) < FEWEST_ANSWERS:
        return Row(what, len(both), counts, None)
    hits, misses, false_alarms, correct_rejections = zip(*both, strict=True)
    found = calc.cohort_detection(
        hits,
        misses=misses,
        false_alarms=false_alarms,
        correct_rejections=correct_rejections,
    )
    return Row(what, len(both), counts, found)


def _sum(tallies: Sequence[Tally]) -> Tally:
    return Tally(*(sum(sort) for sort in zip(*tallies, strict=True)))


def _figure(found: Estimate | None) -> Figure:
    if found is None:
        return Figure(words="too little to tell")
    return Figure(found.value, found.low, found.high)


def _ends(found: Estimate) -> tuple[float, float]:
    if found.low is None or found.high is None:
        raise ValueError("an estimate of a cohort without its interval")
    return found.low, found.high


def _tells(found: CohortDetection) -> str:
    """Say how well the two sorts are told apart, as the right choice between one of each."""
    low, high = _ends(found.d_prime)
    if low <= 0 <= high:
        return "That they tell the two apart does not show: guessing may give such answers."
    if high < 0:
        return "They tell the two the wrong way round: see whether yes and no were mixed up."
    worst, best = (100 * end for end in _ends(found.area))
    return (
        f"They would pick the right one of two {100 * (found.area.value or 0):.0f} times in 100 "
        f"({worst:.0f} to {best:.0f})."
    )


def _leans(criterion: Estimate) -> str:
    low, high = _ends(criterion)
    if low > 0:
        return "They lean to no: they rather miss it than see it where it is not."
    if high < 0:
        return "They lean to yes: they rather see it where it is not than miss it."
    return "No lean to yes or to no shows."
