"""The limb of each site and age group: outline and roundness, different in each person.

Simulated, not clinically validated.
"""

import numpy as np

from cubital.scene.anatomy.vessels import Limb
from cubital.tables.scene import LimbSize

SPREAD = 0.06  # standard deviation of a limb's width between persons, as a share


def limb(rng: np.random.Generator, size: LimbSize) -> Limb:
    """Return one person's limb at a site.

    Examples
    --------
    >>> from cubital.scene.chance import generator
    >>> from cubital.tables.scene import limb_sizes
    >>> person = limb(generator("example"), limb_sizes()["forearm", "adult"])
    >>> 33 < person.half_width_mm < 47
    True
    """
    scale = 1 + SPREAD * float(np.clip(rng.normal(), -2.5, 2.5))
    taper = size.taper * rng.uniform(0.7, 1.2)
    sag = size.sag_mm * scale * rng.uniform(0.85, 1.15)
    return Limb(size.half_width_mm * scale, float(taper), float(sag))
