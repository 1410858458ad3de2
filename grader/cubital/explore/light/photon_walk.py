"""Photons followed one by one through skin and vein, beside the quick formula."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.skin_light import (
    FULL,
    contrast_words,
    diameter_slider,
    melanin_slider,
    plain,
    skin_of,
)
from cubital.tables import light

WAVELENGTH_NM = 850
DEPTHS_MM = (1, 2, 3, 4, 6)
READ_AT_MM = 3
CURVE_POINTS = 50
PHOTONS = (2_000, 8_000, 32_000)
PASSES = 2  # dimming goes through its photons twice: as they are, and for the vein's scatter
TOP = 0.5


class PhotonCount(Choice):
    """How many photons the next run follows."""

    def __init__(self, default: int) -> None:
        super().__init__(default, label="Photons to follow", unit="photons")

    def options(self) -> dict[object, str]:
        return {count: f"{count:,}" for count in PHOTONS}


class PhotonRun(NamedTuple):
    """The result of a run, and the settings it was made for.

    `contrasts` and `errors`, their standard errors, belong to `DEPTHS_MM`.
    """

    lumen_diameter_mm: float
    melanin_percent: float
    photons: int
    seed: int
    contrasts: tuple[float, ...]
    errors: tuple[float, ...]

    def settings(self) -> tuple[float, float, int]:
        """Where the controls stood for this run."""
        return self.lumen_diameter_mm, self.melanin_percent, self.photons


class PhotonsOneByOne(Explorer):
    """The quick formula's curve, and what followed photons say of five depths."""

    inputs = ("lumen_diameter_mm", "melanin_percent", "photons")
    kept = ("run",)
    title = traitlets.Unicode("Photons, one by one").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} A run takes a few seconds; the first one on a computer takes longer, up to a "
        "minute. Each run draws new photons, so its answer differs a little from the last."
    ).tag(sync=True)
    lumen_diameter_mm = diameter_slider(3)
    melanin_percent = melanin_slider(5)
    photons = PhotonCount(2_000)
    run = traitlets.Instance(PhotonRun, default_value=None, allow_none=True)
    action = traitlets.Unicode("Follow the photons").tag(sync=True)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The quick formula, and the last run if it was made for these settings."""
        n = photon_numbers(PhotonState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain(_spoken(n)),
            readings=_readings(n),
            numbers=n,
        )

    def act(self, progress: Callable[[int, int], object]) -> None:
        """Follow the photons, with other random numbers than the last time."""
        seed = self.run.seed + 1 if self.run else 1
        self.run = follow_photons(
            self.lumen_diameter_mm,
            melanin_percent=self.melanin_percent,
            photons=self.photons,
            seed=seed,
            progress=progress,
        )


def follow_photons(
    lumen_diameter_mm: float,
    *,
    melanin_percent: float,
    photons: int,
    seed: int,
    progress: Callable[[int, int], object],
) -> PhotonRun:
    """Follow photons on one core, and return the contrast of a vein at every depth.

    As `calc.vein_shadows` does, over the veins' axes alone.
    """
    from cubital.calc.light.transport import dimming  # noqa: PLC0415 - on use: at the button

    venous = light.blood()["venous"]
    contrasts, others, _ = dimming.dimmed(
        calc.skin_layers(WAVELENGTH_NM, melanin_fraction=melanin_percent / FULL),
        vein_medium=calc.blood_medium(
            WAVELENGTH_NM,
            oxygen_saturation=venous.oxygen_saturation,
            haematocrit=venous.haematocrit,
        ),
        veins=np.array([(depth, lumen_diameter_mm) for depth in DEPTHS_MM]),
        across_mm=np.zeros((len(DEPTHS_MM), 1)),
        photons=photons,
        seed=seed,
        cores=1,
        progress=_Passes(progress),
    )
    errors = dimming.together(others)
    return PhotonRun(
        lumen_diameter_mm,
        melanin_percent,
        photons,
        seed,
        tuple(contrasts[:, 0].tolist()),
        tuple(errors[:, 0].tolist()),
    )


class _Passes:
    """Progress over several passes as one that never goes back."""

    def __init__(self, progress: Callable[[int, int], object]) -> None:
        self.progress, self.passed, self.last = progress, 0, 0

    def __call__(self, done: int, of: int) -> None:
        if done < self.last:
            self.passed += 1
        self.last = done
        self.progress(min(self.passed * of + done, PASSES * of), PASSES * of)


@dataclass(frozen=True, kw_only=True)
class PhotonState:
    """The vein, the skin, and the last run."""

    lumen_diameter_mm: float
    melanin_percent: float
    photons: int
    run: PhotonRun | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class PhotonNumbers(PhotonState):
    """The quick formula's contrasts, and the last run if it was made for these settings."""

    is_old: bool  # there was a run, for other settings
    depths_mm: np.ndarray
    contrasts: np.ndarray  # by the formula at each of these depths
    formula: tuple[float, ...]  # the same at DEPTHS_MM


