"""What light meets: media by their optical coefficients, plane layers, and veins in them."""

from typing import NamedTuple


class Medium(NamedTuple):
    """A medium by its optical coefficients.

    ``absorption_per_mm`` [1/mm], ``scattering_per_mm`` [1/mm], ``anisotropy`` (mean cosine of a
    scattering) [-], ``refractive_index`` [-].

    Examples
    --------
    >>> skin = Medium(0.02, 18.0, 0.9, 1.4)
    >>> round(skin.reduced_scattering_per_mm, 3)
    1.8
    """

    absorption_per_mm: float
    scattering_per_mm: float
    anisotropy: float
    refractive_index: float

    @property
    def reduced_scattering_per_mm(self) -> float:
        """Scattering of the isotropic medium that spreads light alike [1/mm]."""
        return self.scattering_per_mm * (1 - self.anisotropy)


class Layer(NamedTuple):
    """A plane layer of one medium; the lowest may be of infinite thickness [mm]."""

    medium: Medium
    thickness_mm: float


class Vein(NamedTuple):
    """A horizontal cylinder in the layers.

    ``depth_mm`` is from the skin's surface to the upper wall [mm], ``diameter_mm`` is the inner
    diameter [mm], ``centre_mm`` the place of the axis across the picture [mm].
    """

    medium: Medium
    depth_mm: float
    diameter_mm: float
    centre_mm: float = 0.0
