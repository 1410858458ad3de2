"""How well an answer went: again, hard, good or easy, and when easy counts as such."""

from collections.abc import Iterable, Iterator

from cubital.refresh.reviews import AGAIN, EASY, GOOD, HARD, Review

# Whoever says to be this sure, or surer, says that the answer came easily; whoever says to be at
# most half sure may have guessed (teaching assumptions).
SURE = 0.9
UNSURE = 0.5
_ITEMS_FOR_EASY = 2  # teaching assumption: one question can be known by heart


def rating(outcome: str, confidence: float | None) -> str:
    """Return how well an item went, from the mark and how sure the learner said to be (0 to 1).

    Not right is again. Right is easy if said to be sure, hard if said to be at most half sure,
    and else good, also where nothing was said.
    """
    if outcome != "right":
        return AGAIN
    if confidence is None:
        return GOOD
    if confidence >= SURE:
        return EASY
    return HARD if confidence <= UNSURE else GOOD


def counted(reviews: Iterable[Review]) -> Iterator[str]:
    """Yield what each review of one objective counts as, in the order in which they came.

    Easy counts as good until two different items of the objective were right and sure, this one
    among them, with no answer since the first of them that was not right.
    """
    sure: frozenset[str] = frozenset()
    for one in reviews:
        sure = sure_items(sure, one.item, one.rating)
        yield as_counted(sure, one.rating)


def sure_items(before: frozenset[str], item: str, rated: str) -> frozenset[str]:
    """Return the items of an objective that were right and sure since an answer was not right."""
    if rated == AGAIN:
        return frozenset()
    return before | {item} if rated == EASY else before


def as_counted(sure: frozenset[str], rated: str) -> str:
    """Return what a rating counts as, given the items that were right and sure by then."""
    return GOOD if rated == EASY and len(sure) < _ITEMS_FOR_EASY else rated
