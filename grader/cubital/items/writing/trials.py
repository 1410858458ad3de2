"""What the questions on short trials share: how trials are drawn, and what can be said of one."""

from typing import Any

from cubital.items.kinds.on_pictures.trials import NO, YES
from cubital.items.kinds.plain import Offered
from cubital.items.writing.draw import Draw

MINUTES = 3.0  # for a dozen trials; for half as many, half
HOW = (
    "The heart is above; hands, dressing and catheter are not drawn. The whole picture stirs and "
    "flickers a little, as by hand it does. In some trials it shows and in some it does not; a "
    "wrong yes costs as many points as a wrong no. Play each more than once."
)


def drawn(draw: Draw) -> dict[str, Any]:
    """Return this paper's trials in an order of its own."""
    return {"trials": draw.shuffled(draw.pictures), "turn": draw.for_all.one_of(12)}


def shows_or_not(what: str) -> tuple[Offered, Offered]:
    """Return the two things that can be said of a trial.

    Examples
    --------
    >>> [one.text for one in shows_or_not("a fork")]
    ['It shows a fork.', 'It does not show a fork.']
    """
    return Offered(YES, f"It shows {what}."), Offered(NO, f"It does not show {what}.")
