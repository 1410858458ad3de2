"""Veins: how fast blood runs in them, how they fill again, what a tourniquet does to them."""

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import checked
from cubital.calc.shared.spans import Span
from cubital.calc.shared.units import MM3_PER_ML, SECONDS_PER_MINUTE, Number, plain
from cubital.tables import reading as rows

CIRCLE = np.pi / 4  # area of a circle over the square of its diameter


@checked
def vein_velocity_mm_per_s(flow_ml_per_min: Number, *, vein_diameter_mm: Number) -> Number:
    """Return the mean velocity of blood in a vein.

    `v = 4 * Q / (pi * d^2)`

    Parameters
    ----------
    flow_ml_per_min : float or array
        Flow in the vein [mL/min]
    vein_diameter_mm : float or array
        Inner diameter of the vein [mm]

    Returns
    -------
    float or ndarray
        Mean velocity [mm/s]

    Notes
    -----
    Flow 0 to 20000 mL/min, vein 0.1 to 30 mm. A round vein and steady flow; blood in the middle
    runs up to twice as fast. No reliable figure for the flow of a superficial vein was found.

    Examples
    --------
    >>> round(vein_velocity_mm_per_s(20, vein_diameter_mm=3), 1)
    47.2

    References
    ----------
    white-fluid-mechanics
    """
    flow = flow_ml_per_min * MM3_PER_ML / SECONDS_PER_MINUTE
    return plain(flow / (CIRCLE * vein_diameter_mm**2))


@checked
def vein_flow_from_velocity_ml_per_min(
    velocity_mm_per_s: Number, *, vein_diameter_mm: Number
) -> Number:
    """Return the flow of a vein in which blood runs with a mean velocity.

    `Q = v * pi * d^2 / 4`

    Parameters
    ----------
    velocity_mm_per_s : float or array
        Mean velocity [mm/s]
    vein_diameter_mm : float or array
        Inner diameter of the vein [mm]

    Returns
    -------
    float or ndarray
        Flow [mL/min]

    Notes
    -----
    Velocity 0 to 5000 mm/s, vein 0.1 to 30 mm. A round vein. A width read off a near-infrared
    picture is not its diameter, so such a flow is a guess.

    Examples
    --------
    >>> round(vein_flow_from_velocity_ml_per_min(50, vein_diameter_mm=3), 1)
    21.2

    References
    ----------
    white-fluid-mechanics
    """
    area = CIRCLE * vein_diameter_mm**2
    return plain(velocity_mm_per_s * area * SECONDS_PER_MINUTE / MM3_PER_ML)


@checked
def velocity_between_valves_mm_per_s(front_distance_mm: Number, *, front_time_s: Number) -> Number:
    """Return the velocity of a refill front between two valves or marks.

    `v = distance / time`

    Parameters
    ----------
    front_distance_mm : float or array
        Distance between the two marks along the vein [mm]
    front_time_s : float or array
        Time that the front took [s]

    Returns
    -------
    float or ndarray
        Velocity of the front [mm/s]

    Notes
    -----
    Distance 0.1 to 1000 mm, time 0.01 to 3600 s. The front of a vein that still held some blood
    runs faster than the blood behind it. A stretched picture stretches the distance.

    Examples
    --------
    >>> velocity_between_valves_mm_per_s(60, front_time_s=1.5)
    40.0

    References
    ----------
    common-practice
    """
    return plain(front_distance_mm / front_time_s)


@checked
def _left(left_share: Number | None) -> Number:
    if left_share is None:
        left_share = tables.constant("emptied-vein-share").value
    return left_share


@checked
def refill_volume_ml(
    segment_length_mm: Number, *, vein_diameter_mm: Number, left_share: Number | None = None
) -> Number:
    """Return the volume that fills an emptied segment of a vein.

    `V = (1 - s) * pi * d^2 / 4 * L`

    Parameters
    ----------
    segment_length_mm : float or array
        Length of the emptied segment [mm]
    vein_diameter_mm : float or array
        Diameter of the vein once it is full [mm]
    left_share : float or array, optional
        s, share of the cross-section that stroking left in it; 0.1 if not given [-]

    Returns
    -------
    float or ndarray
        Volume [mL]

    Notes
    -----
    Length 1 to 1000 mm, vein 0.1 to 30 mm, share 0 to 0.99. The share is a teaching assumption.
    With a tourniquet on, the full diameter is the distended one.

    Examples
    --------
    >>> round(refill_volume_ml(60, vein_diameter_mm=3), 3)
    0.382

    References
    ----------
    course
    """
    area = CIRCLE * vein_diameter_mm**2
    return plain((1 - _left(left_share)) * area * segment_length_mm / MM3_PER_ML)


@checked("vein_flow_ml_per_min")
def refill_time_s(
    segment_length_mm: Number,
    *,
    vein_diameter_mm: Number,
    vein_flow_ml_per_min: Number,
    left_share: Number | None = None,
) -> Number:
    """Return the time in which an emptied segment of a vein fills again.

    `t = V / Q`, V the volume that is missing

    Parameters
    ----------
    segment_length_mm : float or array
        Length of the emptied segment [mm]
    vein_diameter_mm : float or array
        Diameter of the vein once it is full [mm]
    vein_flow_ml_per_min : float or array
        Flow that comes in once the finger lifts; for a leaking valve, what leaks back [mL/min]
    left_share : float or array, optional
        Share of the cross-section that stroking left in it; 0.1 if not given [-]

    Returns
    -------
    float or ndarray
        Time to fill [s]

    Notes
    -----
    Length 1 to 1000 mm, vein 0.1 to 30 mm, flow 0.01 to 5000 mL/min, share 0 to 0.99. Steady flow
    and a wall that takes its full width at once; a stiff or scarred vein does not. No agreed time
    in which a healthy vein fills was found, so this gives no pass mark.

    Examples
    --------
    >>> round(refill_time_s(60, vein_diameter_mm=3, vein_flow_ml_per_min=20), 2)
    1.15

    References
    ----------
    course, harvey-1628
    """
    volume = refill_volume_ml(
        segment_length_mm, vein_diameter_mm=vein_diameter_mm, left_share=left_share
    )
    return plain(SECONDS_PER_MINUTE * volume / vein_flow_ml_per_min)


