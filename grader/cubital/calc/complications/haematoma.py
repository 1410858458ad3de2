"""Growth of a haematoma: a leak that the tissue's own pressure brings to a stop."""

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import checked
from cubital.calc.shared.units import Number, plain


@checked
def haematoma_limit_ml(
    vein_pressure_mmhg: Number, *, tissue_ml_per_mmhg: Number | None = None
) -> Number:
    """Return the volume at which a haematoma stops by itself.

    `V_end = C * P`

    Parameters
    ----------
    vein_pressure_mmhg : float or array
        Pressure in the vein P [mmHg]
    tissue_ml_per_mmhg : float or array, optional
        Give of the tissue C; 0.15 if not given [mL/mmHg]

    Returns
    -------
    float or ndarray
        Volume [mL]

    Notes
    -----
    Pressure 0 to 300 mmHg, give 0.001 to 100 mL/mmHg. A teaching assumption throughout: no source
    was found. Clotting stops real ones sooner, blood thinners and loose skin later.

    Examples
    --------
    >>> haematoma_limit_ml(40), haematoma_limit_ml(10)
    (6.0, 1.5)

    References
    ----------
    course
    """
    if tissue_ml_per_mmhg is None:
        tissue_ml_per_mmhg = tables.constant("tissue-give").value
    return plain(vein_pressure_mmhg * tissue_ml_per_mmhg)


@checked(
    "leak_time_min",
    "pressed_after_min",
    "vein_pressure_mmhg",
    "tissue_ml_per_mmhg",
    "leak_ml_per_min_mmhg",
)
def haematoma_volume_ml(
    leak_time_min: Number,
    *,
    vein_pressure_mmhg: Number,
    pressed_after_min: Number | None = None,
    leak_ml_per_min_mmhg: Number | None = None,
    tissue_ml_per_mmhg: Number | None = None,
) -> Number:
    """Return the volume of a haematoma some time after the wall was breached.

    `dV/dt = g * (P - V / C)`, so `V = C * P * (1 - exp(-g * t / C))` until firm pressure

    Parameters
    ----------
    leak_time_min : float or array
        Time since the wall was breached t [min]
    vein_pressure_mmhg : float or array
        Pressure in the vein P: high while the tourniquet is on [mmHg]
    pressed_after_min : float or array, optional
        Time until firm pressure stops the leak; never if not given [min]
    leak_ml_per_min_mmhg : float or array, optional
        Leak of the breach g; 0.02 if not given [mL/min/mmHg]
    tissue_ml_per_mmhg : float or array, optional
        Give of the tissue C; 0.15 if not given [mL/mmHg]

    Returns
    -------
    float or ndarray
        Volume [mL]

    Notes
    -----
    Times 0 to 10000 min, pressure 0 to 300 mmHg, leak 0.0001 to 10 mL/min/mmHg, give 0.001 to
    100 mL/mmHg. A teaching assumption throughout: no source was found. It shows why the tourniquet
    comes off first and why one presses at once; it foretells nothing for a patient.

    Examples
    --------
    >>> round(haematoma_volume_ml(5, vein_pressure_mmhg=40), 2)
    2.92
    >>> round(haematoma_volume_ml(5, vein_pressure_mmhg=40, pressed_after_min=1), 2)
    0.75

    References
    ----------
    course
    """
    if leak_ml_per_min_mmhg is None:
        leak_ml_per_min_mmhg = tables.constant("leak-per-mmhg").value
    if tissue_ml_per_mmhg is None:
        tissue_ml_per_mmhg = tables.constant("tissue-give").value
    time = leak_time_min
    if pressed_after_min is not None:
        time = np.minimum(time, pressed_after_min)
    limit = haematoma_limit_ml(vein_pressure_mmhg, tissue_ml_per_mmhg=tissue_ml_per_mmhg)
    return plain(-limit * np.expm1(-leak_ml_per_min_mmhg * time / tissue_ml_per_mmhg))
