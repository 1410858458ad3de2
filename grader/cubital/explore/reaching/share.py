"""The share of a catheter that comes to lie in the vein, and what studies saw of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Explorer, Picture, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import (
    DEPTHS_MM,
    LengthChoice,
    insertion_angle,
    near_wall_depth,
    plain_words,
)
from cubital.explore.kit.table import SEEN_WORDS, LessonTable
from cubital.tables import reaching as evidence

LENGTHS_DRAWN_MM = (19, 25, 32, 48)
ANGLES_LISTED_DEG = (15, 25, 35, 45)
CURVE_POINTS = 60
SIZE, BOX = (440, 364), (66, 336, 56, 274)
MEASURE_WORDS = {
    "fraction": "share in the vein",
    "depth": "depth of the vein",
    "length": "length in the vein",
}


def bands() -> tuple[evidence.Survival, ...]:
    """What one study saw by the share in the vein, lowest share first."""
    return tuple(row for row in evidence.survival() if row.measure == "fraction")


def failed_words(share: float | None) -> str:
    """How many failed, in words that leave no more certainty than the study has."""
    if share is None:
        return "not given"
    words: dict[float, str] = {0: "none failed", 1: "all failed"}
    return words.get(share, f"{percent(share)} failed")


def study_words(share: float) -> str:
    """What the study saw of catheters with about this share in the vein."""
    row = calc.survival_band(share, measure="fraction")
    failed = failed_words(row.failed_share)
    return f"Of catheters that lay like this, {failed} in one study of {row.patients} patients."


class ShareAndDepth(Explorer):
    """The share of the catheter in the vein against the depth of the vein."""

    inputs = ("near_wall_depth_mm", "insertion_angle_deg", "length_mm")
    title = traitlets.Unicode("Share of the catheter in the vein").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} A straight way to the near wall and the rest along the vein, the hub at the "
        "skin. The bands are one small study of one hospital: they show what went together, not "
        "what must follow."
    ).tag(sync=True)
    near_wall_depth_mm = near_wall_depth(6)
    insertion_angle_deg = insertion_angle(25)
    length_mm = LengthChoice(32)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The share for one length, angle and depth, and how it falls with the depth."""
        numbers = share_numbers(ShareState(**state))
        share = percent(numbers.share, 1)
        return Picture(
            svg=_draw(numbers),
            alt=_describe(numbers),
            spoken=plain_words(f"{share} in the vein. {failed_words(numbers.failed_share)}."),
            readings=_readings(numbers),
            numbers=numbers,
        )


@dataclass(frozen=True, kw_only=True)
class ShareState:
    """Depth of the near wall [mm], angle [degrees] and length of the catheter [mm]."""

    near_wall_depth_mm: float
    insertion_angle_deg: float
    length_mm: float


@dataclass(frozen=True, kw_only=True)
class ShareNumbers(ShareState):
    """The share of the catheter in the vein, and its curves over the depth of the near wall."""

    share: float
    length_in_vein_mm: float
    failed_share: float | None
    """Share of catheters that failed in the study's band; None where it is not given."""
    wanted_share: float
    """The lower end of the highest band."""
    flattest_angle_deg: float | None
    """The flattest angle that puts the wanted share in the vein; None where no angle does."""
    depths_mm: np.ndarray
    curves: dict[float, np.ndarray]
    """Share in the vein for each of `depths_mm`, by length of the catheter [mm]."""


def share_numbers(state: ShareState) -> ShareNumbers:
    """Compute the share in the vein and its curves over the depth."""
    length, angle = state.length_mm, state.insertion_angle_deg
    approach = {"insertion_angle_deg": angle}
    here = approach | {"near_wall_depth_mm": state.near_wall_depth_mm}
    share = calc.fraction_in_vein(length, **here)
    depths = np.linspace(*DEPTHS_MM, CURVE_POINTS)
    others = [other for other in LENGTHS_DRAWN_MM if abs(other - length) > 5]
    wanted = bands()[-1].low
    return ShareNumbers(
        **vars(state),
        share=share,
        length_in_vein_mm=calc.length_in_vein_mm(length, **here),
        failed_share=calc.survival_band(share, measure="fraction").failed_share,
        wanted_share=wanted,
        flattest_angle_deg=_flattest(wanted, length, state.near_wall_depth_mm),
        depths_mm=depths,
        curves={
            each: calc.fraction_in_vein(each, near_wall_depth_mm=depths, **approach)
            for each in sorted([*others, length])
        },
    )


def _flattest(share: float, length_mm: float, depth_mm: float) -> float | None:
    """The flattest angle that leaves so much in the vein, or None where no angle does."""
    try:
        angle = calc.angle_for_fraction_deg(share, length_mm=length_mm, near_wall_depth_mm=depth_mm)
    except ValueError:
        return None
    return float(angle)


def _readings(n: ShareNumbers) -> tuple[Reading, ...]:
    angle = n.flattest_angle_deg
    return (
        Reading("Share in the vein", percent(n.share, 1), study_words(n.share)),
        Reading(
            f"Length in the vein, of {measure(n.length_mm, 'mm', 0)}",
            measure(n.length_in_vein_mm, "mm", 1),
        ),
        Reading(
            f"Flattest angle for {percent(n.wanted_share)} in the vein",
            "no angle does" if angle is None else measure(angle, "degrees", 1),
            "Take a longer catheter or a shallower vein." if angle is None else "",
        ),
    )