def photon_numbers(state: PhotonState) -> PhotonNumbers:
    """Compute the quick formula's contrasts beside the last run."""
    limit = tables.limits()["upper_wall_depth_mm"]
    depths = np.linspace(limit.low, limit.high, CURVE_POINTS)
    contrasts = calc.skin_vein_contrast(
        np.concatenate([depths, DEPTHS_MM]),
        lumen_diameter_mm=state.lumen_diameter_mm,
        **skin_of(picture_wavelength_nm=WAVELENGTH_NM, melanin_percent=state.melanin_percent),
    )
    settings = state.lumen_diameter_mm, state.melanin_percent, state.photons
    is_current = state.run is not None and state.run.settings() == settings
    return PhotonNumbers(
        **vars(state if is_current else replace(state, run=None)),
        is_old=state.run is not None and not is_current,
        depths_mm=depths,
        contrasts=contrasts[:CURVE_POINTS],
        formula=tuple(float(value) for value in contrasts[CURVE_POINTS:]),
    )


def _give_or_take(run: PhotonRun, place: int) -> str:
    error = _points(run.errors[place])
    return f"{contrast_words(run.contrasts[place])} ± {error}"


def _points(error: float) -> str:
    """A standard error in points of a percentage, never written as nought."""
    digits = 1 if error >= 0.001 else 2
    return f"{FULL * error:.{digits}f}"


def _spoken(n: PhotonNumbers) -> str:
    place = DEPTHS_MM.index(READ_AT_MM)
    quick = f"{READ_AT_MM} mm deep, the quick formula says {contrast_words(n.formula[place])}."
    if n.run is None:
        return f"{quick} The button will follow {n.photons:,} photons."
    return f"{quick} {n.photons:,} photons say {_give_or_take(n.run, place)}."


def _readings(n: PhotonNumbers) -> tuple[Reading, ...]:
    run = n.run
    rows = [
        Reading(
            f"{measure(depth, 'mm', 0)} deep",
            "not run yet" if run is None else _give_or_take(run, place),
            f"Quick formula: {contrast_words(n.formula[place])}.",
        )
        for place, depth in enumerate(DEPTHS_MM)
    ]
    if run is None:
        return tuple(rows)
    apart = [
        abs(a - b) / error for a, b, error in zip(n.formula, run.contrasts, run.errors, strict=True)
    ]
    return (
        *rows,
        Reading("Farthest from the formula", f"{max(apart):.1f} standard errors"),
    )


def _describe(n: PhotonNumbers) -> str:
    run = n.run
    points = ", ".join(
        f"{measure(depth, 'mm', 0)} {_give_or_take(run, place)}"
        for place, depth in enumerate(DEPTHS_MM)
        if run
    )
    return plain(
        f"A curve of contrast against depth by the quick formula falls steeply, for a vein "
        f"{measure(n.lumen_diameter_mm, 'mm', 1)} across in skin with "
        f"{n.melanin_percent:.0f} % melanin at {WAVELENGTH_NM} nm; {_spoken(n)} "
        + (f"Ringed points with error bars: {points}." if run else "No points are drawn.")
    )


def _draw(n: PhotonNumbers) -> str:
    run = n.run
    plot = Plot(
        Scale(0, 8, 1, "depth of the upper wall, mm"),
        Scale(0, TOP, 0.1, "contrast", percent),
    )
    plot.curve(n.depths_mm, n.contrasts)
    plot.label(4.2, 0.44, "curve: quick formula", colour=drawing.VEIN)
    if run is None:
        words = "Settings changed: not run" if n.is_old else "Not run yet"
        plot.sheet.words((8, 16), f"{words} for {n.photons:,} photons", bold=True)
        return plot.svg()
    plot.sheet.words((8, 16), f"Run {run.seed}, {run.photons:,} photons", bold=True)
    plot.label(4.2, 0.40, "rings: photons", colour=drawing.MARKER)
    plot.label(4.2, 0.36, "bars: two standard errors", colour=drawing.MARKER)
    for depth, contrast, error in zip(DEPTHS_MM, run.contrasts, run.errors, strict=True):
        x, high = plot.place(depth, contrast + 2 * error)
        low = plot.place(depth, contrast - 2 * error)[1]
        plot.sheet.line((x, high), (x, low), colour=drawing.MARKER, width=2)
        for end in (high, low):
            plot.sheet.line((x - 6, end), (x + 6, end), colour=drawing.MARKER, width=2)
        plot.sheet.circle(
            plot.place(depth, contrast), 4, fill=drawing.PAPER, colour=drawing.MARKER, width=2
        )
    return plot.svg()
