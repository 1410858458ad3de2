"""The same volume outside the vein in a large limb and in a small one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import traitlets

from cubital import calc, tables
from cubital.calc.shared.formatting import measure, percent
from cubital.explore.kit import drawing
from cubital.explore.kit.explorer import SIMULATED, Choice, Explorer, Picture, Quantity, Reading
from cubital.explore.kit.plot import Plot, Scale
from cubital.explore.kit.section import plain_words
from cubital.tables.scene import limb_sizes

WHOSE = {"adult": "an adult", "child": "a child", "infant": "an infant"}
DASHES = {"adult": "", "child": "8 4", "infant": "2 4"}
TOP = 0.36
CURVE_POINTS = 40


class Whose(Choice):
    """Whose forearm it is."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Forearm of")

    def options(self) -> dict[str, str]:
        return dict(WHOSE)


class SwellingAndLimb(Explorer):
    """What a volume outside the vein is to the forearm of an adult, a child and an infant."""

    inputs = ("leaked_volume_ml", "whose")
    title = traitlets.Unicode("The same leak in a large and a small arm").tag(sync=True)
    notice = traitlets.Unicode(
        f"{SIMULATED} Sizes of forearms and the shape of the swelling are teaching assumptions; "
        "the forearm is taken as a round cylinder."
    ).tag(sync=True)
    leaked_volume_ml = Quantity(
        10, of="leaked_volume_ml", step=1, label="Volume outside the vein", unit_words="millilitres"
    )
    whose = Whose("adult")

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """One volume in one forearm, and in all three."""
        n = swelling_numbers(SwellingState(**state))
        return Picture(
            svg=_draw(n),
            alt=_describe(n),
            spoken=plain_words(
                f"{measure(n.leaked_volume_ml, 'mL', 0)} in {WHOSE[n.whose]}: "
                f"{percent(n.volume_share, 1)} of the forearm."
            ),
            readings=_readings(n),
            numbers=n,
        )


def forearm_mm(whose: str) -> tuple[float, float]:
    """The girth and the length of a forearm."""
    girth = 2 * np.pi * limb_sizes()["forearm", whose].half_width_mm
    return float(girth), tables.constant(f"forearm-length-{whose}").value


@dataclass(frozen=True, kw_only=True)
class SwellingState:
    """Volume outside the vein [mL], and whose forearm it is."""

    leaked_volume_ml: float
    whose: str


@dataclass(frozen=True, kw_only=True)
class SwellingNumbers(SwellingState):
    """The swelling in the chosen forearm, and the share of its volume in all three."""

    girth_mm: float
    length_mm: float
    """Of the forearm."""
    volumes_ml: np.ndarray
    curves: dict[str, np.ndarray]
    """Share of the forearm's volume for each of `volumes_ml`, by whose it is."""
    volume_share: float
    diameter_mm: float
    """Of the swelling."""
    length_share: float
    """The swelling's diameter, of the forearm's length."""
    girth_rise_mm: float


def swelling_numbers(state: SwellingState) -> SwellingNumbers:
    """Compute the swelling in the chosen forearm, and the curves over the volume."""
    volume, whose = state.leaked_volume_ml, state.whose
    limit = tables.limits()["leaked_volume_ml"]
    volumes = np.linspace(limit.usual_low, limit.usual_high, CURVE_POINTS)
    curves = {}
    for each in WHOSE:
        girth, length = forearm_mm(each)
        curves[each] = calc.limb_volume_share(volumes, girth_mm=girth, limb_length_mm=length)
    girth, length = forearm_mm(whose)
    diameter = calc.swelling_diameter_mm(volume)
    return SwellingNumbers(
        **vars(state),
        girth_mm=girth,
        length_mm=length,
        volumes_ml=volumes,
        curves=curves,
        volume_share=calc.limb_volume_share(volume, girth_mm=girth, limb_length_mm=length),
        diameter_mm=diameter,
        length_share=calc.swelling_length_share(diameter, limb_length_mm=length),
        girth_rise_mm=calc.girth_rise_mm(volume, girth_mm=girth, swollen_length_mm=diameter),
    )


def _readings(n: SwellingNumbers) -> tuple[Reading, ...]:
    return (
        Reading("Share of the forearm's volume", percent(n.volume_share, 1)),
        Reading("Swelling", f"{measure(n.diameter_mm, 'mm', 0)} across"),
        Reading("Share of the forearm's length", percent(n.length_share)),
        Reading(
            "By tape, this arm is thicker by",
            f"{measure(n.girth_rise_mm, 'mm', 1)} thicker",
            f"The other arm is {measure(n.girth_mm, 'mm', 0)} round. This supposes that the fluid "
            "goes all round the arm.",
        ),
    )


def _describe(n: SwellingNumbers) -> str:
    return plain_words(
        "Three curves of the share of the forearm's volume against the volume outside the vein: an "
        "infant's rises most steeply, then a child's, an adult's is lowest. Ringed: "
        f"{measure(n.leaked_volume_ml, 'mL', 0)} in {WHOSE[n.whose]}, "
        f"{percent(n.volume_share, 1)} of the forearm's volume, a swelling "
        f"{measure(n.diameter_mm, 'mm', 0)} across, {percent(n.length_share)} of its length."
    )


def _draw(n: SwellingNumbers) -> str:
    plot = Plot(
        Scale(0, 40, 10, "volume outside the vein, mL"),
        Scale(0, TOP, 0.1, "share of the forearm's volume", percent),
    )
    for key, shares in n.curves.items():
        chosen = key == n.whose
        plot.curve(
            n.volumes_ml,
            shares,
            colour=drawing.VEIN if chosen else drawing.QUIET,
            width=3.5 if chosen else 1.5,
            dash=DASHES[key],
        )
        x, y = plot.place(40, shares[-1])
        plot.sheet.words(
            (x - 4, y - 12),
            key,
            anchor="end",
            colour=drawing.VEIN if chosen else drawing.QUIET,
            size=13,
            bold=chosen,
            halo=True,
        )
    plot.mark(
        n.leaked_volume_ml,
        n.volume_share,
        f"{measure(n.leaked_volume_ml, 'mL', 0)} in {WHOSE[n.whose]}: "
        f"{percent(n.volume_share, 1)} of the forearm",
    )
    return plot.svg()
