"""The noise of a band's measure, quickly: from the skin of a picture's middle and at one width.

Simulated, not clinically validated.
"""

import numpy as np
from scipy import ndimage

from cubital.scene.anatomy.vessels import Scene
from cubital.scene.truth import visibility
from cubital.scene.truth.segments import Stretch

SMOOTH_MM = 15  # what is broader than this is no band
MIDDLE_MM = 22  # to either side of the limb's middle, where no outline disturbs


class SkinNoise:
    """What a band's measure gives on skin without bands, by its standard deviation [-].

    From the unevenness and the hair of the limb's middle, the camera's noise and the eye's own.
    `visibility.TextureNoise` measures the same at every width and in both directions: it is more
    exact, and too slow for a slider.
    """

    def __init__(self, scene: Scene, background: np.ndarray) -> None:
        step = visibility.COARSE_PX
        self.noise_share = scene.camera.noise_share
        self.background = background
        coarse = background[::step, ::step]
        smooth = ndimage.uniform_filter(coarse, round(SMOOTH_MM / scene.view.mm_per_px / step))
        middle = round(MIDDLE_MM / scene.view.mm_per_px / step)
        centre = coarse.shape[1] // 2
        self.relative = (coarse / np.maximum(smooth, visibility.TINY) - 1)[
            :, centre - middle : centre + middle
        ]

    def at(self, stretch: Stretch, width_px: float) -> float:
        """Return the noise for a band of this width, by the light on a stretch [-]."""
        width = width_px / visibility.COARSE_PX
        long = max(round(visibility.LENGTH_IN_WIDTHS * width), 1)
        narrow = max(round(visibility.FLANK_IN_WIDTHS * width), 1)
        away = max(round(0.75 * width), 1)  # from the band's middle to its flank's
        smooth = ndimage.uniform_filter1d(self.relative, long, axis=0)
        middle = ndimage.uniform_filter1d(smooth, max(round(width), 1), axis=1)
        flank = ndimage.uniform_filter1d(smooth, narrow, axis=1)
        sides = np.minimum(flank[:, : -2 * away], flank[:, 2 * away :])
        texture = np.std((middle[:, away:-away] - sides)[long // 2 : -(long // 2) or None])
        column, row = (float(np.median(places)) for places in (stretch.column, stretch.row))
        bright = max(float(self.background[round(row), round(column)]), visibility.TINY)
        pixels = visibility.LENGTH_IN_WIDTHS * width_px**2
        parts = (1 + 1 / visibility.FLANK_IN_WIDTHS) / pixels
        white = self.noise_share * np.sqrt(parts / bright)
        return float(np.sqrt(texture**2 + white**2 + visibility.eye_noise() ** 2))
