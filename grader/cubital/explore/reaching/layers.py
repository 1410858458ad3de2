"""Skin, fat and vein cut through, drawn to one scale, with a flat and a steep needle."""

from __future__ import annotations

from dataclasses import dataclass

from cubital.calc.shared.formatting import measure
from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import Sheet, StaticFigure
from cubital.explore.kit.section import Section, key_row, plain_words, spread, to_wall_mm
from cubital.tables.light import skin_layers
from cubital.tables.scene import vessel_sizes

WIDTH, HEIGHT = 440, 470
PX_PER_MM, LEFT, ENTRY, RIGHT = 10, 8, 44, 298
SKINS_PX, WINDOWS_MM = (58, 262), (6.4, 11.4)
DERMIS, FAT, LOBULE = "#e6d6c3", "#f7f0da", "#ddd0a4"
LOBULE_PX = 12
FLAT_DEG, STEEP_DEG = 15.0, 30.0
DEEP_MM, DEEP_WIDE_MM = 6.0, 3.0  # the vein of the lesson's patient


@dataclass(frozen=True, kw_only=True)
class Reached:
    """One vein [mm] and one angle [degrees]: the ways along the needle [mm]."""

    words: str
    near_wall_depth_mm: float
    vein_diameter_mm: float
    insertion_angle_deg: float
    near_wall_mm: float
    room_mm: float


def reached(words: str, depth_mm: float, diameter_mm: float, angle_deg: float) -> Reached:
    """Compute the way to the near wall, and from there straight on to the far wall."""
    approach = {"vein_diameter_mm": diameter_mm, "insertion_angle_deg": angle_deg}
    near, far = (to_wall_mm(depth_mm, wall=wall, **approach) for wall in ("near", "far"))
    return Reached(
        words=words,
        near_wall_depth_mm=depth_mm,
        **approach,
        near_wall_mm=near,
        room_mm=far - near,
    )


def both_veins() -> tuple[tuple[Reached, Reached], ...]:
    """A shallow vein and the deeper one of the lesson, each reached flat and steep."""
    hand = vessel_sizes()["back-of-hand", "adult", "vein"]
    veins = (
        ("A shallow vein", hand.depth_mm, hand.diameter_mm),
        ("A deeper vein", DEEP_MM, DEEP_WIDE_MM),
    )
    return tuple((reached(*vein, FLAT_DEG), reached(*vein, STEEP_DEG)) for vein in veins)


def layers_picture() -> StaticFigure:
    """Skin, fat, a shallow and a deeper vein, each with a needle at two angles."""
    sheet = Sheet(WIDTH, HEIGHT)
    pairs = both_veins()
    for pair, skin, window in zip(pairs, SKINS_PX, WINDOWS_MM, strict=True):
        _panel(sheet, pair, skin, window)
    Section(sheet, px_per_mm=PX_PER_MM, entry=(ENTRY, 0), right=RIGHT).ruler((8, HEIGHT - 14))
    sheet.line((150, HEIGHT - 14), (186, HEIGHT - 14), colour=drawing.MARKER, width=2, dash="2 4")
    sheet.words((196, HEIGHT - 9), "room, straight on to the far wall", size=13)
    return StaticFigure(
        alt=_describe(pairs),
        svg=sheet.svg(),
        caption="Skin, fat and vein, cut through along the vein, to one scale. A flat needle suits "
        "a shallow vein, a steeper one a deep vein. A drawing, not clinically validated: skin and "
        "fat differ from place to place and from person to person.",
    )


