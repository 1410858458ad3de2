"""Batteries and chargers in the long run: what they keep running, and how many it takes."""

import math

import numpy as np

from cubital.calc.shared.quantities import checked, single_whole
from cubital.calc.shared.units import Number, plain

ROUNDING = 1e-9  # so that 2.1 / 0.7 counts as 3


@checked
def charge_availability(run_time_h: Number, *, charge_time_h: Number) -> Number:
    """Return the share of the time that one unit can run, used until empty and charged at once.

    `share = r / (r + c)`

    Parameters
    ----------
    run_time_h : float or array
        Run time r of a full battery [h]
    charge_time_h : float or array
        Charge time c from empty to full [h]

    Returns
    -------
    float or ndarray
        Share of the time, in the long run [-]

    Notes
    -----
    Both 0.05 to 100 h. In the long run: over a shift that starts full it is more. The ageing of
    batteries, cold, and use that stops and starts are left out.

    Examples
    --------
    >>> round(charge_availability(3.5, charge_time_h=2.5), 3)
    0.583

    References
    ----------
    availability-guide
    """
    return plain(run_time_h / (run_time_h + charge_time_h))


@checked
def on_time_h(shift_h: Number, *, run_time_h: Number, charge_time_h: Number) -> Number:
    """Return how long one unit runs in a shift, starting full, used until empty, charged at once.

    `on = n r + min(r, T - n (r + c))`, with `n = floor(T / (r + c))`

    Parameters
    ----------
    shift_h : float or array
        Length T of the shift [h]
    run_time_h : float or array
        Run time r of a full battery [h]
    charge_time_h : float or array
        Charge time c from empty to full [h]

    Returns
    -------
    float or ndarray
        Time that it runs [h]

    Notes
    -----
    Shift 0.1 to 200 h, run and charge time 0.05 to 100 h. The first charge makes a short shift
    better than the long-run share.

    Examples
    --------
    >>> on_time_h(8, run_time_h=3.5, charge_time_h=2.5)
    5.5

    References
    ----------
    availability-guide
    """
    shift, run = shift_h, run_time_h
    cycle = run + charge_time_h
    cycles = np.floor(shift / cycle)
    return plain(cycles * run + np.clip(shift - cycles * cycle, 0, run))


@checked("run_time_h", "charge_time_h")
@checked("stations", form=single_whole)
def units_for_always_on(
    run_time_h: float, *, charge_time_h: float, stations: int = 1, in_turn: bool = True
) -> int:
    """Return how many batteries keep devices running without a break.

    `units = ceil(k (r + c) / r)` changed in turn; `units = k ceil((r + c) / r)` changed together

    Parameters
    ----------
    run_time_h : float
        Run time r of a full battery [h]
    charge_time_h : float
        Charge time c from empty to full [h]
    stations : int, optional
        Number k of devices to keep running [-]
    in_turn : bool, optional
        Whether the devices' changes are spread over the run time, or come all at once [-]

    Returns
    -------
    int
        Number of batteries [-]

    Notes
    -----
    Run and charge time 0.05 to 100 h, stations 1 to 100. Enough chargers, all batteries full at the
    start, changes that take no time. Devices that are switched on together with full batteries come
    to be changed together. One to spare, for the battery that fails, is common practice and not in
    it.

    Examples
    --------
    >>> units_for_always_on(3.5, charge_time_h=2.5)
    2
    >>> [
    ...     units_for_always_on(4, charge_time_h=1, stations=3, in_turn=turn)
    ...     for turn in (True, False)
    ... ]
    [4, 6]

    References
    ----------
    baccelli-1992
    """
    run, charge = run_time_h, charge_time_h
    devices, spread = stations, (run + charge) / run
    if in_turn:
        return math.ceil(devices * spread - ROUNDING)
    return devices * math.ceil(spread - ROUNDING)


