"""Choosing a catheter: the smallest that does the job, and whether the vein takes it."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import isclose

from cubital import tables
from cubital.calc.shared.quantities import checked, remarks, single, written
from cubital.calc.sizing.catheter import catheter_to_vein_ratio
from cubital.calc.sizing.catheter import gauge as gauge_row

FITS = "fits"
TOO_LARGE = "too large for this vein"
NO_FLOW = "no catheter meets the flow"
CANNOT_SIZE = "cannot be sized"

MEASURED_BY = {
    "ultrasound": "ultrasound without a tourniquet",
    "tourniquet": "ultrasound with the tourniquet on",
    "picture": "the width in a near-infrared picture",
    "eye": "eye or touch",
    "none": "no measurement",
}
WHY_NOT = {
    "tourniquet": "the tourniquet makes the vein wider than the catheter will find it",
    "picture": "light spreads in the tissue, so the dark band is wider or narrower than the vein",
    "eye": "eye and touch find a vein but do not measure it",
    "none": "the vein was not measured",
}
LEAVES_OUT = (
    "Nominal flow is for water at 22 degrees C under one metre, into open air, and makers differ. "
    "Tubing, thicker fluids, a bent catheter and the pressure in the vein make it smaller. Depth, "
    "course and state of the vein, the planned duration and what the drug does to a vein are not "
    "in the sum."
)


@dataclass(frozen=True)
class Sizing:
    """What can be said about the catheter for one patient, with the reason."""

    verdict: str
    gauge: int | None
    ratio: float | None
    reason: str
    remarks: tuple[str, ...] = ()
    leaves_out: str = LEAVES_OUT


def _smallest_for_flow(needed: float, rows: list[tables.Gauge]) -> tables.Gauge | None:
    enough = [row for row in rows if (row.nominal_flow_ml_per_min or 0) >= needed]
    return min(enough, key=lambda row: row.outer_upper_mm, default=None)


def _flow_remarks(needed: float, row: tables.Gauge) -> tuple[str, ...]:
    if needed <= row.flow_low_ml_per_min:
        return ()
    return (
        f"some makers' {row.gauge}G give only {written(row.flow_low_ml_per_min)} mL/min: "
        "read the pack",
    )


@checked("flow_needed_ml_per_min", "ratio_limit", "vein_diameter_mm", form=single)
def size_catheter(
    *,
    flow_needed_ml_per_min: float,
    vein_diameter_mm: float | None,
    measured_by: str,
    ratio_limit: float,
    allowed_gauges: Iterable[int] | None = None,
) -> Sizing:
    """Return the smallest catheter that gives the flow, and whether the vein takes it.

    `gauge = thinnest with nominal flow >= need`; it fits if `upper outer diameter / vein <= limit`

    Parameters
    ----------
    flow_needed_ml_per_min : float
        Flow that the therapy needs [mL/min]
    vein_diameter_mm : float or None
        Inner diameter of the vein; None if it was not measured [mm]
    measured_by : str
        ultrasound (without a tourniquet), tourniquet, picture, eye or none [-]
    ratio_limit : float
        Largest catheter-to-vein ratio that local policy allows [-]
    allowed_gauges : iterable of int, optional
        Gauges to choose from; all of the table if not given [G]

    Returns
    -------
    Sizing
        Verdict, gauge [G], catheter-to-vein ratio [-], reason and remarks [-]

    Notes
    -----
    Flow 0.001 to 2000 mL/min, vein 0.1 to 30 mm, limit 0.05 to 1. Only a diameter by ultrasound
    without a tourniquet sizes a catheter. A gauge with no flow figure in the table is passed over.
    Nominal flow is for water under one metre into open air, makers differ, and the vein's depth
    and course, the duration and the drug are left out.

    Examples
    --------
    >>> size_catheter(
    ...     flow_needed_ml_per_min=50, vein_diameter_mm=3.0, measured_by="ultrasound",
    ...     ratio_limit=0.45,
    ... ).reason
    '20G takes up 0.38 of the vein, and the limit is 0.45.'
    >>> size_catheter(
    ...     flow_needed_ml_per_min=50, vein_diameter_mm=3.0, measured_by="picture",
    ...     ratio_limit=0.45,
    ... ).verdict
    'cannot be sized'

    References
    ----------
    ins-2021, flow-teaching-pages
    """
    needed = flow_needed_ml_per_min
    limit = ratio_limit
    vein = None if vein_diameter_mm is None else vein_diameter_mm
    if measured_by not in MEASURED_BY:
        raise ValueError(
            f"measured_by is {measured_by!r}: it must be one of {', '.join(MEASURED_BY)}"
        )
    if measured_by != "ultrasound" or vein is None:
        why = WHY_NOT.get(measured_by, WHY_NOT["none"])
        reason = f"No catheter can be sized: {why}. Measure by {MEASURED_BY['ultrasound']}."
        return Sizing(CANNOT_SIZE, None, None, reason)

    rows = [*tables.gauges()] if allowed_gauges is None else [*map(gauge_row, allowed_gauges)]
    unusual = remarks(flow_needed_ml_per_min=needed, vein_diameter_mm=vein, ratio_limit=limit)
    row = _smallest_for_flow(needed, rows)
    if row is None:
        reason = (
            f"No catheter to choose from has a nominal flow of {written(needed)} mL/min: "
            "use two catheters, pressure or a central line."
        )
        return Sizing(NO_FLOW, None, None, reason, unusual)
    ratio = catheter_to_vein_ratio(row.outer_upper_mm, vein_diameter_mm=vein)
    fits = ratio <= limit or isclose(ratio, limit)
    joined = "and" if fits else "but"
    reason = f"{row.gauge}G takes up {ratio:.2f} of the vein, {joined} the limit is {limit:.2f}."
    if not fits:
        reason += (
            " No thinner one gives the flow: find a wider vein by ultrasound, or ask about a "
            "central line."
        )
    found = unusual + _flow_remarks(needed, row)
    return Sizing(FITS if fits else TOO_LARGE, row.gauge, ratio, reason, found)
