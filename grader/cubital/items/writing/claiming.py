"""What clinicians sign: which option a case or vignette takes for right, and why."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from cubital.items.kinds.choice import Option


class Offer(NamedTuple):
    """Options of which one is right; ``asked`` is what they answer, empty where one asks alone."""

    asked: str
    options: Sequence[Option]

    @property
    def right(self) -> Option:
        """The option that is right."""
        return next(option for option in self.options if option.right)


@dataclass(frozen=True)
class Claim:
    """One case or vignette with what it takes for right.

    ``says`` is the rule that it stands for, ``because`` what decides in it. ``sources`` are keys of
    the bibliography; without one it is common practice.
    """

    key: str
    title: str
    story: str
    says: str
    offers: tuple[Offer, ...]
    because: str
    sources: tuple[str, ...]
