"""Sizes of peripheral catheters: gauge, French, millimetres, and the share of the vein."""

from cubital import tables
from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import FRENCH_PER_MM, Number, plain


@checked
def french_size(outer_diameter_mm: Number) -> Number:
    """Return the French size of an outer diameter.

    `Fr = 3 * outer diameter in mm`

    Parameters
    ----------
    outer_diameter_mm : float or array
        Outer diameter of the catheter [mm]

    Returns
    -------
    float or ndarray
        French size [Fr]

    Notes
    -----
    Exact by definition, from 0.1 to 15 mm. It says nothing about the bore: two catheters of one
    French size can have different inner diameters.

    Examples
    --------
    >>> round(french_size(1.1), 2)
    3.3

    References
    ----------
    common-practice
    """
    return plain(FRENCH_PER_MM * outer_diameter_mm)


@checked
def outer_diameter_mm(french: Number) -> Number:
    """Return the outer diameter of a French size.

    `outer diameter in mm = Fr / 3`

    Parameters
    ----------
    french : float or array
        French size [Fr]

    Returns
    -------
    float or ndarray
        Outer diameter [mm]

    Notes
    -----
    Exact by definition, from 0.3 to 45 Fr. Printed French sizes are rounded, so a pack's own
    millimetres win.

    Examples
    --------
    >>> outer_diameter_mm(6)
    2.0

    References
    ----------
    common-practice
    """
    return plain(french / FRENCH_PER_MM)


def gauge(number: int) -> tables.Gauge:
    """Return the row of the catheter table for a gauge.

    `lower <= outer diameter <= upper`, the band that the colour code gives the gauge.

    Parameters
    ----------
    number : int
        Gauge: the larger the number, the thinner the catheter [G]

    Returns
    -------
    Gauge
        Outer diameter range, usual bore and lengths [mm], nominal flow [mL/min], hub colour [-]

    Notes
    -----
    For catheters over a needle, 26 to 14 G. Not for steel needles, whose gauges have other
    diameters and other colours. Bore, length and flow differ by maker: the pack wins.

    Examples
    --------
    >>> gauge(20).outer_upper_mm
    1.149
    >>> gauge(19)
    Traceback (most recent call last):
    ValueError: no catheter of gauge 19 is in the table: it has 26, 24, 22, 20, 18, 17, 16, 14

    References
    ----------
    iso-10555-5
    """
    rows = {row.gauge: row for row in tables.gauges()}
    if number not in rows:
        listed = ", ".join(str(row) for row in rows)
        raise ValueError(f"no catheter of gauge {number} is in the table: it has {listed}")
    return rows[number]


@checked
def catheter_to_vein_ratio(outer_diameter_mm: Number, *, vein_diameter_mm: Number) -> Number:
    """Return the share of the vein's diameter that the catheter takes up.

    `ratio = outer diameter / vein diameter`

    Parameters
    ----------
    outer_diameter_mm : float or array
        Outer diameter; for a gauge, the upper one of its range [mm]
    vein_diameter_mm : float or array
        Inner diameter of the vein, measured by ultrasound without a tourniquet [mm]

    Returns
    -------
    float or ndarray
        Catheter-to-vein ratio, by diameter [-]

    Notes
    -----
    Outer diameter 0.1 to 15 mm, vein 0.1 to 30 mm. Above 1 the catheter is wider than the vein.
    Takes the vein as round and as it was measured; cold, posture and a tourniquet change it.

    Examples
    --------
    >>> round(catheter_to_vein_ratio(1.149, vein_diameter_mm=3.0), 3)
    0.383

    References
    ----------
    sharp-2021
    """
    return plain(outer_diameter_mm / vein_diameter_mm)


@checked
def smallest_vein_diameter_mm(outer_diameter_mm: Number, *, ratio_limit: Number) -> Number:
    """Return the smallest vein that takes a catheter within a ratio limit.

    `vein diameter = outer diameter / limit`

    Parameters
    ----------
    outer_diameter_mm : float or array
        Outer diameter; for a gauge, the upper one of its range [mm]
    ratio_limit : float or array
        Largest catheter-to-vein ratio that local policy allows [-]

    Returns
    -------
    float or ndarray
        Smallest vein diameter [mm]

    Notes
    -----
    Outer diameter 0.1 to 15 mm, limit 0.05 to 1. Knows only the ratio: not the vein's course,
    depth, valves or wall.

    Examples
    --------
    >>> round(smallest_vein_diameter_mm(0.949, ratio_limit=0.45), 2)
    2.11

    References
    ----------
    ins-2021
    """
    return plain(outer_diameter_mm / ratio_limit)


@checked
def largest_outer_diameter_mm(vein_diameter_mm: Number, *, ratio_limit: Number) -> Number:
    """Return the widest catheter that a vein takes within a ratio limit.

    `outer diameter = limit * vein diameter`

    Parameters
    ----------
    vein_diameter_mm : float or array
        Inner diameter of the vein, measured by ultrasound without a tourniquet [mm]
    ratio_limit : float or array
        Largest catheter-to-vein ratio that local policy allows [-]

    Returns
    -------
    float or ndarray
        Largest outer diameter [mm]

    Notes
    -----
    Vein 0.1 to 30 mm, limit 0.05 to 1. Knows only the ratio; the smallest catheter that does the
    job is still the one to choose.

    Examples
    --------
    >>> round(largest_outer_diameter_mm(3.0, ratio_limit=0.45), 2)
    1.35

    References
    ----------
    ins-2021
    """
    return plain(vein_diameter_mm * ratio_limit)


@checked
def area_share(ratio: Number) -> Number:
    """Return the share of the vein's cross-section that the catheter fills.

    `share = ratio^2`

    Parameters
    ----------
    ratio : float or array
        Catheter-to-vein ratio, by diameter [-]

    Returns
    -------
    float or ndarray
        Share of the cross-section [-]

    Notes
    -----
    Ratio 0 to 1. Both are taken as round. Published limits are by diameter: 0.45 by diameter is
    0.20 by cross-section.

    Examples
    --------
    >>> round(area_share(0.45), 3)
    0.203

    References
    ----------
    common-practice
    """
    return plain(ratio**2)
