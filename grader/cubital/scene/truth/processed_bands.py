"""The real bands of a scene, and how dark each is in a frame after processing.

Simulated, not clinically validated.
"""

from dataclasses import dataclass

import numpy as np

from cubital.scene.anatomy.vessels import Scene
from cubital.scene.truth import truth, visibility

FLANK, ACROSS = 1.0, (-0.15, 0.0, 0.15)  # of the band's width: where its sides and its middle are
GREYS = 255  # the largest grey


@dataclass(frozen=True, eq=False)
class RealBand:
    """A band that the camera's own frame shows: places on it and how it looks there."""

    column: np.ndarray
    row: np.ndarray
    width_mm: float
    contrast: float

    def step(self, frame: np.ndarray, *, mm_per_px: float) -> float:
        """Return by how much it is darker than both its sides, as a share of full scale [-].

        The mean grey along it counts, and of the sides the darker one.
        """
        offsets = self.width_mm / mm_per_px * np.array([*ACROSS, -FLANK, FLANK])
        grey = visibility.strip(frame.astype(np.float32), self, offsets)
        *middle, left, right = grey.mean(axis=0) / GREYS
        return float(min(left, right) - np.mean(middle))


def real_bands(scene: Scene, *, least_mm: float) -> tuple[RealBand, ...]:
    """Return the bands of a scene that are seen for a length or more, by its truth."""
    return tuple(
        RealBand(
            np.array(row["column"]),
            np.array(row["row"]),
            float(np.median(row["seen_width_mm"])),
            float(np.median(row["seen_contrast"])),
        )
        for row in truth.truth(scene)["segments"]
        if row["visible"] and row["length_mm"] >= least_mm
    )
