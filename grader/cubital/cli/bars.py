"""Bars in the terminal that say how far a step is."""

from types import TracebackType
from typing import Self

from tqdm import tqdm


class Bar:
    """A bar that is drawn from the first call of `move` on, if at all.

    Parameters
    ----------
    unit
        The thing that is counted.
    shown
        Whether it is drawn.
    """

    def __init__(self, unit: str, *, shown: bool = True) -> None:
        self._unit, self._shown = unit, shown
        self._drawn: tqdm | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        _type: type[BaseException] | None,
        _error: BaseException | None,
        _traceback: TracebackType | None,
    ) -> None:
        if self._drawn is not None:
            self._drawn.close()

    def move(self, done: int, total: int, part: str) -> None:
        """Show that so many things are done, of how many, and which part of the step this is."""
        if not self._shown:
            return
        if self._drawn is None:
            self._drawn = tqdm(total=total, initial=done, desc=part, unit=self._unit)
        elif self._drawn.desc != f"{part}: ":
            self._drawn.set_description(part)
        self._drawn.update(done - self._drawn.n)

    def pictures(self, done: int, total: int) -> None:
        """Show that so many pictures are rendered, of how many."""
        self.move(done, total, "Pictures")
