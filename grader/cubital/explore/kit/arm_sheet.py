"""Draw a right forearm and hand with what runs in it, and name it beside the arm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from cubital.explore.kit import drawing
from cubital.explore.kit.arm import ARM, BICEPS_TENDON, DIGITS, WRIST_MM, Course, Digit, View
from cubital.explore.kit.drawing import Point, Sheet

WIDTH, HEIGHT, PX_PER_MM = 440, 712, 1.18
MIDDLE_PX, TOP_MM = 220, -90
LINE_PX, WORDS_PX = 16, 13
COLOURS = {"vein": drawing.VEIN, "artery": drawing.MARKER, "nerve": drawing.NERVE}
DASHES = {"vein": "", "artery": "10 4", "nerve": "2 4"}
DEEP_NERVE = "1 7"
DRAWN = "Drawn from anatomy texts, veins wider than true, not clinically validated"
SURFACE = 2  # the level from which things lie just under the skin
EDGE, FAINT, TENDON = "#8d968f", "#b9b2a4", "#dcd4c2"


@dataclass(frozen=True)
class Label:
    """Words beside the arm, with a thin line to the place that they name."""

    lines: tuple[str, ...]
    at: Point
    """The place (r, y) in mm."""
    y_mm: float
    """The height of the first line."""
    side: Literal["thumb", "little finger"]
    colour: str = drawing.INK


class ArmSheet:
    """A sheet with a right arm, its hand below, seen from the palm's side or from the back."""

    def __init__(self, view: View) -> None:
        self.view = view
        self.sheet = Sheet(WIDTH, HEIGHT)
        self._outline()

    def place(self, point: Point) -> Point:
        """Where a place of the arm lies on the sheet: the thumb left on the palm's side."""
        r, y = point
        turned = -r if self.view == "palm" else r
        return MIDDLE_PX + PX_PER_MM * turned, PX_PER_MM * (y - TOP_MM)

    def places(self, points: Sequence[Point]) -> list[Point]:
        """Where places of the arm lie on the sheet."""
        return [self.place(point) for point in points]

    def _outline(self) -> None:
        shapes = [self.places(ARM), *(self.places(_around(digit)) for digit in DIGITS)]
        for shape in shapes:
            self.sheet.smooth(shape, closed=True, colour=EDGE, width=3.5, fill=drawing.SKIN)
        for shape in shapes:
            self.sheet.smooth(shape, closed=True, colour=drawing.SKIN, width=0.5, fill=drawing.SKIN)
        (self._palm if self.view == "palm" else self._back)()

    def _palm(self) -> None:
        """Draw the creases of elbow, wrist, palm and fingers."""
        creases = (
            ((40, 3), (15, -2), (-15, -1), (-40, -7)),
            ((29, WRIST_MM), (10, WRIST_MM + 3), (-10, WRIST_MM + 3), (-29, WRIST_MM)),
            ((22, 247), (13, 262), (15, 285), (27, 304), (38, 311)),
            ((38, 316), (20, 312), (0, 304), (-20, 290), (-26, 280)),
            ((-42, 308), (-22, 314), (0, 322), (14, 338)),
        )
        for crease in creases:
            self.sheet.smooth(self.places(crease), colour=FAINT, width=1.3)
        for digit in DIGITS:
            for r, y in digit.joints:
                self._across(digit, (r, y), 6)

    def _back(self) -> None:
        """Draw nails, knuckles, the end of the ulna and the point of the elbow."""
        for digit in DIGITS:
            (x0, y0), (x1, y1) = digit.middle[-2:]
            length = math.hypot(x1 - x0, y1 - y0)
            along, half = ((x1 - x0) / length, (y1 - y0) / length), 0.62 * digit.half[-1]
            tip = (x1 + 2 * along[0], y1 + 2 * along[1])
            corners = [
                (tip[0] + a * along[0] + b * along[1], tip[1] + a * along[1] - b * along[0])
                for a, b in ((0, -half), (3, 0), (0, half), (-8, half), (-10, 0), (-8, -half))
            ]
            self.sheet.smooth(self.places(corners), closed=True, colour=FAINT, width=1.3)
            for r, y in digit.joints[:1]:
                self._across(digit, (r, y), 4)
        for r, y in ((26, 322), (7, 324), (-12, 322), (-30, 314)):
            bump = ((r + 6, y), (r + 3, y - 4), (r - 3, y - 4), (r - 6, y))
            self.sheet.smooth(self.places(bump), colour=FAINT, width=1.3)
        head = ((-14, 228), (-18, 221), (-25, 221), (-28, 228))
        self.sheet.smooth(self.places(head), colour=FAINT, width=1.3)
        elbow = ((12, -14), (6, 2), (-6, 2), (-14, -14))
        self.sheet.smooth(self.places(elbow), colour=FAINT, width=1.3)

    def _across(self, digit: Digit, at: Point, half: float) -> None:
        (x0, y0), (x1, y1) = digit.middle[-2:]
        length = math.hypot(x1 - x0, y1 - y0)
        r, y = half * (y1 - y0) / length, half * (x1 - x0) / length
        ends = ((at[0] - r, at[1] + y), at, (at[0] + r, at[1] - y))
        self.sheet.smooth(self.places(ends), colour=FAINT, width=1.3)

    def draw(self, course: Course, *, colour: str | None = None) -> None:
        """Draw a vein solid, an artery in dashes, a nerve in dots, over a rim of skin."""
        points = self.places(course.points)
        if course.level >= SURFACE:
            self.sheet.smooth(points, colour=drawing.SKIN, width=course.width + 2)
        self.sheet.smooth(
            points,
            colour=colour or COLOURS[course.kind],
            width=course.width,
            dash=DEEP_NERVE
            if course.kind == "nerve" and course.level < SURFACE
            else DASHES[course.kind],
        )

    def tendon(self) -> None:
        """Draw the tendon of the biceps, that a finger feels at the elbow."""
        points = self.places(BICEPS_TENDON)
        self.sheet.smooth(points, colour=TENDON, width=11)

    def site(self, corners: Sequence[Point]) -> None:
        """Shade a region in which a vein may be taken."""
        self.sheet.smooth(
            self.places(corners), closed=True, fill=drawing.LUMEN, colour=drawing.VEIN, width=1
        )

    def zone(self, corners: Sequence[Point]) -> None:
        """Hatch a region to keep away from."""
        self.sheet.hatched(self.places(corners), colour=drawing.MARKER)

    def number(self, at: Point, number: int) -> None:
        """Write a number in a ring of paper."""
        x, y = self.place(at)
        self.sheet.circle((x, y), 12, fill=drawing.PAPER, colour=drawing.INK, width=2)
        self.sheet.words((x, y + 5), str(number), anchor="middle", bold=True)

    def label(self, label: Label) -> None:
        """Write the words beside the arm and lead a line from them to their place."""
        is_left = (label.side == "thumb") == (self.view == "palm")
        edge, anchor = (6, "start") if is_left else (WIDTH - 6, "end")
        x, y = self.place(label.at)
        _, top = self.place((0, label.y_mm))
        wide = max(len(line) for line in label.lines) * 0.57 * WORDS_PX
        start = edge + wide + 4 if is_left else edge - wide - 4
        middle = top - 4 + LINE_PX * (len(label.lines) - 1) / 2
        self.sheet.line((start, middle), (x, y), colour=drawing.QUIET, width=1)
        self.sheet.circle((x, y), 2.2, fill=drawing.QUIET, colour=drawing.PAPER)
        for row, line in enumerate(label.lines):
            self.sheet.words(
                (edge, top + LINE_PX * row), line, anchor=anchor, colour=label.colour, size=WORDS_PX
            )

    def key(self, *rows: tuple[str, str]) -> None:
        """Say below the hand what a kind of line or region stands for."""
        for place, (kind, words) in enumerate(rows):
            y = HEIGHT - 14 - 22 * (len(rows) - 1 - place)
            if kind == "zone":
                self.sheet.hatched(
                    ((8, y - 8), (40, y - 8), (40, y + 6), (8, y + 6)), colour=drawing.MARKER
                )
            elif kind == "site":
                corners = ((11, y - 7), (37, y - 7), (37, y + 6), (11, y + 6))
                self.sheet.smooth(
                    corners, closed=True, fill=drawing.LUMEN, colour=drawing.VEIN, width=1
                )
            else:
                colour = COLOURS[kind.removeprefix("deep ")]
                dash = DEEP_NERVE if kind == "deep nerve" else DASHES[kind]
                self.sheet.smooth(((8, y), (40, y)), colour=colour, width=3, dash=dash)
            self.sheet.words((50, y + 5), words, size=WORDS_PX)


def _around(digit: Digit) -> list[Point]:
    """Return the outline of a finger: down one side, round the tip, up the other."""
    one, other = [], []
    for k, ((x, y), half) in enumerate(zip(digit.middle, digit.half, strict=True)):
        (x0, y0), (x1, y1) = (digit.middle[max(k - 1, 0)], digit.middle[min(k + 1, 3)])
        length = math.hypot(x1 - x0, y1 - y0)
        r, down = half * (y1 - y0) / length, -half * (x1 - x0) / length
        one.append((x + r, y + down))
        other.append((x - r, y - down))
    (x0, y0), (x1, y1) = digit.middle[-2:]
    length, half = math.hypot(x1 - x0, y1 - y0), digit.half[-1]
    along = ((x1 - x0) / length, (y1 - y0) / length)
    round_tip = [
        (
            x1 + half * (math.cos(a) * along[0] + math.sin(a) * along[1]),
            y1 + half * (math.cos(a) * along[1] - math.sin(a) * along[0]),
        )
        for a in (math.pi / 3, math.pi / 6, 0, -math.pi / 6, -math.pi / 3)
    ]
    return [*one, *round_tip, *other[::-1]]
