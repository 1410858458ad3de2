"""What processing hides and invents: an arm with veins beside the same skin without any."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import traitlets

from cubital import tables
from cubital.calc.shared.formatting import NBSP, measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.scene.anatomy.person import anatomy
from cubital.scene.anatomy.vessels import Scene, Skin, View
from cubital.scene.light import picture, processing
from cubital.scene.truth import processed_bands
from cubital.scene.truth.processed_bands import RealBand

SEED, DEPTH_MM = 29, 1.5
VIEW = View(230, 240, 0.25)
GAP_PX, GAP_GREY = 20, 225
FULL = 100  # per cent in one
LEAST_BAND_MM = 12  # a band that is seen for less is not counted
SIZE, BOX = (440, 258), (66, 424, 54, 194)
WELL_WITHIN = 0.72  # of the frame: nearer to its sides the light falls off, as a band would
KEPT = 64
NOTHING = "none"


class Hair(Choice):
    """Hairs on both pieces of skin."""

    def __init__(self, default: int) -> None:
        super().__init__(default, label="Hair on the skin", unit="hairs/cm²")

    def options(self) -> dict[object, str]:
        """Hairs on a square centimetre, in words."""
        return {0: "none", 8: "8 on each square centimetre"}


class ProcessedTwice(Explorer):
    """The same processing of two pieces of skin, one of them without a vein."""

    inputs = ("filter_mm", "gain_times", "hair")
    title = traitlets.Unicode("Processed: veins left, no vein at all right").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} One plain way to process, with a step of "
        "5 % of full scale taken as seen: teaching assumptions. Devices process in their own ways."
    ).tag(sync=True)
    filter_mm = Quantity(
        4,
        of="processing_filter_mm",
        step=0.5,
        label="Filter width",
        unit_words="millimetres",
    )
    gain_times = Quantity(
        2, of="gain_times", step=0.5, label="Gain", unit_words="times", part=(0.5, 30)
    )
    hair = Hair(0)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """Both frames after processing, with the bands that are hidden and invented."""
        return _picture(ProcessedState(**state))


@functools.lru_cache(maxsize=KEPT)
def _picture(state: ProcessedState) -> Picture:
    n, frame = processed_numbers(state)
    return Picture(
        svg=_draw(n),
        alt=_describe(n),
        spoken=f"{_of(n.shown, n.real)} real bands shown, {n.invented} invented.",
        readings=_readings(n),
        numbers=n,
        frame=frame,
    )


@functools.cache
def scenes(hair: int) -> tuple[Scene, Scene]:
    """The skin with its veins, and the same skin without."""
    person = anatomy("forearm", seed=SEED, artery=False, depth_mm=DEPTH_MM)
    veins = Scene(person, Skin(hairs_per_cm2=hair), VIEW, seed=SEED)
    bare = replace(person, vessels=(), valves=(), confluences=())
    return veins, replace(veins, anatomy=bare)


@functools.cache
def raw_frames(hair: int) -> tuple[np.ndarray, np.ndarray]:
    """What the camera records of both."""
    veins, bare = scenes(hair)
    return picture.frame(veins), picture.frame(bare)


@functools.cache
def real_bands() -> tuple[RealBand, ...]:
    """The bands that are seen without hair and without processing."""
    return processed_bands.real_bands(scenes(0)[0], least_mm=LEAST_BAND_MM)


def least_step() -> float:
    """The step in grey from which a patch counts as seen, as a share of full scale."""
    return tables.constant("processing-seen-step").value


@dataclass(frozen=True, kw_only=True)
class ProcessedState:
    """The settings of the processing, and the hair on both pieces of skin."""

    filter_mm: float
    gain_times: float
    hair: int  # hairs on a square centimetre


@dataclass(frozen=True, kw_only=True)
class ProcessedNumbers(ProcessedState):
    """The real bands that are shown and hidden on the left, the invented ones on the right."""

    steps: Mapping[int, float]  # darkness against both sides, a share of full scale, by band
    real: int  # bands that the camera's own frame shows
    shown: int
    hidden: int
    invented: int
    invented_mm: float  # their length
    strongest: float  # of the invented bands: difference from even skin, a share of full scale
    narrow_mm: float  # widths between which a band keeps half its contrast, before the gain
    wide_mm: float
    least_step: float  # the step in grey from which a band counts as seen


def processed_numbers(
    state: ProcessedState,
) -> tuple[ProcessedNumbers, np.ndarray]:
    """Compute which bands both frames show after processing, and both frames side by side."""
    frames = [
        processing.process(
            frame,
            filter_mm=state.filter_mm,
            mm_per_px=VIEW.mm_per_px,
            gain=state.gain_times,
        )
        for frame in raw_frames(state.hair)
    ]
    steps = {
        number: band.step(frames[0], mm_per_px=VIEW.mm_per_px)
        for number, band in enumerate(real_bands())
    }
    invented = processing.bands(
        frames[1],
        filter_px=state.filter_mm / VIEW.mm_per_px,
        region=_well_within(),
    )
    least = least_step()
    shown = sum(step >= least for step in steps.values())
    narrow, wide = processing.width_range_mm(state.filter_mm)
    gap = np.full((VIEW.height_px, GAP_PX), GAP_GREY, np.uint8)
    numbers = ProcessedNumbers(
        **vars(state),
        steps=steps,
        real=len(steps),
        shown=shown,
        hidden=len(steps) - shown,
        invented=invented.number,
        invented_mm=invented.length_px * VIEW.mm_per_px,
        strongest=invented.strongest,
        narrow_mm=narrow,
        wide_mm=wide,
        least_step=least,
    )
    return numbers, np.hstack([frames[0], gap, frames[1]])


@functools.cache
def _well_within() -> np.ndarray:
    """Return which places are not near the sides of the frame."""
    columns, rows = np.meshgrid(np.arange(VIEW.width_px), np.arange(VIEW.height_px))
    across = np.abs((columns + 0.5) / VIEW.width_px - 0.5)
    down = np.abs((rows + 0.5) / VIEW.height_px - 0.5)
    return (across <= WELL_WITHIN / 2) & (down <= WELL_WITHIN / 2)


def _of(some: int, all_of: int) -> str:
    return f"{some} of {all_of}"


def _readings(n: ProcessedNumbers) -> tuple[Reading, ...]:
    strongest = percent(n.strongest) if n.invented else NOTHING
    return (
        Reading(
            "Real bands shown, left",
            _of(n.shown, n.real),
            f"Hidden: {n.hidden}.",
        ),
        Reading(
            "Bands invented, right",
            f"{n.invented}",
            "There is no vein at all on the right.",
        ),
        Reading(
            "Strongest invented band, in grey",
            strongest,
            "Of full scale, against even skin." if n.invented else "",
        ),
        Reading(
            "Bands that keep half their contrast",
            f"{n.narrow_mm:.1f} to {measure(n.wide_mm, 'mm', 1)} wide",
            "Before the gain.",
        ),
    )


def _describe(n: ProcessedNumbers) -> str:
    hair = Hair(0).options()[n.hair]
    strongest = (
        f"; the strongest is {percent(n.strongest)} of full scale away from even skin"
        if n.invented
        else ""
    )
    text = (
        "Two processed grey pictures side by side, a light gap between: left a simulated forearm "
        "with veins, right the same skin without any. Filter width "
        f"{measure(n.filter_mm, 'mm', 1)}, gain {n.gain_times:g}, hair: {hair}. "
        f"Left, {_of(n.shown, n.real)} real bands are shown and {n.hidden} are "
        f"hidden. Right, {n.invented} bands are invented{strongest}. Below, a curve of what is "
        "left of a band by its width: most at the filter's own, half at "
        f"{n.narrow_mm:.1f} and {measure(n.wide_mm, 'mm', 1)}."
    )
    return text.replace(NBSP, " ")


WIDTHS_MM = np.geomspace(0.25, 20, 60)


def _draw(n: ProcessedNumbers) -> str:
    plot = Plot(
        Scale(0, 20, 5, "width of a band in the picture, mm"),
        Scale(0, 100, 25, "contrast left before the gain, %"),
        size=SIZE,
        box=BOX,
    )
    left = processing.passed_share(WIDTHS_MM, filter_mm=n.filter_mm)
    for band in real_bands():
        x = plot.across(band.width_mm)
        plot.sheet.line((x, plot.bottom), (x, plot.bottom - 12), colour=drawing.VEIN, width=3)
    plot.curve(WIDTHS_MM, FULL * np.asarray(left))
    x = plot.across(n.filter_mm)
    plot.sheet.line((x, plot.bottom), (x, plot.top), colour=drawing.QUIET, dash="2 3")
    plot.sheet.words(
        (SIZE[0] - 16, 16),
        f"dotted: filter width {measure(n.filter_mm, 'mm', 1)}",
        anchor="end",
        colour=drawing.QUIET,
        size=13,
    )
    plot.sheet.words(
        (8, SIZE[1] - 8), "Short strokes: the real bands' widths", colour=drawing.VEIN, size=13
    )
    return plot.svg()
