"""How much darker a vein is than the skin beside it, measured in a frame at one place of the vein.

Simulated, not clinically validated.
"""

import numpy as np
from scipy import ndimage

from cubital.scene.anatomy.vessels import Vessel, View
from cubital.scene.light import geometry

ALONG_MM, BAND_MM, BESIDE_MM = 6.0, 1.2, (6.0, 8.0)
"""Half the piece of vein that is measured, half the width of the band, and where the skin is."""
SAMPLE_MM = 0.3


def band_contrast(frame: np.ndarray, *, view: View, vessel: Vessel, at_mm: float) -> float:
    """Return the contrast of a vein's band at a place along the vein, as a share.

    `C = max(0, 1 - darkest of the band / mean of the skin beside it)`, both means along the vein

    Parameters
    ----------
    frame : ndarray
        Grey picture (rows, columns) [-]
    view : View
        How the frame was taken
    vessel : Vessel
        The vein
    at_mm : float
        Distance of the place from the vein's first point [mm]

    Returns
    -------
    float
        Contrast; 0 where the band is brighter than the skin, as over a swelling [-]
    """
    along = np.arange(at_mm - ALONG_MM, at_mm + ALONG_MM + SAMPLE_MM, SAMPLE_MM)
    x, y = (np.interp(along, vessel.along_mm, line) for line in (vessel.x_mm, vessel.y_mm))
    along_x, along_y = np.gradient(x), np.gradient(y)
    step = np.hypot(along_x, along_y)
    beside = np.arange(-BESIDE_MM[1], BESIDE_MM[1] + SAMPLE_MM, SAMPLE_MM)
    across_x = x[:, None] - beside * (along_y / step)[:, None]
    across_y = y[:, None] + beside * (along_x / step)[:, None]
    column, row = geometry.to_picture(view, across_x, across_y)
    light = ndimage.map_coordinates(frame.astype(float), (row, column), order=1, mode="nearest")
    profile = light.mean(axis=0)
    skin = profile[np.abs(beside) >= BESIDE_MM[0]].mean()
    return max(float(1 - profile[np.abs(beside) <= BAND_MM].min() / skin), 0.0)
