"""How long a simulated person's veins take, by site."""

from statistics import median

import numpy as np
from timing import once

from cubital.scene.anatomy.person import SITES, anatomy

PERSONS = 200


def rows() -> list[tuple[str, float, str, str]]:
    """Draw the same persons of every site; the processor's own speed stands beside them."""
    found = []
    for site in SITES:
        anatomy(site, seed=0, artery=True)
        times = [once(lambda s=seed, g=site: anatomy(g, seed=s)) for seed in range(PERSONS)]
        note = f"ms, median of {PERSONS} persons; 95 % within {np.percentile(times, 95) * 1e3:.1f}"
        found.append((f"veins of the {site}", median(times) * 1000, note, ""))
    return found
