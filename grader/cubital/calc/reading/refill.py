"""Where a refill front starts and stops, how it splits, and how a vein rolls from a push."""

from typing import Any, NamedTuple

import numpy as np

from cubital import tables
from cubital.calc.reading.vessel import refill_time_s
from cubital.calc.shared.quantities import check, checked, single, written
from cubital.calc.shared.units import Number, plain
from cubital.tables import reading as rows

BY_VALVE = "a valve"
BY_NOTHING = "nothing: blood runs back to the finger"


class EmptiedSegment(NamedTuple):
    """What stays empty of a vein that was stroked upwards from a finger [mm from its far end]."""

    from_mm: float
    to_mm: float
    held_by: str
    front_starts_at_mm: tuple[float, ...]
    remarks: tuple[str, ...]


@checked("finger_mm", "stroked_to_mm", form=single)
def emptied_segment(
    finger_mm: float,
    *,
    stroked_to_mm: float,
    valve_mm: Any = (),
    tributary_mm: Any = (),
) -> EmptiedSegment:
    """Return which part of a stroked vein stays empty and where the refill front starts.

    `from = finger`, `to = largest valve with finger < valve <= end of the stroke`

    Parameters
    ----------
    finger_mm : float
        Place of the finger that holds the vein shut, towards the hand [mm]
    stroked_to_mm : float
        Place that the stroke towards the heart ended [mm]
    valve_mm : sequence of float, optional
        Places of valves that close; a leaking one is left out [mm]
    tributary_mm : sequence of float, optional
        Places where other veins come in [mm]

    Returns
    -------
    EmptiedSegment
        Ends of the empty part and starts of the front [mm], what holds it and remarks [-]

    Notes
    -----
    Places 0 to 2000 mm along the vein, counted towards the heart. Blood above runs back to the
    nearest closing valve and no farther; a tributary below it fills the part before the finger
    lifts. Once the finger lifts, valves open and the front runs through them. That valves cost no
    time is a teaching assumption. In a picture a valve shows, if at all, as a small bulge.

    Examples
    --------
    >>> part = emptied_segment(40, stroked_to_mm=160, valve_mm=[20, 90, 130])
    >>> part.from_mm, part.to_mm, part.held_by
    (40.0, 130.0, 'a valve')

    References
    ----------
    harvey-1628, course
    """
    if stroked_to_mm <= finger_mm:
        raise ValueError(
            f"place that the stroke ended is {written(stroked_to_mm)} mm: it must be above the "
            f"holding finger at {written(finger_mm)} mm"
        )
    valves = np.atleast_1d(check("valve_mm", valve_mm if np.ndim(valve_mm) else [valve_mm]))
    veins = tributary_mm if np.ndim(tributary_mm) else [tributary_mm]
    within = valves[(valves > finger_mm) & (valves <= stroked_to_mm)]
    if within.size == 0:
        none = ("no closing valve lies within the stroke: the vein fills back from above",)
        return EmptiedSegment(finger_mm, finger_mm, BY_NOTHING, (), none)
    stop = float(within.max())
    joining = np.atleast_1d(check("tributary_mm", veins))
    inside = np.sort(joining[(joining > finger_mm) & (joining < stop)])
    starts = (finger_mm, *(float(place) for place in inside))
    found = tuple(
        f"a tributary at {written(place)} mm fills this part before the finger lifts: "
        "the time says nothing about the flow from the hand"
        for place in inside
    )
    return EmptiedSegment(finger_mm, stop, BY_VALVE, starts, found)


@checked("lifted_time_s", "segment_length_mm")
def refill_front_mm(
    lifted_time_s: Number,
    *,
    segment_length_mm: Number,
    vein_diameter_mm: Number,
    vein_flow_ml_per_min: Number,
    left_share: Number | None = None,
) -> Number:
    """Return how far a refill front has run since the finger lifted.

    `x = min(L, L * t / t_fill)`

    Parameters
    ----------
    lifted_time_s : float or array
        Time since the finger lifted [s]
    segment_length_mm : float or array
        Length of the emptied segment [mm]
    vein_diameter_mm : float or array
        Diameter of the vein once it is full [mm]
    vein_flow_ml_per_min : float or array
        Flow that comes in [mL/min]
    left_share : float or array, optional
        Share of the cross-section that stroking left in it; 0.1 if not given [-]

    Returns
    -------
    float or ndarray
        Way of the front from the finger [mm]

    Notes
    -----
    Time 0 to 3600 s, length 1 to 1000 mm, vein 0.1 to 30 mm, flow 0.01 to 5000 mL/min, share 0 to
    0.99. A steady flow behind a sharp front: a teaching assumption, for a real front is drawn out.

    Examples
    --------
    >>> round(
    ...     refill_front_mm(
    ...         0.5, segment_length_mm=60, vein_diameter_mm=3, vein_flow_ml_per_min=20
    ...     ),
    ...     1,
    ... )
    26.2

    References
    ----------
    course
    """
    full = refill_time_s(
        segment_length_mm,
        vein_diameter_mm=vein_diameter_mm,
        vein_flow_ml_per_min=vein_flow_ml_per_min,
        left_share=left_share,
    )
    return plain(segment_length_mm * np.minimum(1, lifted_time_s / full))