@checked
def distended_area_share(cuff_mmhg: Number) -> Number:
    """Return the cross-section of a vein under a cuff, over that at rest.

    `A / A0 = f(p)`, straight lines between the points of `assets/reading/distension.csv`

    Parameters
    ----------
    cuff_mmhg : float or array
        Pressure of the cuff or tourniquet [mmHg]

    Returns
    -------
    float or ndarray
        Cross-section over that at rest [-]

    Notes
    -----
    Pressure 0 to 100 mmHg, held for a minute or more. Measured: the point at 25 mmHg, the rise to
    80 mmHg, and that 100 mmHg gives less than 40; the other heights are a teaching assumption
    with a wide band. Patients differ; cold, fear and lack of fluid narrow veins.

    Examples
    --------
    >>> distended_area_share(25)
    1.3

    References
    ----------
    mollison-2006, sasaki-2012
    """
    points = rows.distension()
    return plain(
        np.interp(cuff_mmhg, [row.cuff_mmhg for row in points], [row.area_share for row in points])
    )


@checked
def distended_diameter_mm(vein_diameter_mm: Number, *, cuff_mmhg: Number) -> Number:
    """Return the diameter of a vein under a cuff.

    `d = d0 * sqrt(A / A0)`

    Parameters
    ----------
    vein_diameter_mm : float or array
        Diameter at rest [mm]
    cuff_mmhg : float or array
        Pressure of the cuff or tourniquet [mmHg]

    Returns
    -------
    float or ndarray
        Diameter under the cuff [mm]

    Notes
    -----
    Vein 0.1 to 30 mm, pressure 0 to 100 mmHg. A round vein and the same share for every vein, a
    teaching assumption. It is the diameter for the puncture, not the one to size a catheter by.

    Examples
    --------
    >>> round(distended_diameter_mm(3.2, cuff_mmhg=60), 2)
    3.87

    References
    ----------
    mollison-2006, sasaki-2012
    """
    return plain(vein_diameter_mm * np.sqrt(distended_area_share(cuff_mmhg)))


@checked
def distension_progress(cuff_time_s: Number) -> Number:
    """Return what share of its widening a vein has reached since the tourniquet went on.

    `share = 1 - exp(-t / T)`

    Parameters
    ----------
    cuff_time_s : float or array
        Time since the tourniquet went on [s]

    Returns
    -------
    float or ndarray
        Share of the final gain in cross-section [-]

    Notes
    -----
    Time 0 to 3600 s, T 8 s. Made to follow what was seen: fast until 10 s, slowly until 30 s, then
    hardly any more; T itself is a teaching assumption. Pressure in a hand vein took 75 to 109 s
    to settle in another study. Long stasis changes blood samples and harms.

    Examples
    --------
    >>> round(distension_progress(10), 2), round(distension_progress(30), 2)
    (0.71, 0.98)

    References
    ----------
    sasaki-2012, hand-vein-cuff-2007
    """
    return plain(-np.expm1(-cuff_time_s / tables.constant("distension-time").value))


@checked
def tourniquet_pressure_mmhg(tension_kg: Number) -> Number:
    """Return what a tourniquet drawn with a tension presses with.

    `p = f(T)`, straight lines between the points of `assets/reading/tension.csv`

    Parameters
    ----------
    tension_kg : float or array
        Tension of the belt [kg]

    Returns
    -------
    float or ndarray
        Pressure under the belt [mmHg]

    Notes
    -----
    Tension 0 to 3.5 kg. One elastic belt on the upper arms of 58 volunteers; 2 to 3 kg was advised.
    The width of the belt and the girth of the arm change it. Below 1.5 kg it is a straight line
    to nothing, our assumption.

    Examples
    --------
    >>> tourniquet_pressure_mmhg(2.25)
    52.5

    References
    ----------
    tourniquet-tension-2009
    """
    points = rows.tensions()
    return plain(
        np.interp(tension_kg, [row.tension_kg for row in points], [row.cuff_mmhg for row in points])
    )


@checked
def vein_pressure_under_cuff_mmhg(cuff_mmhg: Number) -> Span:
    """Return the pressure in a hand vein behind a cuff, as a range.

    `p_vein = 0.7 * p_cuff to 0.8 * p_cuff`

    Parameters
    ----------
    cuff_mmhg : float or array
        Pressure of the cuff [mmHg]

    Returns
    -------
    Span
        Low and high pressure in the vein [mmHg]

    Notes
    -----
    Pressure 0 to 100 mmHg; measured in 15 volunteers once steady, after a minute or two. Above the
    pressure in the arteries it does not hold.

    Examples
    --------
    >>> low, high = vein_pressure_under_cuff_mmhg(60)
    >>> round(low, 1), round(high, 1)
    (42.0, 48.0)

    References
    ----------
    hand-vein-cuff-2007
    """
    low, high = (tables.constant(f"vein-pressure-share-{end}").value for end in ("low", "high"))
    return Span(plain(low * cuff_mmhg), plain(high * cuff_mmhg))
