"""What a quantity may be: impossible values raise, implausible ones are remarked on."""

from typing import Any

import numpy as np

from cubital import tables
from cubital.calc.units import Number


def written(value: float) -> str:
    """Return a number as a person writes it: 2 and not 2.0, all digits that matter."""
    return repr(float(value)).removesuffix(".0")


def _with_unit(value: float, unit: str) -> str:
    return f"{written(value)} {unit}".rstrip()


def _limit(quantity: str) -> tables.Limit:
    try:
        return tables.limits()[quantity]
    except KeyError:
        raise ValueError(f"no limits are known for the quantity {quantity!r}") from None


def _numbers(value: Any) -> np.ndarray | None:
    """Return the value as an array of floats, or None if any of it is not a real number."""
    if isinstance(value, list | tuple):
        parts = [_numbers(part) for part in value]
        if any(part is None for part in parts) or len({part.shape for part in parts}) > 1:
            return None
        return np.array(parts, dtype=float)
    array = np.asarray(value)
    return array.astype(float) if array.dtype.kind in "iuf" else None


def check(quantity: str, value: Any) -> Number:
    """Return a possible value as a float, or an array of floats; raise on an impossible one.

    Parameters
    ----------
    quantity : str
        Name of the quantity with its unit, as in `assets/limits.toml` [-]
    value : float or array
        The value to check [the unit of the quantity]

    Returns
    -------
    float or ndarray
        The same value [the unit of the quantity]

    Notes
    -----
    `low <= value <= high`, with the limits of `assets/limits.toml`. They are wide: they catch a
    wrong unit or a lost decimal point, and say nothing about what is right for a patient. Not a
    number, infinity, true and false, and text are impossible.

    Examples
    --------
    >>> check("vein_diameter_mm", 3)
    3.0
    >>> check("vein_diameter_mm", 0)
    Traceback (most recent call last):
    ValueError: vein diameter is 0 mm: it must be from 0.1 to 30 mm

    References
    ----------
    course
    """
    limit = _limit(quantity)
    allowed = f"it must be from {written(limit.low)} to {_with_unit(limit.high, limit.unit)}"
    numbers = _numbers(value)
    if numbers is None:
        raise ValueError(f"{limit.quantity} is {value!r}, which is not a number: {allowed}")
    impossible = ~((numbers >= limit.low) & (numbers <= limit.high))
    if impossible.any():
        first = numbers[impossible].flat[0]
        raise ValueError(f"{limit.quantity} is {_with_unit(first, limit.unit)}: {allowed}")
    return float(numbers) if numbers.ndim == 0 else numbers


def remarks(**quantities: Any) -> tuple[str, ...]:
    """Return one sentence for each value that is possible but unusual.

    Parameters
    ----------
    **quantities : float or array
        Values by the name of their quantity, as in `assets/limits.toml` [the unit in each name]

    Returns
    -------
    tuple of str
        Remarks, empty when every value is usual [-]

    Notes
    -----
    `usual_low <= value <= usual_high`, with the limits of `assets/limits.toml`. An unusual value
    may be right; the remark only asks for a second look.

    Examples
    --------
    >>> remarks(vein_diameter_mm=3.2)
    ()
    >>> remarks(vein_diameter_mm=12)
    ('vein diameter 12 mm is outside the usual 0.8 to 8 mm: check the number and its unit',)

    References
    ----------
    course
    """
    found = []
    for quantity, value in quantities.items():
        limit = _limit(quantity)
        numbers = np.asarray(check(quantity, value))
        unusual = (numbers < limit.usual_low) | (numbers > limit.usual_high)
        if unusual.any():
            first = _with_unit(numbers[unusual].flat[0], limit.unit)
            usual = f"{written(limit.usual_low)} to {_with_unit(limit.usual_high, limit.unit)}"
            found.append(
                f"{limit.quantity} {first} is outside the usual {usual}: "
                "check the number and its unit"
            )
    return tuple(found)
