"""Curves over axes in the one style of the lessons: a quiet grid, direct labels, a marked value."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Axis, Point, Sheet

WIDTH, HEIGHT = 440, 330
LEFT, RIGHT, TOP, BOTTOM = 66, 424, 50, 262


def plainly(value: float) -> str:
    """Write a tick: no decimals that say nothing."""
    return f"{value:,.6g}"


@dataclass(frozen=True)
class Scale:
    """What an axis shows: ends, distance of its ticks, and its words with the unit."""

    low: float
    high: float
    step: float
    words: str
    written: Callable[[float], str] = plainly


class Plot:
    """A sheet with two axes; places are given in the quantities' own units."""

    def __init__(
        self,
        across: Scale,
        up: Scale,
        *,
        size: tuple[int, int] = (WIDTH, HEIGHT),
        box: tuple[int, int, int, int] = (LEFT, RIGHT, TOP, BOTTOM),
    ) -> None:
        self.sheet = Sheet(*size)
        self.left, self.right, self.top, self.bottom = box
        self.across = Axis(across.low, across.high, self.left, self.right)
        self.up = Axis(up.low, up.high, self.bottom, self.top)
        sheet, bottom = self.sheet, self.bottom
        sheet.words((8, self.top - 14), up.words, size=13)
        for tick in self.up.ticks(up.step):
            y = self.up(tick)
            sheet.line((self.left, y), (self.right, y), colour=drawing.GRID)
            sheet.words((self.left - 6, y + 4), up.written(tick), anchor="end", size=13)
        for tick in self.across.ticks(across.step):
            x = self.across(tick)
            sheet.line((x, bottom), (x, bottom + 5))
            sheet.words((x, bottom + 19), across.written(tick), anchor="middle", size=13)
        sheet.words((self.right, bottom + 39), across.words, anchor="end", size=13)
        sheet.line((self.left, self.top), (self.left, bottom), width=1.5)
        sheet.line((self.left, bottom), (self.right, bottom), width=1.5)

    def place(self, x: float, y: float) -> Point:
        """Where a pair of values lies on the sheet; kept within the axes."""
        x = min(max(x, self.across.low), self.across.high)
        y = min(max(y, self.up.low), self.up.high)
        return self.across(x), self.up(y)

    def curve(
        self,
        x_values: ArrayLike,
        y_values: ArrayLike,
        *,
        colour: str = drawing.VEIN,
        width: float = 3,
        dash: str = "",
    ) -> None:
        """Draw a curve, in pieces where it leaves the axes."""
        x, y = np.asarray(x_values, float), np.asarray(y_values, float)
        inside = (y >= self.up.low) & (y <= self.up.high) & np.isfinite(y)
        for piece in _runs(inside):
            points = zip(x[piece], y[piece], strict=True)
            self.sheet.curve(
                [(self.across(a), self.up(b)) for a, b in points],
                colour=colour,
                width=width,
                dash=dash,
            )

    def level(self, y: float, words: str, *, colour: str = drawing.MARKER, dash: str = "") -> None:
        """Draw a line straight across at a value, with its words above its right end."""
        if not self.up.holds(y):
            return
        height = self.up(y)
        self.sheet.line((self.left, height), (self.right, height), colour=colour, dash=dash)
        self.sheet.words(
            (self.right, height - 5), words, anchor="end", colour=colour, size=13, halo=True
        )

    def upright(
        self, x: float, words: str, *, colour: str = drawing.QUIET, dash: str = "2 3"
    ) -> None:
        """Draw an upright line at a value, with its words beside its top."""
        if not self.across.holds(x):
            return
        place = self.across(x)
        self.sheet.line((place, self.bottom), (place, self.top), colour=colour, dash=dash)
        is_right = place > (self.left + self.right) / 2
        self.sheet.words(
            (place - 5 if is_right else place + 5, self.top + 12),
            words,
            anchor="end" if is_right else "start",
            colour=colour,
            size=13,
            halo=True,
        )

    def mark(self, x: float, y: float, words: str, *, colour: str = drawing.MARKER) -> None:
        """Ring the present value, lead it to both axes, and write it at the top of the sheet."""
        here = self.place(x, y)
        self.sheet.line((self.left, here[1]), here, colour=colour, dash="2 3")
        self.sheet.line((here[0], self.bottom), here, colour=colour, dash="2 3")
        self.sheet.circle(here, 6, fill=drawing.PAPER, colour=colour, width=3)
        self.sheet.words((8, 16), words, colour=colour, bold=True)

    def label(self, x: float, y: float, words: str, *, colour: str, anchor: str = "start") -> None:
        """Write a curve's name beside it, at a pair of values."""
        self.sheet.words(self.place(x, y), words, colour=colour, anchor=anchor, size=13, halo=True)

    def svg(self) -> str:
        """The plot as one SVG element."""
        return self.sheet.svg()


def _runs(kept: np.ndarray) -> Iterable[slice]:
    """Return slices of neighbours that are kept, two or more long."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], kept.astype(int), [0]])))
    return [slice(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]
