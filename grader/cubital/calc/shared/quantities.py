"""What a quantity may be: impossible values raise, implausible ones are remarked on."""

import functools
import inspect
import math
import reprlib
from collections.abc import Callable, Mapping
from typing import Any, TypeVar, get_args, overload

import numpy as np

from cubital import tables
from cubital.calc.shared.units import Number

Calculation = TypeVar("Calculation", bound=Callable[..., Any])

LARGEST_SHOWN = 10**15  # a whole number beyond is shown by its power of ten


class _Short(reprlib.Repr):
    """Values as Python writes them, cut short in the middle or at the end."""

    def repr_int(self, value: int, _level: int) -> str:
        if abs(value) <= LARGEST_SHOWN:
            return repr(value)
        sign = "-" if value < 0 else ""
        return f"about {sign}1e+{math.floor(math.log10(abs(value)))}"

    def repr_float(self, value: float, _level: int) -> str:
        return written(value)


def shown(value: Any) -> str:
    """Return any value as an error shows it, however long it is.

    Examples
    --------
    >>> shown(2.0), shown("3"), shown(10**400)
    ('2', "'3'", 'about 1e+400')
    """
    return _Short().repr(value)


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
    if type(value) is int:  # of any length, which an array of numbers has no room for
        try:
            return np.array(float(value))
        except OverflowError:
            return np.array(math.inf if value > 0 else -math.inf)
    array = np.asarray(value)
    return array.astype(float) if array.dtype.kind in "iuf" else None


