"""Flow through a catheter, and what it leaves of the flow in the vein."""

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import (
    M_PER_MM,
    ML_PER_M3,
    PA_S_PER_MPA_S,
    SECONDS_PER_MINUTE,
    Number,
    plain,
)

ML_PER_MIN_PER_M3_PER_S = ML_PER_M3 * SECONDS_PER_MINUTE
POISEUILLE = 128 / np.pi  # 128 / pi: laminar resistance of a round tube, from its diameter
KINETIC = 8 / np.pi**2  # 8 / pi^2: half rho v^2 of a round tube, from flow and diameter
QUADRATIC = 4  # the 4 of b^2 - 4 a c
BORE_POWER = 4  # laminar flow goes with the fourth power of the bore


@checked
def hydrostatic_pressure_pa(height_mm: Number, *, density_kg_per_m3: Number) -> Number:
    """Return the pressure of a column of fluid.

    `dP = rho * g * h`

    Parameters
    ----------
    height_mm : float or array
        Height of the fluid's surface above the catheter's tip [mm]
    density_kg_per_m3 : float or array
        Density of the fluid [kg/m3]

    Returns
    -------
    float or ndarray
        Pressure [Pa]

    Notes
    -----
    Height 0 to 5000 mm, density 500 to 2000 kg/m3. Still fluid; the pressure in the vein, which
    works against it, is not taken off.

    Examples
    --------
    >>> round(hydrostatic_pressure_pa(1000, density_kg_per_m3=998))
    9787

    References
    ----------
    si-brochure
    """
    height_m = M_PER_MM * height_mm
    return plain(density_kg_per_m3 * tables.constant("standard-gravity").value * height_m)


@checked
def _resistance(inner_diameter_mm: Number, length_mm: Number, viscosity_mpa_s: Number) -> Number:
    """Return the laminar resistance of a round tube in Pa per m3/s."""
    bore_m = M_PER_MM * inner_diameter_mm
    length_m = M_PER_MM * length_mm
    viscosity = PA_S_PER_MPA_S * viscosity_mpa_s
    return POISEUILLE * viscosity * length_m / bore_m**BORE_POWER


@checked("pressure_pa")
def poiseuille_flow_ml_per_min(
    inner_diameter_mm: Number, *, length_mm: Number, pressure_pa: Number, viscosity_mpa_s: Number
) -> Number:
    """Return the flow through a long thin tube.

    `Q = pi * d^4 * dP / (128 * mu * L)` (Hagen-Poiseuille)

    Parameters
    ----------
    inner_diameter_mm : float or array
        Bore [mm]
    length_mm : float or array
        Length of the tube [mm]
    pressure_pa : float or array
        Pressure between its ends [Pa]
    viscosity_mpa_s : float or array
        Viscosity of the fluid [mPa s]

    Returns
    -------
    float or ndarray
        Flow [mL/min]

    Notes
    -----
    Bore 0.05 to 10 mm, length 1 to 1000 mm, pressure 0 to 1e6 Pa, viscosity 0.1 to 1000 mPa s;
    true only where the flow is laminar and fully developed. Leaves out the losses at entrance and
    exit, and so overstates a catheter: a 14G one 45 mm long at a metre of water by 6.7 times what
    `catheter_flow_ml_per_min` gives, which is 7.5 times its nominal flow.

    Examples
    --------
    >>> flow = poiseuille_flow_ml_per_min(1, length_mm=30, pressure_pa=1000, viscosity_mpa_s=1)
    >>> round(flow, 2)
    49.09

    References
    ----------
    white-fluid-mechanics
    """
    resistance = _resistance(inner_diameter_mm, length_mm, viscosity_mpa_s)
    return plain(ML_PER_MIN_PER_M3_PER_S * pressure_pa / resistance)