def _describe(n: ShareNumbers) -> str:
    lengths = ", ".join(f"{each:g}" for each in n.curves)
    return plain_words(
        f"Curves of the share of the catheter in the vein against the depth of the near wall, at "
        f"{measure(n.insertion_angle_deg, 'degrees', 0)}, for lengths of {lengths} mm. All fall "
        "with the depth, the shorter ones faster. Lines across at "
        f"{' and '.join(percent(row.low) for row in bands()[1:])} part three bands: "
        f"{', '.join(failed_words(row.failed_share) for row in bands())} from the lowest up. "
        f"Ringed: {measure(n.length_mm, 'mm', 0)} at a depth of "
        f"{measure(n.near_wall_depth_mm, 'mm', 1)}, {percent(n.share, 1)} in the vein."
    )


def _draw(n: ShareNumbers) -> str:
    plot = Plot(
        Scale(0, DEPTHS_MM[1], 2, "depth of the near wall, mm"),
        Scale(0, 1, 0.2, "share of the catheter in the vein", percent),
        size=SIZE,
        box=BOX,
    )
    _draw_bands(plot)
    for length, shares in n.curves.items():
        is_chosen = length == n.length_mm
        plot.curve(
            n.depths_mm,
            shares,
            colour=drawing.VEIN if is_chosen else drawing.QUIET,
            width=3 if is_chosen else 1.5,
            dash="" if is_chosen else "6 4",
        )
    for length, shares in n.curves.items():
        _name_curve(plot, n.depths_mm, shares, f"{length:g}", length == n.length_mm)
    plot.sheet.words(
        (plot.right, plot.bottom + 60),
        "at the curves: length of the catheter, mm",
        anchor="end",
        colour=drawing.QUIET,
        size=13,
    )
    plot.sheet.words(
        (plot.right, plot.bottom + 80),
        "solid: the chosen length",
        anchor="end",
        colour=drawing.QUIET,
        size=13,
    )
    plot.mark(
        n.near_wall_depth_mm,
        n.share,
        f"{measure(n.length_mm, 'mm', 0)}, {measure(n.near_wall_depth_mm, 'mm', 1)} deep: "
        f"{percent(n.share, 1)} in the vein",
    )
    return plot.svg()


def _draw_bands(plot: Plot) -> None:
    sheet, side = plot.sheet, plot.right + 8
    sheet.words((side, plot.top - 14), "in one study", colour=drawing.MARKER, size=13)
    for row in bands():
        middle = plot.up((row.low + row.high) / 2)
        words = failed_words(row.failed_share)
        sheet.words((side, middle + 4), words, colour=drawing.MARKER, size=13)
        if row.low:
            end = plot.up(row.low)
            sheet.line((plot.left, end), (SIZE[0] - 6, end), colour=drawing.MARKER, width=1.5)
            sheet.words(
                (side, end - 4), percent(row.low), colour=drawing.MARKER, size=13, bold=True
            )


def _name_curve(
    plot: Plot, depths: np.ndarray, shares: np.ndarray, words: str, chosen: bool
) -> None:
    """Write a curve's length where it leaves the picture: at its right end or at the bottom."""
    reached = np.flatnonzero(shares > 0)
    last = int(reached[-1]) if reached.size else 0
    at_right = last == len(depths) - 1
    x, y = plot.place(depths[min(last + 1, len(depths) - 1)], shares[last])
    place = (x - 4, y - 11) if at_right else (x + 1, plot.bottom - 11)
    colour = drawing.VEIN if chosen else drawing.QUIET
    anchor = "end" if at_right else "start"
    plot.sheet.words(place, words, anchor=anchor, colour=colour, size=13, bold=chosen, halo=True)


def choice_of_length_table(near_wall_depth_mm: float, *, gauge: int) -> LessonTable:
    """The share in the vein for each length that a gauge is made in, at some angles."""
    lengths = calc.gauge(gauge).lengths_mm
    wanted = bands()[-1].low
    deep = measure(near_wall_depth_mm, "mm", 1)

    def cell(length: float, angle: float) -> str:
        share = calc.fraction_in_vein(
            length, near_wall_depth_mm=near_wall_depth_mm, insertion_angle_deg=angle
        )
        return f"{percent(share)}{', enough' if share >= wanted else ''}"

    return LessonTable(
        caption=f"Share in the vein: {gauge} gauge, near wall {deep} deep",
        columns=("Length", *(f"At {angle} degrees" for angle in ANGLES_LISTED_DEG)),
        rows=tuple(
            (measure(length, "mm", 0), *(cell(length, angle) for angle in ANGLES_LISTED_DEG))
            for length in lengths
        ),
        note=f"Enough: {percent(wanted)} or more, the guide of this lesson. "
        "A steeper needle meets the far wall sooner.",
    )


def survival_table() -> LessonTable:
    """What the studies saw, band by band, and how good each study is."""
    return LessonTable(
        caption="Catheters put in by ultrasound: what was seen, by how they lay",
        columns=("How it lay", "Failed", "What kind of study", "Source"),
        rows=tuple(
            (
                _band_words(row),
                failed_words(row.failed_share),
                row.standing,
                f"{row.source} ({SEEN_WORDS[row.seen]})",
            )
            for row in evidence.survival()
        ),
    )


def _band_words(row: evidence.Survival) -> str:
    def written(value: float) -> str:
        return percent(value) if row.measure == "fraction" else measure(value, "mm", 1)

    top = tables.limits()[
        {"fraction": "fraction_in_vein", "depth": "near_wall_depth_mm"}.get(
            row.measure, "length_mm"
        )
    ].high
    if row.high >= top:
        ends = f"{written(row.low)} and more"
    elif row.low == 0:
        ends = f"below {written(row.high)}"
    else:
        ends = f"{written(row.low)} to below {written(row.high)}"
    return f"{MEASURE_WORDS[row.measure]}: {ends}"
