"""Unit conversions by name, and the step from numpy back to plain floats."""

import numpy as np

Number = float | np.ndarray

FRENCH_PER_MM = 3  # the French (Charriere) scale: one French is a third of a millimetre
MM_PER_CM = 10
MM_PER_M = 1000
NM_PER_MM = 1e6
M_PER_MM = 1e-3
M2_PER_MM2 = 1e-6
MM3_PER_ML = 1000
ML_PER_M3 = 1e6
SECONDS_PER_MS = 1e-3
SECONDS_PER_MINUTE = 60
MINUTES_PER_HOUR = 60
PA_S_PER_MPA_S = 1e-3
MPA_S_PER_UPA_S = 1e-3
KELVIN_AT_0_C = 273.15


def plain(value: Number) -> Number:
    """Return a plain float for a single number, and an array unchanged."""
    return float(value) if np.ndim(value) == 0 else value