def check(quantity: str, value: Any) -> Number:
    """Return a possible value as a float, or an array of floats; raise on an impossible one.

    Parameters
    ----------
    quantity : str
        Name of the quantity with its unit, as in `assets/quantities.csv` [-]
    value : float or array
        The value to check [the unit of the quantity]

    Returns
    -------
    float or ndarray
        The same value [the unit of the quantity]

    Notes
    -----
    `low <= value <= high`, with the limits of `assets/quantities.csv`. They are wide: they catch a
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
    is_number = isinstance(value, float) or type(value) is int  # true and false are none
    if is_number and limit.low <= value <= limit.high:
        return float(value)
    allowed = f"it must be {_span(limit)}"
    numbers = _numbers(value)
    if numbers is None:
        raise ValueError(f"{limit.quantity} is {shown(value)}, which is not a number: {allowed}")
    impossible = ~((numbers >= limit.low) & (numbers <= limit.high))
    if impossible.any():
        first = shown(value) if type(value) is int else written(numbers[impossible].flat[0])
        raise ValueError(f"{limit.quantity} is {f'{first} {limit.unit}'.rstrip()}: {allowed}")
    return float(numbers) if numbers.ndim == 0 else numbers


def _span(limit: tables.Limit) -> str:
    return f"from {written(limit.low)} to {_with_unit(limit.high, limit.unit)}"


def single(quantity: str, value: Any) -> float:
    """Return a possible value as a float; none or several at once raise ValueError.

    Examples
    --------
    >>> single("wavelength_nm", 850)
    850.0
    >>> single("vein_diameter_mm", [2, 3])
    Traceback (most recent call last):
    ValueError: vein diameter is [2, 3]: it must be a single number from 0.1 to 30 mm
    """
    number = check(quantity, value)
    if np.ndim(number):
        limit = _limit(quantity)
        raise ValueError(
            f"{limit.quantity} is {shown(value)}: it must be a single number {_span(limit)}"
        )
    return number


def several(quantity: str, values: Any) -> np.ndarray:
    """Return possible values as an array of one or more in a row; others raise ValueError.

    Examples
    --------
    >>> several("vein_diameter_mm", [2, 3]).tolist()
    [2.0, 3.0]
    >>> several("vein_diameter_mm", [])
    Traceback (most recent call last):
    ValueError: vein diameter is []: it must be one or more numbers, each from 0.1 to 30 mm
    """
    numbers = np.asarray(check(quantity, values))
    if numbers.ndim != 1 or not numbers.size:
        limit = _limit(quantity)
        raise ValueError(
            f"{limit.quantity} is {shown(values)}: it must be one or more numbers, each "
            f"{_span(limit)}"
        )
    return numbers


def whole(quantity: str, value: Any) -> Number:
    """Return a possible whole number, or whole numbers, as floats; raise ValueError on any other.

    Examples
    --------
    >>> whole("photons", 2000)
    2000.0
    >>> whole("cores", 1.5)
    Traceback (most recent call last):
    ValueError: number of cores is 1.5: it must be a whole number from 1 to 1024
    """
    number = check(quantity, value)
    broken = np.not_equal(number, np.floor(number))
    if broken.any():
        limit = _limit(quantity)
        first = written(np.asarray(number)[broken].flat[0])
        raise ValueError(f"{limit.quantity} is {first}: it must be a whole number {_span(limit)}")
    return number


def single_whole(quantity: str, value: Any) -> int:
    """Return one possible whole number; anything else raises ValueError.

    Examples
    --------
    >>> single_whole("cores", 2.0)
    2
    """
    return int(whole(quantity, single(quantity, value)))


@overload
def checked(function: Calculation, /) -> Calculation: ...
@overload
def checked(
    *names: str, form: Callable[..., Any] = ..., **quantities: str
) -> Callable[[Calculation], Calculation]: ...
def checked(*names: Any, form: Callable[..., Any] = check, **quantities: str) -> Any:
    """Return a decorator that checks a function's arguments before the function runs.

    Parameters
    ----------
    *names : str
        The parameters to check, in this order; without any, all that `assets/quantities.csv` or
        `quantities` name, in the order of the signature [-]
    form : callable, optional
        How each is checked: `check`, `single`, `whole` or `single_whole` [-]
    **quantities : str
        The quantity of a parameter that has another name [-]

    Returns
    -------
    callable
        The decorator; `@checked` alone is `@checked()` [-]

    Notes
    -----
    The function gets what `form` returns: a float, or an array where one was given. None is passed
    on where the annotation allows it, as in `Number | None`; a default is not checked. An unknown
    parameter raises TypeError where the function is defined. The table is read when the function is
    first called.

    Examples
    --------
    >>> @checked(rim_mm="vein_diameter_mm")
    ... def ring(outer_diameter_mm, *, rim_mm: Number | None = None):
    ...     return outer_diameter_mm, rim_mm
    >>> ring(2), ring(2, rim_mm=3)
    ((2.0, None), (2.0, 3.0))
    >>> ring(2, rim_mm=0)
    Traceback (most recent call last):
    ValueError: vein diameter is 0 mm: it must be from 0.1 to 30 mm

    References
    ----------
    course
    """
    if names and callable(names[0]):
        return _with_checks(names[0], (), form, quantities)
    return lambda function: _with_checks(function, names, form, quantities)


def _with_checks(
    function: Callable[..., Any],
    names: tuple[Any, ...],
    form: Callable[..., Any],
    quantities: Mapping[str, str],
) -> Callable[..., Any]:
    code = inspect.unwrap(function).__code__  # the whole signature would cost import time
    known = code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]
    unknown = {*names, *quantities} - set(known)
    if unknown:
        raise TypeError(f"{function.__name__} has no parameter {', '.join(sorted(unknown))}")

    @functools.cache
    def rows() -> list[tuple[str, float, str, bool]]:
        """Return what is checked: parameter, position, quantity, whether None is passed on."""
        found = []
        parameters = inspect.signature(function).parameters
        for place, (name, parameter) in enumerate(parameters.items()):
            quantity = quantities.get(name, name)
            if name in names or name in quantities or (not names and name in tables.limits()):
                by_position = parameter.kind is parameter.POSITIONAL_OR_KEYWORD
                is_optional = type(None) in get_args(parameter.annotation)
                found.append((name, place if by_position else math.inf, quantity, is_optional))
        order = (*names, *quantities) if names else tuple(parameters)
        return sorted(found, key=lambda row: order.index(row[0]))

    @functools.wraps(function)
    def with_checks(*args: Any, **kwargs: Any) -> Any:
        values = list(args)
        for name, place, quantity, is_optional in rows():
            if name in kwargs:
                given, key = kwargs, name
            elif place < len(values):
                given, key = values, place
            else:
                continue
            if given[key] is not None or not is_optional:
                given[key] = form(quantity, given[key])
        return function(*values, **kwargs)

    return with_checks


def remarks(**quantities: Any) -> tuple[str, ...]:
    """Return one sentence for each value that is possible but unusual.

    Parameters
    ----------
    **quantities : float or array
        Values by the name of their quantity, as in `assets/quantities.csv` [the unit in each name]

    Returns
    -------
    tuple of str
        Remarks, empty when every value is usual [-]

    Notes
    -----
    `usual_low <= value <= usual_high`, with the limits of `assets/quantities.csv`. An unusual value
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
