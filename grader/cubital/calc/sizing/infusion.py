"""Drip rate, infusion rate and time to infuse."""

from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import MINUTES_PER_HOUR, Number, plain


@checked
def drip_rate_per_min(rate_ml_per_h: Number, *, drop_factor_per_ml: Number) -> Number:
    """Return the drops to count in a minute.

    `drops per minute = rate * drop factor / 60`

    Parameters
    ----------
    rate_ml_per_h : float or array
        Ordered rate [mL/h]
    drop_factor_per_ml : float or array
        Drops per millilitre, printed on the set [drops/mL]

    Returns
    -------
    float or ndarray
        Drip rate [drops/min]

    Notes
    -----
    Rate 0.01 to 20000 mL/h, drop factor 1 to 200. The factor is made with water at about 50 drops
    a minute and holds within 10 %; other fluids and fast drips make other drops.

    Examples
    --------
    >>> drip_rate_per_min(120, drop_factor_per_ml=20)
    40.0

    References
    ----------
    iso-8536-4
    """
    return plain(rate_ml_per_h * drop_factor_per_ml / MINUTES_PER_HOUR)


@checked
def infusion_time_h(volume_ml: Number, *, rate_ml_per_h: Number) -> Number:
    """Return the time that a volume takes at a rate.

    `time = volume / rate`

    Parameters
    ----------
    volume_ml : float or array
        Volume to infuse [mL]
    rate_ml_per_h : float or array
        Rate [mL/h]

    Returns
    -------
    float or ndarray
        Time [h]

    Notes
    -----
    Volume 0.01 to 50000 mL, rate 0.01 to 20000 mL/h. Steady rate; leaves out priming volume,
    overfill of the bag and stops.

    Examples
    --------
    >>> infusion_time_h(500, rate_ml_per_h=125)
    4.0

    References
    ----------
    common-practice
    """
    return plain(volume_ml / rate_ml_per_h)


@checked
def infusion_rate_ml_per_h(volume_ml: Number, *, time_h: Number) -> Number:
    """Return the rate that infuses a volume in a time.

    `rate = volume / time`

    Parameters
    ----------
    volume_ml : float or array
        Volume to infuse [mL]
    time_h : float or array
        Time to infuse it in [h]

    Returns
    -------
    float or ndarray
        Rate [mL/h]

    Notes
    -----
    Volume 0.01 to 50000 mL, time 0.001 to 1000 h. Steady rate; leaves out priming volume,
    overfill of the bag and stops.

    Examples
    --------
    >>> infusion_rate_ml_per_h(1000, time_h=8)
    125.0

    References
    ----------
    common-practice
    """
    return plain(volume_ml / time_h)
