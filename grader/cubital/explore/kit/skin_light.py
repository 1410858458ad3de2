"""What the lesson's figures of near-infrared light share: sliders, words and a vein's settings."""

from __future__ import annotations

from typing import Any

import numpy as np

from cubital.calc.shared.formatting import percent
from cubital.explore.kit.explorer import Quantity

FULL = 100
"""Per cent in one."""


def plain(text: str) -> str:
    """Words with ordinary spaces, for what is read aloud."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def depth_slider(
    start: float,
    *,
    label: str = "Depth of the upper wall",
    part: tuple[float, float] = (0.5, 8),
) -> Quantity:
    """A slider for the depth of the vein's upper wall."""
    return Quantity(
        start,
        of="upper_wall_depth_mm",
        step=0.1,
        label=label,
        unit_words="millimetres",
        part=part,
    )


def diameter_slider(start: float, *, label: str = "Vein diameter") -> Quantity:
    """A slider for the true inner diameter of a vessel."""
    return Quantity(
        start,
        of="lumen_diameter_mm",
        step=0.1,
        label=label,
        unit_words="millimetres",
    )


def wavelength_slider(start: float) -> Quantity:
    """A slider for the wavelength of the light."""
    return Quantity(
        start,
        of="picture_wavelength_nm",
        step=10,
        label="Wavelength",
        unit_words="nanometres",
        part=(700, 1000),
    )


def melanin_slider(start: float) -> Quantity:
    """A slider for the melanin of the epidermis."""
    return Quantity(
        start,
        of="melanin_percent",
        step=1,
        label="Melanin in the epidermis",
        unit_words="per cent",
    )


def skin_of(*, picture_wavelength_nm: float | np.ndarray, melanin_percent: float) -> dict[str, Any]:
    """The settings of skin and light as the calculations take them, by name."""
    return {
        "picture_wavelength_nm": picture_wavelength_nm,
        "epidermal_melanin_fraction": melanin_percent / FULL,
    }


def contrast_words(contrast: float) -> str:
    """A contrast as a percentage with one decimal."""
    return percent(contrast, 1)
