"""What published studies saw of catheters that lay shorter or longer, or deeper, in a vein."""

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import checked, single
from cubital.calc.shared.units import Number, plain
from cubital.tables import reaching as evidence

MEASURES = {
    "fraction": "fraction_in_vein",
    "depth": "near_wall_depth_mm",
    "length": "length_mm",
}


def survival_band(value: float, *, measure: str) -> evidence.Survival:
    """Return what a published study saw at a fraction or a length in the vein, or at a depth.

    `low <= value < high`

    Parameters
    ----------
    value : float
        Fraction in the vein [-], depth [mm] or length in the vein [mm]
    measure : str
        fraction, depth or length [-]

    Returns
    -------
    Survival
        Band, share that failed with its range [-], patients, source and standing [-]

    Notes
    -----
    A fraction from 0 to 1, a depth from 0.1 to 60 mm or a length from 1 to 1000 mm. Small studies
    of single hospitals with ultrasound; they show what went together, not what causes what. The
    printed band 30 to 64 % is read as below 65 %.

    Examples
    --------
    >>> survival_band(0.5, measure="fraction").failed_share
    0.324

    References
    ----------
    pandurangadu-2018, fields-2012, bahl-2022
    """
    if measure not in MEASURES:
        raise ValueError(f"measure is {measure!r}: it must be one of {', '.join(MEASURES)}")
    number = single(MEASURES[measure], value)
    bands = [row for row in evidence.survival() if row.measure == measure]
    return next((row for row in bands if row.low <= number < row.high), bands[-1])


@checked(reference_fraction="fraction_in_vein")
def failure_hazard_ratio(fraction_in_vein: Number, *, reference_fraction: Number) -> Number:
    """Return the hazard of failing at one fraction in the vein over that at another.

    `HR = 0.71^((fraction - reference) / 0.05)`

    Parameters
    ----------
    fraction_in_vein : float or array
        Fraction of the catheter in the vein [-]
    reference_fraction : float or array
        Fraction to compare with, 0 to 1 [-]

    Returns
    -------
    float or ndarray
        Hazard over that at the reference [-]

    Notes
    -----
    Fractions 0 to 1. From one study of 86 patients, 0.60 to 0.83 for the step of 0.05; far from its
    middle the formula says more than the study does.

    Examples
    --------
    >>> round(failure_hazard_ratio(0.65, reference_fraction=0.60), 2)
    0.71

    References
    ----------
    pandurangadu-2018
    """
    there = reference_fraction
    ratio = tables.constant("hazard-ratio-per-step").value
    return plain(np.power(ratio, (fraction_in_vein - there) / tables.constant("hazard-step").value))
