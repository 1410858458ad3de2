"""How well an answer went: again, hard, good or easy, and when easy counts as such."""

from cubital.refresh.reviews import AGAIN, EASY, GOOD, HARD

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


def sure_items(before: frozenset[str], item: str, rated: str) -> frozenset[str]:
    """Return the items of an objective that were right and sure since an answer was not right."""
    if rated == AGAIN:
        return frozenset()
    return before | {item} if rated == EASY else before


def as_counted(sure: frozenset[str], rated: str) -> str:
    """Return what a rating counts as, given the objective's items that were right and sure by then.

    Easy counts as good until these are two different items, this answer's among them.
    """
    return GOOD if rated == EASY and len(sure) < _ITEMS_FOR_EASY else rated