@checked("run_time_h", "charge_time_h")
@checked("stations", form=single_whole)
def chargers_for_always_on(run_time_h: float, *, charge_time_h: float, stations: int = 1) -> int:
    """Return how many chargers keep devices running without a break.

    `chargers = ceil(k c / r)`

    Parameters
    ----------
    run_time_h : float
        Run time r of a full battery [h]
    charge_time_h : float
        Charge time c from empty to full [h]
    stations : int, optional
        Number k of devices to keep running [-]

    Returns
    -------
    int
        Number of chargers [-]

    Notes
    -----
    Run and charge time 0.05 to 100 h, stations 1 to 100. Every charger works without a pause, and
    someone is there at every change, by night too.

    Examples
    --------
    >>> chargers_for_always_on(3.5, charge_time_h=2.5)
    1

    References
    ----------
    baccelli-1992
    """
    run, charge = run_time_h, charge_time_h
    return math.ceil(stations * charge / run - ROUNDING)


@checked("run_time_h", "charge_time_h", "batteries", "chargers")
def stations_kept(
    batteries: Number, *, chargers: Number, run_time_h: Number, charge_time_h: Number
) -> Number:
    """Return how many devices a stock of batteries and chargers keeps running in the long run.

    `kept = min(u r / (r + c), m r / c)`

    Parameters
    ----------
    batteries : float or array
        Number u of batteries [-]
    chargers : float or array
        Number m of chargers [-]
    run_time_h : float or array
        Run time r of a full battery [h]
    charge_time_h : float or array
        Charge time c from empty to full [h]

    Returns
    -------
    float or ndarray
        Devices that run, as a mean over time [-]

    Notes
    -----
    Batteries 1 to 100, chargers 1 to 100, run and charge time 0.05 to 100 h. Enough devices to use
    every charge, batteries changed and put on charge at once. A mean: 0.5 is one device for half of
    the time.

    Examples
    --------
    >>> round(stations_kept(3, chargers=1, run_time_h=3.5, charge_time_h=2.5), 2)
    1.4

    References
    ----------
    baccelli-1992
    """
    run, charge = run_time_h, charge_time_h
    by_batteries = batteries * run / (run + charge)
    return plain(np.minimum(by_batteries, chargers * run / charge))


@checked
def sessions_per_charge(run_time_h: Number, *, session_time_h: Number) -> Number:
    """Return how many patients one charge serves.

    `sessions = floor(r / session)`

    Parameters
    ----------
    run_time_h : float or array
        Run time r of a full battery [h]
    session_time_h : float or array
        Time that the device is on for one patient [h]

    Returns
    -------
    float or ndarray
        Whole sessions [-]

    Notes
    -----
    Run time 0.05 to 100 h, session 0.001 to 24 h. Switched off in between; what a device draws
    while it is off is left out.

    Examples
    --------
    >>> sessions_per_charge(3.5, session_time_h=0.25)
    14.0

    References
    ----------
    common-practice
    """
    sessions = run_time_h / session_time_h
    return plain(np.floor(sessions + ROUNDING))


@checked("run_time_h", "charge_time_h", "batteries")
def any_ready_chance(batteries: Number, *, run_time_h: Number, charge_time_h: Number) -> Number:
    """Return the chance that at least one of several units is charged, each in its own rhythm.

    `P = 1 - (c / (r + c))^u`

    Parameters
    ----------
    batteries : float or array
        Number u of units, each with its own charger [-]
    run_time_h : float or array
        Run time r of a full battery [h]
    charge_time_h : float or array
        Charge time c from empty to full [h]

    Returns
    -------
    float or ndarray
        Chance at a random moment [-]

    Notes
    -----
    Batteries 1 to 100, run and charge time 0.05 to 100 h. Units that run and charge without regard
    to each other; taking turns does better.

    Examples
    --------
    >>> round(any_ready_chance(2, run_time_h=3.5, charge_time_h=2.5), 3)
    0.826

    References
    ----------
    parallel-availability
    """
    ready = charge_availability(run_time_h, charge_time_h=charge_time_h)
    return plain(1 - (1 - ready) ** batteries)