@checked(
    "pressure_pa",
    "inner_diameter_mm",
    "length_mm",
    "viscosity_mpa_s",
    "density_kg_per_m3",
    "loss_coefficient",
)
def catheter_flow_ml_per_min(
    inner_diameter_mm: Number,
    *,
    length_mm: Number,
    pressure_pa: Number,
    viscosity_mpa_s: Number,
    density_kg_per_m3: Number,
    loss_coefficient: Number | None = None,
) -> Number:
    """Return the flow through a catheter, with the losses at its entrance and exit.

    `dP = 128 * mu * L * Q / (pi * d^4) + K * 8 * rho * Q^2 / (pi^2 * d^4)`, solved for Q

    Parameters
    ----------
    inner_diameter_mm : float or array
        Bore [mm]
    length_mm : float or array
        Length of the catheter [mm]
    pressure_pa : float or array
        Pressure between its ends [Pa]
    viscosity_mpa_s : float or array
        Viscosity of the fluid [mPa s]
    density_kg_per_m3 : float or array
        Density of the fluid [kg/m3]
    loss_coefficient : float or array, optional
        K, losses in multiples of half rho v squared; 2.28 if not given [-]

    Returns
    -------
    float or ndarray
        Flow [mL/min]

    Notes
    -----
    Bore 0.05 to 10 mm, length 1 to 1000 mm, pressure 0 to 1e6 Pa, viscosity 0.1 to 1000 mPa s,
    density 500 to 2000 kg/m3, K 0 to 20. Made for water at about a metre; K is known to about a
    fifth. Leaves out the tubing, the drip chamber, the needle-free connector (up to 41 % less flow
    when measured), the pressure in the vein, kinks and turbulence, all of which make real flow
    smaller: in volunteers an 18G gave a third of its maker's figure.

    Examples
    --------
    >>> flow = catheter_flow_ml_per_min(
    ...     0.8, length_mm=32, pressure_pa=9785, viscosity_mpa_s=0.954, density_kg_per_m3=998
    ... )
    >>> round(flow, 1)
    70.5

    References
    ----------
    white-fluid-mechanics, mcpherson-2009, reddick-2011, two-catheters-2010
    """
    if loss_coefficient is None:
        loss_coefficient = tables.constant("loss-coefficient").value
    linear = _resistance(inner_diameter_mm, length_mm, viscosity_mpa_s)
    bore_m = M_PER_MM * inner_diameter_mm
    squared = loss_coefficient * KINETIC * density_kg_per_m3 / bore_m**BORE_POWER
    # the root written so that nothing cancels, and that K = 0 gives Hagen-Poiseuille
    root = np.sqrt(linear**2 + QUADRATIC * squared * pressure_pa)
    return plain(ML_PER_MIN_PER_M3_PER_S * 2 * pressure_pa / (linear + root))


@checked
def reynolds_number(
    flow_ml_per_min: Number,
    *,
    inner_diameter_mm: Number,
    viscosity_mpa_s: Number,
    density_kg_per_m3: Number,
) -> Number:
    """Return the Reynolds number of the flow in a round tube.

    `Re = 4 * rho * Q / (pi * mu * d)`

    Parameters
    ----------
    flow_ml_per_min : float or array
        Flow [mL/min]
    inner_diameter_mm : float or array
        Bore [mm]
    viscosity_mpa_s : float or array
        Viscosity of the fluid [mPa s]
    density_kg_per_m3 : float or array
        Density of the fluid [kg/m3]

    Returns
    -------
    float or ndarray
        Reynolds number [-]

    Notes
    -----
    Flow 0 to 20000 mL/min, bore 0.05 to 10 mm, viscosity 0.1 to 1000 mPa s, density 500 to
    2000 kg/m3. For steady flow of one simple fluid; blood at low shear is not one.

    Examples
    --------
    >>> reynolds = reynolds_number(
    ...     60, inner_diameter_mm=0.8, viscosity_mpa_s=1, density_kg_per_m3=1000
    ... )
    >>> round(reynolds)
    1592

    References
    ----------
    white-fluid-mechanics
    """
    flow = flow_ml_per_min / ML_PER_MIN_PER_M3_PER_S
    bore_m = M_PER_MM * inner_diameter_mm
    viscosity = PA_S_PER_MPA_S * viscosity_mpa_s
    area = np.pi * bore_m**2 / 4  # 4: area of a circle from its diameter
    return plain(density_kg_per_m3 * (flow / area) * bore_m / viscosity)


