"""A schematic cut along a vein, drawn to one scale: skin, the vein's walls and a needle's line."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from cubital import calc, tables
from cubital.calc.shared.formatting import measure
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Point, Sheet
from cubital.explore.kit.explorer import Choice, Quantity

LABEL_GAP = 17
DEPTHS_MM, VEINS_MM, ANGLES_DEG = (1, 12), (1.5, 6), (10, 45)


def insertion_angle(default: float) -> Quantity:
    """A slider for the angle between needle and skin."""
    return Quantity(
        default,
        of="insertion_angle_deg",
        step=1,
        label="Angle between needle and skin",
        unit_words="degrees",
        part=ANGLES_DEG,
    )


def near_wall_depth(default: float, part: tuple[float, float] = DEPTHS_MM) -> Quantity:
    """A slider for the depth of the wall nearest to the skin."""
    return Quantity(
        default,
        of="near_wall_depth_mm",
        step=0.5,
        label="Depth of the near wall, by ultrasound",
        unit_words="millimetres",
        part=part,
    )


def vein_diameter(default: float) -> Quantity:
    """A slider for the vein's diameter."""
    return Quantity(
        default,
        of="vein_diameter_mm",
        step=0.1,
        label="Vein diameter, by ultrasound",
        unit_words="millimetres",
        part=VEINS_MM,
    )


class LengthChoice(Choice):
    """A length out of those that catheters are made in."""

    def __init__(self, default: float) -> None:
        super().__init__(default, label="Length of the catheter", unit="mm")

    def options(self) -> dict[object, str]:
        made: dict[float, list[str]] = {}
        for row in tables.gauges():
            for length in row.lengths_mm:
                made.setdefault(length, []).append(str(row.gauge))
        return {
            length: f"{length:g} mm, made in {', '.join(made[length])} gauge"
            for length in sorted(made)
        }


def to_wall_mm(
    near_wall_depth_mm: float, *, vein_diameter_mm: float, insertion_angle_deg: float, wall: str
) -> float:
    """Return the distance along the needle from the skin to the near or the far wall [mm]."""
    depth = calc.depth_to_wall_mm(near_wall_depth_mm, vein_diameter_mm=vein_diameter_mm, wall=wall)
    return float(calc.track_length_mm(depth, insertion_angle_deg=insertion_angle_deg))


def spread(places: Sequence[float], gap: float = LABEL_GAP) -> list[float]:
    """Heights of labels near their places, from the top down, none closer than the gap."""
    order = sorted(range(len(places)), key=places.__getitem__)
    moved = list(places)
    for above, below in itertools.pairwise(order):
        moved[below] = max(moved[below], moved[above] + gap)
    return moved


class Section:
    """Where a depth and a way along the needle lie on a sheet; the needle enters at `entry`."""

    def __init__(self, sheet: Sheet, *, px_per_mm: float, entry: Point, right: float) -> None:
        self.sheet, self.px_per_mm, self.entry, self.right = sheet, px_per_mm, entry, right

    def deep(self, depth_mm: float) -> float:
        """The height on the sheet of a depth below the skin."""
        return self.entry[1] + self.px_per_mm * depth_mm

    def along(self, way_mm: float, angle_deg: float, start: Point | None = None) -> Point:
        """The place so far along a line that goes down at an angle."""
        x, y = start or self.entry
        angle = math.radians(angle_deg)
        way = self.px_per_mm * way_mm
        return x + way * math.cos(angle), y + way * math.sin(angle)

    def line(
        self, start: Point, way_mm: float, angle_deg: float, *, colour: str, dash: str = ""
    ) -> Point | None:
        """Draw a line down at an angle as far as the picture goes; its end if that is on it."""
        edge_mm = (self.right - start[0]) / self.px_per_mm / math.cos(math.radians(angle_deg))
        end = self.along(min(way_mm, max(edge_mm, 0)), angle_deg, start)
        self.sheet.line(start, end, colour=colour, width=2, dash=dash)
        return end if way_mm <= edge_mm else None

    def tissue(self, near_wall_depth_mm: float, vein_diameter_mm: float) -> None:
        """Draw the skin and the vein, and name them at the right."""
        skin, near = self.entry[1], self.deep(near_wall_depth_mm)
        far = self.deep(near_wall_depth_mm + vein_diameter_mm)
        self.sheet.line(
            (8, (near + far) / 2),
            (self.right, (near + far) / 2),
            colour=drawing.LUMEN,
            width=far - near,
        )
        self.sheet.line((8, skin), (self.right, skin), width=2)
        for wall in (near, far):
            self.sheet.line((8, wall), (self.right, wall), colour=drawing.VEIN, width=3)
        named = (
            (skin, "skin", drawing.INK),
            (near, "near wall", drawing.VEIN),
            (far, "far wall", drawing.VEIN),
        )
        for label, (place, words, colour) in zip(spread([skin, near, far]), named, strict=True):
            self.sheet.line((self.right, place), (self.right + 6, label), colour=colour)
            self.sheet.words((self.right + 9, label + 4), words, colour=colour, size=13)

    def hub(self, angle_deg: float) -> None:
        """Draw the hub above the skin."""
        self.sheet.line(self.along(-3.2, angle_deg), self.entry, colour=drawing.CATHETER, width=9)

    def ruler(self, place: Point, length_mm: float = 5) -> None:
        """Draw a length to the picture's scale."""
        x, y = place
        end = x + self.px_per_mm * length_mm
        self.sheet.line((x, y), (end, y), width=2)
        for tick in (x, end):
            self.sheet.line((tick, y - 5), (tick, y + 5), width=2)
        words = measure(length_mm, "mm", 0)
        self.sheet.words((end + 8, y + 5), words, colour=drawing.QUIET, size=13)


def key_row(
    sheet: Sheet, y: float, words: str, *, colour: str, width: float = 2, dash: str = ""
) -> None:
    """Write what a kind of line stands for, after a piece of it."""
    sheet.line((8, y), (44, y), colour=colour, width=width, dash=dash)
    sheet.words((54, y + 5), words, size=13)


def plain_words(text: str) -> str:
    """Words for a voice: with ordinary spaces."""
    return text.replace("\N{NO-BREAK SPACE}", " ")
