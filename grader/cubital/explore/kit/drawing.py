"""Draw the explorers' figures as SVG text: a sheet, straight axes, circles, lines and words."""

from __future__ import annotations

import base64
import io
import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

import numpy as np

PAPER = "#fbfaf6"
INK = "#1d2b33"
QUIET = "#4d5b64"
GRID = "#d5dbdd"
VEIN = "#1f5d73"
LUMEN = "#e3edf0"
CATHETER = "#7a3b12"
MARKER = "#8c1d2f"
NERVE = "#7a5200"
SKIN = "#ece7dc"
TEXT_COLOURS = (INK, QUIET, VEIN, CATHETER, MARKER, NERVE)
"""Every colour that words are drawn in; each stands out on the paper by at least 4.5 to 1."""

FONT = "system-ui, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif"
TEXT_SIZE = 14
HATCH_GAP = 5

Point = tuple[float, float]


def contrast(colour: str, ground: str = PAPER) -> float:
    """Contrast of two `#rrggbb` colours as WCAG 2 counts it: 1 (none) to 21 (black on white)."""

    def luminance(text: str) -> float:
        channels = (int(text[i : i + 2], 16) / 255 for i in (1, 3, 5))
        red, green, blue = (
            c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
        )
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    lighter, darker = sorted((luminance(colour), luminance(ground)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


@dataclass(frozen=True)
class Axis:
    """A straight scale: values from `low` to `high` laid from pixel `start` to pixel `end`."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def holds(self, value: float) -> bool:
        """Whether the value lies on the scale."""
        return self.low <= value <= self.high

    def ticks(self, step: float) -> list[float]:
        """Multiples of `step` on the scale."""
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return [k * step for k in range(first, last + 1)]


class Sheet:
    """A sheet of paper measured in pixels from its top left corner."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height
        self._parts: list[str] = []

    def _add(self, tag: str, content: str = "", **attributes: object) -> None:
        pairs = "".join(
            f' {name.rstrip("_").replace("_", "-")}="{_short(value)}"'
            for name, value in attributes.items()
            if value is not None
        )
        self._parts.append(f"<{tag}{pairs}>{content}</{tag}>" if content else f"<{tag}{pairs}/>")

    def line(
        self, start: Point, end: Point, *, colour: str = INK, width: float = 1, dash: str = ""
    ) -> None:
        """Draw a straight line."""
        self._add(
            "line",
            x1=start[0],
            y1=start[1],
            x2=end[0],
            y2=end[1],
            stroke=colour,
            stroke_width=width,
            stroke_dasharray=dash or None,
        )

    def curve(
        self, points: Iterable[Point], *, colour: str = INK, width: float = 2.5, dash: str = ""
    ) -> None:
        """Draw a line through the points."""
        self._add(
            "polyline",
            points=" ".join(f"{_short(x)},{_short(y)}" for x, y in points),
            fill="none",
            stroke=colour,
            stroke_width=width,
            stroke_linejoin="round",
            stroke_dasharray=dash or None,
        )

    def smooth(
        self,
        points: Sequence[Point],
        *,
        closed: bool = False,
        fill: str = "none",
        colour: str = INK,
        width: float = 2.5,
        dash: str = "",
    ) -> None:
        """Draw a smooth line through the points, or a smooth shape round them."""
        x, y = points[0]
        path = f"M{_short(x)},{_short(y)}C" + " ".join(
            f"{_short(a)},{_short(b)}" for piece in bends(points, closed=closed) for a, b in piece
        )
        self._add(
            "path",
            d=path + ("Z" if closed else ""),
            fill=fill,
            stroke=colour,
            stroke_width=width,
            stroke_linejoin="round",
            stroke_linecap="round",
            stroke_dasharray=dash or None,
        )

    def hatched(self, corners: Sequence[Point], *, colour: str = INK, gap: float = 7) -> None:
        """Fill a shape with slanting lines, up to the right, and draw its edge dashed."""
        for start, end in hatching(corners, gap):
            self.line(start, end, colour=colour)
        pairs = " ".join(f"{_short(x)},{_short(y)}" for x, y in corners)
        self._add("polygon", points=pairs, fill="none", stroke=colour, stroke_dasharray="4 3")

    def circle(
        self,
        centre: Point,
        radius: float,
        *,
        fill: str = "none",
        colour: str = INK,
        width: float = 1,
        dash: str = "",
    ) -> None:
        """Draw a circle."""
        self._add(
            "circle",
            cx=centre[0],
            cy=centre[1],
            r=radius,
            fill=fill,
            stroke=colour,
            stroke_width=width,
            stroke_dasharray=dash or None,
        )

    def hatch(self, centre: Point, radius: float, *, colour: str = INK) -> None:
        """Fill a circle with slanting lines."""
        x, y = centre
        along = math.sqrt(0.5)
        for k in range(-int(radius // HATCH_GAP), int(radius // HATCH_GAP) + 1):
            away = k * HATCH_GAP
            half = math.sqrt(max(radius**2 - away**2, 0))
            start = (x + along * (away - half), y + along * (away + half))
            end = (x + along * (away + half), y + along * (away - half))
            self.line(start, end, colour=colour)

    def pointer(
        self, tip: Point, *, colour: str = MARKER, size: float = 9, up: bool = True
    ) -> None:
        """Draw a filled triangle whose tip points up (or down) at a place."""
        x, y = tip
        base = y + 1.6 * size if up else y - 1.6 * size
        self._add(
            "polygon",
            points=" ".join(
                f"{_short(a)},{_short(b)}" for a, b in ((x, y), (x - size, base), (x + size, base))
            ),
            fill=colour,
            stroke=PAPER,
            stroke_width=1,
        )

    def words(
        self,
        place: Point,
        text: str,
        *,
        anchor: str = "start",
        colour: str = INK,
        size: float = TEXT_SIZE,
        bold: bool = False,
        halo: bool = False,
    ) -> None:
        """Write one line of text on its base line; a halo of paper keeps lines out of it."""
        self._add(
            "text",
            escape(text),
            x=place[0],
            y=place[1],
            fill=colour,
            font_size=size,
            text_anchor=None if anchor == "start" else anchor,
            font_weight="600" if bold else None,
            stroke=PAPER if halo else None,
            stroke_width=5 if halo else None,
            stroke_linejoin="round" if halo else None,
            paint_order="stroke" if halo else None,
        )

    def svg(self) -> str:
        """The sheet as one SVG element."""
        size = f"{_short(self.width)} {_short(self.height)}"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" '
            f'font-family="{escape(FONT)}" aria-hidden="true" focusable="false">'
            f'<rect width="{_short(self.width)}" height="{_short(self.height)}" fill="{PAPER}"/>'
            + "".join(self._parts)
            + "</svg>"
        )


def bends(points: Sequence[Point], *, closed: bool = False) -> list[tuple[Point, Point, Point]]:
    """Return the cubic bends of a Catmull-Rom line: two controls and the end of each piece."""
    last = len(points) - 1
    pieces = []
    for k in range(len(points) if closed else last):
        around = (k - 1, k, k + 1, k + 2)
        places = [p % (last + 1) if closed else min(max(p, 0), last) for p in around]
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = (points[p] for p in places)
        sixth = 1 / 6  # the tangent is half of the way between both neighbours, a bend's third
        first = (x1 + sixth * (x2 - x0), y1 + sixth * (y2 - y0))
        second = (x2 - sixth * (x3 - x1), y2 - sixth * (y3 - y1))
        pieces.append((first, second, (x2, y2)))
    return pieces


def along(points: Sequence[Point], per_piece: int = 12) -> list[Point]:
    """Return places on the smooth line through the points, as `Sheet.smooth` draws it."""
    found, start = [points[0]], points[0]
    for first, second, end in bends(points):
        for k in range(1, per_piece + 1):
            t = k / per_piece
            shares = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3)
            corners = (start, first, second, end)
            x, y = (sum(s * c[i] for s, c in zip(shares, corners, strict=True)) for i in (0, 1))
            found.append((x, y))
        start = end
    return found


def hatching(corners: Sequence[Point], gap: float) -> list[tuple[Point, Point]]:
    """Return slanting lines, `gap` apart, as far as they lie inside a shape."""
    turned = [((x + y) * math.sqrt(0.5), (y - x) * math.sqrt(0.5)) for x, y in corners]
    across = [u for u, _ in turned]
    lines: list[tuple[Point, Point]] = []
    for k in range(math.ceil(min(across) / gap), math.floor(max(across) / gap) + 1):
        level = k * gap
        met = sorted(
            v1 + (level - u1) / (u2 - u1) * (v2 - v1)
            for (u1, v1), (u2, v2) in itertools.pairwise([*turned, turned[0]])
            if min(u1, u2) <= level < max(u1, u2)
        )
        ends = [((level - v) * math.sqrt(0.5), (level + v) * math.sqrt(0.5)) for v in met]
        lines += list(zip(ends[::2], ends[1::2], strict=True))
    return lines


def keep_below(points: Sequence[Point], top: float) -> list[Point]:
    """Cut a rising curve (in pixels, where up is smaller) where it leaves the picture at `top`."""
    kept: list[Point] = []
    for x, y in points:
        if y < top:
            if kept:
                before_x, before_y = kept[-1]
                share = (before_y - top) / (before_y - y)
                kept.append((before_x + share * (x - before_x), top))
            break
        kept.append((x, y))
    return kept


def png_of(frame: np.ndarray) -> bytes:
    """Return a grey frame (rows, columns; one byte each) as a PNG file."""
    from PIL import Image  # noqa: PLC0415 - on use: a page in the browser draws frames itself

    file = io.BytesIO()
    Image.fromarray(frame).save(file, "png")
    return file.getvalue()


@dataclass(frozen=True)
class StaticFigure:
    """A figure for paper and for readers without a running kernel: an image and its words."""

    alt: str
    svg: str
    caption: str = ""
    png: bytes | None = None

    def _repr_html_(self) -> str:
        images = [("image/png", self.png)] if self.png else []
        if self.svg:
            images.append(("image/svg+xml", self.svg.encode()))
        words = [self.alt, *[""] * (len(images) - 1)]
        shown = "".join(
            f'<img alt="{escape(alt)}" style="width:100%;height:auto" '
            f'src="data:{kind};base64,{base64.b64encode(data).decode()}">'
            for (kind, data), alt in zip(images, words, strict=True)
        )
        caption = f"<figcaption>{escape(self.caption)}</figcaption>" if self.caption else ""
        return f'<figure style="margin:0.5em 0;max-width:34em">{shown}{caption}</figure>'

    def __repr__(self) -> str:
        return self.alt


@dataclass(frozen=True)
class Beside:
    """Figures for paper that stand beside each other, or below where there is no room."""

    figures: tuple[StaticFigure, ...]

    def _repr_html_(self) -> str:
        shown = "".join(
            f'<div style="flex:1 1 22rem;min-width:0">{figure._repr_html_()}</div>'
            for figure in self.figures
        )
        return f'<div style="display:flex;flex-wrap:wrap;gap:0 1.5rem">{shown}</div>'

    def __repr__(self) -> str:
        return "\n\n".join(figure.alt for figure in self.figures)


def _short(value: object) -> object:
    """Numbers to a tenth of a pixel, so that a figure is a short message."""
    if isinstance(value, (int, float)):
        return f"{round(float(value), 1):g}"
    return escape(str(value))