def _panel(sheet: Sheet, pair: tuple[Reached, Reached], skin: float, window: float) -> None:
    view = Section(sheet, px_per_mm=PX_PER_MM, entry=(ENTRY, skin), right=RIGHT)
    vein = pair[0]
    epidermis, dermis = (skin_layers()[key].thickness_mm for key in ("epidermis", "dermis"))
    thin, thick = skin_layers()["fat"].thickness_low_mm, skin_layers()["fat"].thickness_high_mm
    bottom, fat = view.deep(window), view.deep(epidermis + dermis)
    near = view.deep(vein.near_wall_depth_mm)
    far = view.deep(vein.near_wall_depth_mm + vein.vein_diameter_mm)
    deep = measure(vein.near_wall_depth_mm, "mm", 1)
    sheet.words((8, skin - 40), f"{vein.words}, near wall {deep} deep", bold=True)
    for top, end, colour in ((fat, bottom, FAT), (skin, fat, DERMIS)):
        sheet.line(
            (LEFT, (top + end) / 2), (RIGHT, (top + end) / 2), colour=colour, width=end - top
        )
    for top, end in ((fat, near), (far, bottom)):
        for row in range(int((end - top - 3) // LOBULE_PX)):
            y = top + 2 + LOBULE_PX * (row + 0.5)
            for x in range(LEFT + 8 + 7 * (row % 2), RIGHT - 6, 15):
                sheet.circle((x, y), 5, colour=LOBULE)
    sheet.line(
        (LEFT, (near + far) / 2), (RIGHT, (near + far) / 2), colour=drawing.LUMEN, width=far - near
    )
    for wall in (near, far):
        sheet.line((LEFT, wall), (RIGHT, wall), colour=drawing.VEIN, width=3)
    sheet.line((LEFT, fat), (RIGHT, fat), colour=drawing.QUIET, dash="2 3")
    sheet.line((LEFT, skin), (RIGHT, skin), width=2)
    for way, dash in zip(pair, ("", "7 4"), strict=True):
        _needle(view, way, dash)
    named = (
        (skin, f"epidermis, {measure(epidermis, 'mm', 1)}", drawing.INK),
        ((skin + fat) / 2 + 2, f"dermis, {measure(dermis, 'mm', 1)}", drawing.INK),
        ((near + far) / 2, f"vein, {measure(vein.vein_diameter_mm, 'mm', 1)} wide", drawing.VEIN),
        (bottom - 8, f"fat, {thin:g} to {thick:g} mm", drawing.INK),
    )
    for label, (place, words, colour) in zip(spread([y for y, _, _ in named]), named, strict=True):
        sheet.line((RIGHT, place), (RIGHT + 6, label), colour=colour)
        sheet.words((RIGHT + 9, label + 4), words, colour=colour, size=13)
    for row, (way, dash) in enumerate(zip(pair, ("", "7 4"), strict=True)):
        words = (
            f"{measure(way.insertion_angle_deg, 'degrees', 0)}: "
            f"{measure(way.near_wall_mm, 'mm', 1)} to the vein, then "
            f"{measure(way.room_mm, 'mm', 1)} of room"
        )
        key_row(sheet, bottom + 18 + 22 * row, words, colour=drawing.CATHETER, width=3, dash=dash)


def _needle(view: Section, way: Reached, dash: str) -> None:
    angle = way.insertion_angle_deg
    view.sheet.line(
        view.along(-3.9, angle),
        view.along(way.near_wall_mm, angle),
        colour=drawing.CATHETER,
        width=3,
        dash=dash,
    )
    wall = view.along(way.near_wall_mm, angle)
    met = view.line(wall, way.room_mm, angle, colour=drawing.MARKER, dash="2 4")
    if met:
        view.sheet.circle(met, 4, fill=drawing.PAPER, colour=drawing.MARKER, width=2)
    view.sheet.circle(wall, 3.5, fill=drawing.CATHETER, colour=drawing.PAPER)


def _describe(pairs: tuple[tuple[Reached, Reached], ...]) -> str:
    epidermis, dermis, fat = (skin_layers()[key] for key in ("epidermis", "dermis", "fat"))
    told = [
        "Two cuts along a vein, to one scale, from the skin down: the epidermis, "
        f"{measure(epidermis.thickness_mm, 'mm', 1)}, drawn as a line; the dermis, "
        f"{measure(dermis.thickness_mm, 'mm', 1)}; and the fat under the skin, "
        f"{fat.thickness_low_mm:g} to {measure(fat.thickness_high_mm, 'mm', 0)} thick, which goes "
        "on below the picture. The vein lies in the fat. A full line is a flat needle, a dashed "
        "one a steep needle, from the same place on the skin; a dotted line goes on from the near "
        "wall to the far wall."
    ]
    for flat, steep in pairs:
        told.append(
            f"{flat.words}: the near wall is {measure(flat.near_wall_depth_mm, 'mm', 1)} deep, the "
            f"vein {measure(flat.vein_diameter_mm, 'mm', 1)} wide."
        )
        told += [
            f"At {measure(way.insertion_angle_deg, 'degrees', 0)} it is "
            f"{measure(way.near_wall_mm, 'mm', 1)} to the vein, and then "
            f"{measure(way.room_mm, 'mm', 1)} of room to the far wall."
            for way in (flat, steep)
        ]
    return plain_words(" ".join(told))
