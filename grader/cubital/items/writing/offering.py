"""How choice items offer their options: the right one and three wrong ones, shuffled."""

from collections.abc import Iterable, Mapping, Sequence

from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import Option
from cubital.items.writing.draw import Draw

_WRONG_SHOWN = 3


def with_wrong(draw: Draw, right: str, wrong: Sequence[str]) -> list[str]:
    """Return the keys of the right option and of three wrong ones, in a learner's own order."""
    return draw.shuffled((right, *draw.for_all.shuffled(wrong)[:_WRONG_SHOWN]))


def ordered(
    v: Values, right: tuple[str, str], wrong: Mapping[str, tuple[str, str]]
) -> list[Option]:
    """Return the drawn options: ``right`` as key and text, ``wrong`` as text and misconception."""
    return listed(v, (Option(*right), *(Option(key, *rest) for key, rest in wrong.items())))


def listed(v: Values, options: Iterable[Option]) -> list[Option]:
    """Return those of the options that were drawn, in the drawn order."""
    by_key = {option.key: option for option in options}
    return [by_key[key] for key in v["order"]]