@checked
def is_laminar(reynolds: Number) -> bool | np.ndarray:
    """Return whether a flow in a long smooth tube is reliably laminar.

    `Re <= 2000`

    Parameters
    ----------
    reynolds : float or array
        Reynolds number [-]

    Returns
    -------
    bool or ndarray of bool
        True below the limit [-]

    Notes
    -----
    Reynolds number 0 to 1e6. The change comes somewhere from 2000 to 2300 or above, by how smooth
    entry and tube are. Laminar does not mean that Hagen-Poiseuille holds: in a short catheter the
    entrance losses count at a Reynolds number of a few hundred.

    Examples
    --------
    >>> is_laminar(1800), is_laminar(3200)
    (True, False)

    References
    ----------
    white-fluid-mechanics
    """
    laminar = reynolds <= tables.constant("laminar-reynolds-limit").value
    return bool(laminar) if np.ndim(laminar) == 0 else laminar


@checked("inner_diameter_mm", "reynolds")
def entrance_length_mm(reynolds: Number, *, inner_diameter_mm: Number) -> Number:
    """Return the length of tube that laminar flow needs to settle.

    `L = 0.06 * Re * d`

    Parameters
    ----------
    reynolds : float or array
        Reynolds number [-]
    inner_diameter_mm : float or array
        Bore [mm]

    Returns
    -------
    float or ndarray
        Entrance length [mm]

    Notes
    -----
    Reynolds number 0 to 1e6, meant for about 10 to 2000; bore 0.05 to 10 mm. From a flat start at
    the entrance. Where it is longer than the catheter, Hagen-Poiseuille does not hold.

    Examples
    --------
    >>> round(entrance_length_mm(1000, inner_diameter_mm=0.8), 1)
    48.0

    References
    ----------
    white-fluid-mechanics
    """
    factor = tables.constant("entrance-length-per-reynolds").value
    return plain(factor * reynolds * inner_diameter_mm)


@checked
def flow_after_bore_change_ml_per_min(
    flow_ml_per_min: Number, *, inner_diameter_mm: Number, new_inner_diameter_mm: Number
) -> Number:
    """Return the flow after a change of bore alone, by the fourth-power rule.

    `Q2 = Q1 * (d2 / d1)^4`

    Parameters
    ----------
    flow_ml_per_min : float or array
        Flow before [mL/min]
    inner_diameter_mm : float or array
        Bore before [mm]
    new_inner_diameter_mm : float or array
        Bore after [mm]

    Returns
    -------
    float or ndarray
        Flow after [mL/min]

    Notes
    -----
    Flow 0 to 20000 mL/min, bores 0.05 to 10 mm. Same length, pressure and fluid, long thin tube.
    For real catheters it overstates the gain: makers' flows go with about the power 2.2.

    Examples
    --------
    >>> flow_after_bore_change_ml_per_min(10, inner_diameter_mm=0.5, new_inner_diameter_mm=1)
    160.0

    References
    ----------
    white-fluid-mechanics, cannula-flow-2007
    """
    return plain(flow_ml_per_min * (new_inner_diameter_mm / inner_diameter_mm) ** BORE_POWER)


@checked
def annulus_flow_share(ratio: Number) -> Number:
    """Return the share of the vein's flow that is left round a catheter in its middle.

    `Q / Q0 = 1 - k^4 - (1 - k^2)^2 / ln(1 / k)`, k the catheter-to-vein ratio

    Parameters
    ----------
    ratio : float or array
        Catheter-to-vein ratio, by diameter [-]

    Returns
    -------
    float or ndarray
        Share of the flow without a catheter, at the same pressure drop [-]

    Notes
    -----
    Ratio 0 to 1. Laminar flow of a simple fluid in a stiff round vein along the whole catheter,
    the catheter in the middle. One that lies at the wall leaves up to about 2.5 times more;
    veins stretch and blood finds other veins, so flow in life falls less.

    Examples
    --------
    >>> round(annulus_flow_share(0.45), 3)
    0.163

    References
    ----------
    nifong-2011, white-fluid-mechanics
    """
    k = np.asarray(ratio)
    inside = (k > 0) & (k < 1)
    safe = np.where(inside, k, 0.5)
    share = 1 - safe**4 - (1 - safe**2) ** 2 / -np.log(safe)
    return plain(np.where(inside, np.clip(share, 0, 1), np.where(k > 0, 0.0, 1.0)))