@checked("flow_ml_per_min", "split_power", form=single)
@checked(branch_diameters_mm="vein_diameter_mm")
def split_at_bifurcation_ml_per_min(
    flow_ml_per_min: float, *, branch_diameters_mm: Any, split_power: float | None = None
) -> np.ndarray:
    """Return the flow that each branch takes where a vein divides.

    `Q_i = Q * d_i^n / (sum over j of d_j^n)`

    Parameters
    ----------
    flow_ml_per_min : float
        Flow that arrives [mL/min]
    branch_diameters_mm : sequence of float
        Diameters of the branches, 0.1 to 30 mm each [mm]
    split_power : float, optional
        n; 2 if not given, a split by cross-section [-]

    Returns
    -------
    ndarray
        Flow of each branch, in their order [mL/min]

    Notes
    -----
    Flow 0 to 20000 mL/min, power 0 to 6. A teaching assumption: with n = 2 the front runs equally
    fast in all branches, with n = 4 the wider one takes more (equal pressure drop and length). What
    lies beyond the branches decides in life.

    Examples
    --------
    >>> split_at_bifurcation_ml_per_min(25, branch_diameters_mm=[4, 3]).round(1).tolist()
    [16.0, 9.0]

    References
    ----------
    course
    """
    if split_power is None:
        split_power = tables.constant("bifurcation-split-power").value
    branches = np.atleast_1d(branch_diameters_mm)
    weights = (branches / branches.max()) ** split_power
    return flow_ml_per_min * weights / weights.sum()


def sideways_shift_mm(push_n: Number, *, skin: str) -> Number:
    """Return how far a vein rolls from a sideways push.

    `x = m * (1 - exp(-c * F / m))`

    Parameters
    ----------
    push_n : float or array
        Sideways push of the needle on the vein [N]
    skin : str
        loose, resting or stretched [-]

    Returns
    -------
    float or ndarray
        Shift to the side [mm]

    Notes
    -----
    Push 0 to 50 N. The give c and the most m by `assets/reading/sideways.csv` are a teaching
    assumption: no source was found. That skin held stretched keeps a vein from rolling is common
    practice. A springy vein on which the needle skids is not in it.

    Examples
    --------
    >>> round(sideways_shift_mm(0.8, skin="loose"), 2), round(
    ...     sideways_shift_mm(0.8, skin="stretched"), 2
    ... )
    (2.64, 0.35)

    References
    ----------
    course, common-practice
    """
    known = rows.sideways()
    if skin not in known:
        raise ValueError(f"skin is {skin!r}: it must be one of {', '.join(known)}")
    row = known[skin]
    push = check("push_n", push_n)
    return plain(-row.most_mm * np.expm1(-row.give_mm_per_n * push / row.most_mm))


@checked
def rolls_from_needle(shift_mm: Number, *, vein_diameter_mm: Number) -> bool | np.ndarray:
    """Return whether a vein has rolled out of the needle's way.

    `shift >= d / 2`

    Parameters
    ----------
    shift_mm : float or array
        Shift to the side [mm]
    vein_diameter_mm : float or array
        Diameter of the vein as the needle meets it [mm]

    Returns
    -------
    bool or ndarray of bool
        True when a needle aimed at the middle passes beside the vein [-]

    Notes
    -----
    Shift 0 to 50 mm, vein 0.1 to 30 mm. Plain geometry: a needle without width, aimed at the
    middle. A grazing puncture, which fails too, comes earlier.

    Examples
    --------
    >>> rolls_from_needle(2.6, vein_diameter_mm=3), rolls_from_needle(0.3, vein_diameter_mm=3)
    (True, False)

    References
    ----------
    course
    """
    rolled = shift_mm >= vein_diameter_mm / 2
    return bool(rolled) if np.ndim(rolled) == 0 else rolled
