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
    ) -> None:
        self.policy = policy
        self.pictures = pictures
        self._name = "\0".join((release, learner, item, str(attempt)))
        self._count = 0

    def _whole_number(self) -> int:
        text = f"{self._name}\0{self._count}".encode()
        self._count += 1
        return int.from_bytes(hashlib.sha256(text).digest()[:8], "big")

    def choose(self, options: Sequence[T]) -> T:
        """Return one of ``options``, each as likely as the next."""
        return options[self._whole_number() % len(options)]

    def step(self, low: float, high: float, step: float) -> float:
        """Return one of ``low``, ``low + step`` ... up to ``high``, free of rounding noise."""
        count = round((high - low) / step)
        decimals = max(0, len(f"{step:.6f}".rstrip("0").partition(".")[2]))
        return round(low + step * (self._whole_number() % (count + 1)), decimals)

    def shuffled(self, options: Sequence[T]) -> list[T]:
        """Return ``options`` in an order of this learner's own."""
        left = list(options)
        return [left.pop(self._whole_number() % len(left)) for _ in range(len(left))]
