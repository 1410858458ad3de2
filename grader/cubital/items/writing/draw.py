"""Values of a learner's own: drawn by SHA-256, so that they never change with a library."""

import hashlib
from collections.abc import Mapping, Sequence
from typing import Any, TypeVar

T = TypeVar("T")


class Draw:
    """A stream of choices fixed by release, learner, item and try.

    Each choice hashes ``release``, ``learner``, ``item``, the try and a counter, and takes the
    first eight bytes as a whole number; so the marker, in another process and on another
    machine, draws the same values from the same names. ``policy`` holds the department's
    figures that the release was made with, such as ``ratio_limit`` or ``vesicants``, and
    ``pictures`` the names of those that the release holds for this item.

    The papers of a release lie in one file. An option that stands in all of them, beside others
    that come and go, would show by counting as the right one. So with ``for_papers`` all papers
    offer the same: ``for_all`` is then a stream that only release and item fix. Otherwise it is
    the learner's own.
    """

    def __init__(
        self,
        release: str,
        learner: str,
        item: str,
        attempt: int,
        policy: Mapping[str, Any],
        *,
        pictures: Sequence[str] = (),
        for_papers: bool = False,
    ) -> None:
        self.policy = policy
        self.pictures = pictures
        self.for_all = Draw(release, "", item, 0, policy) if for_papers else self
        self._of = (release, learner)
        self._name = "\0".join((release, learner, item, str(attempt)))
        self._count = 0

    def beside(self, name: str) -> "Draw":
        """Return a stream that all items of this learner's paper share under a name.

        So two of them can take what differs: each draws the same order, and takes its own place.
        """
        return Draw(*self._of, f"beside {name}", 0, self.policy)

    def one_of(self, number: int) -> int:
        """Return a whole number from 0 to below ``number``, each as likely as the next."""
        text = f"{self._name}\0{self._count}".encode()
        self._count += 1
        return int.from_bytes(hashlib.sha256(text).digest()[:8], "big") % number

    def choose(self, options: Sequence[T]) -> T:
        """Return one of ``options``, each as likely as the next."""
        return options[self.one_of(len(options))]

    def step(self, low: float, high: float, step: float) -> float:
        """Return one of ``low``, ``low + step`` ... up to ``high``, free of rounding noise."""
        count = round((high - low) / step)
        decimals = max(0, len(f"{step:.6f}".rstrip("0").partition(".")[2]))
        return round(low + step * self.one_of(count + 1), decimals)

    def shuffled(self, options: Sequence[T]) -> list[T]:
        """Return ``options`` in an order of this learner's own."""
        left = list(options)
        return [left.pop(self.one_of(len(left))) for _ in range(len(left))]
