"""How choice items offer their options: the right one and three wrong ones, shuffled."""

from collections.abc import Mapping, Sequence

from cubital.items.base import Option, Values
from cubital.items.draw import Draw

_WRONG_SHOWN = 3


def with_wrong(draw: Draw, right: str, wrong: Sequence[str]) -> list[str]:
    """Return the keys of the right option and of three wrong ones, in a learner's own order."""
    return draw.shuffled((right, *draw.shuffled(wrong)[:_WRONG_SHOWN]))


def ordered(
    v: Values, right: tuple[str, str], wrong: Mapping[str, tuple[str, str]]
) -> list[Option]:
    """Return the drawn options: ``right`` as key and text, ``wrong`` as text and misconception."""
    options = {right[0]: Option(*right)}
    options |= {key: Option(key, text, why) for key, (text, why) in wrong.items()}
    return [options[key] for key in v["order"]]
