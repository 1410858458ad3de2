"""Insertion: how much of the catheter comes to lie in the vein, and how near the far wall is."""

from typing import NamedTuple

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import check, checked, single, written
from cubital.calc.shared.spans import Span
from cubital.calc.shared.units import Number, plain
from cubital.calc.sizing.catheter import gauge as gauge_row

WALLS = {"near": 0, "centre": 0.5, "far": 1}  # share of the diameter below the near wall


class Reach(NamedTuple):
    """Distances along the needle from the skin [mm], as ranges, and the room that is sure."""

    near_wall: Span
    far_wall: Span
    room: Span
    sure_room_mm: Number


def depth_to_wall_mm(near_wall_depth_mm: Number, *, vein_diameter_mm: Number, wall: str) -> Number:
    """Return the depth of the near wall, the centre or the far wall of a vein.

    `depth = near wall + f * diameter`, f 0 for near, 1/2 for centre, 1 for far

    Parameters
    ----------
    near_wall_depth_mm : float or array
        Depth of the wall nearest to the skin [mm]
    vein_diameter_mm : float or array
        Inner diameter of the vein [mm]
    wall : str
        near, centre or far [-]

    Returns
    -------
    float or ndarray
        Depth below the skin [mm]

    Notes
    -----
    Depth 0.1 to 60 mm, vein 0.1 to 30 mm. A thin wall and a flat skin. The pressure of an
    ultrasound probe or of the needle makes both smaller.

    Examples
    --------
    >>> depth_to_wall_mm(4, vein_diameter_mm=3, wall="centre")
    5.5

    References
    ----------
    common-practice
    """
    if wall not in WALLS:
        raise ValueError(f"wall is {wall!r}: it must be one of {', '.join(WALLS)}")
    depth = check("near_wall_depth_mm", near_wall_depth_mm)
    return plain(depth + WALLS[wall] * check("vein_diameter_mm", vein_diameter_mm))


@checked
def _sine(insertion_angle_deg: Number) -> Number:
    return np.sin(np.radians(insertion_angle_deg))


@checked
def track_length_mm(near_wall_depth_mm: Number, *, insertion_angle_deg: Number) -> Number:
    """Return the way along the needle from the skin to the near wall of a vein.

    `track = depth / sin(angle)`

    Parameters
    ----------
    near_wall_depth_mm : float or array
        Depth of the wall nearest to the skin [mm]
    insertion_angle_deg : float or array
        Angle between needle and skin [degrees]

    Returns
    -------
    float or ndarray
        Length of the track [mm]

    Notes
    -----
    Depth 0.1 to 60 mm, angle 1 to 90 degrees. A straight needle and skin parallel to the vein; give
    the centre's depth for the way to the centre.

    Examples
    --------
    >>> round(track_length_mm(4, insertion_angle_deg=30), 2)
    8.0

    References
    ----------
    common-practice
    """
    return plain(near_wall_depth_mm / _sine(insertion_angle_deg))


@checked
def length_in_vein_mm(
    length_mm: Number, *, near_wall_depth_mm: Number, insertion_angle_deg: Number
) -> Number:
    """Return the length of a catheter that comes to lie in the vein.

    `in vein = max(0, L - depth / sin(angle))`, counted from the near wall

    Parameters
    ----------
    length_mm : float or array
        Length of the catheter from hub to tip [mm]
    near_wall_depth_mm : float or array
        Depth of the wall nearest to the skin [mm]
    insertion_angle_deg : float or array
        Angle between needle and skin [degrees]

    Returns
    -------
    float or ndarray
        Length beyond the near wall [mm]

    Notes
    -----
    Length 1 to 1000 mm, depth 0.1 to 60 mm, angle 1 to 90 degrees. Advanced to the hub, straight
    until the wall and along the vein from there; 0 when it does not reach. Counted from the centre
    it is shorter by half the diameter over the sine. Skin that swells or moves draws it out.

    Examples
    --------
    >>> round(length_in_vein_mm(45, near_wall_depth_mm=8, insertion_angle_deg=30), 1)
    29.0

    References
    ----------
    common-practice
    """
    track = track_length_mm(near_wall_depth_mm, insertion_angle_deg=insertion_angle_deg)
    return plain(np.maximum(0, length_mm - track))


@checked
def fraction_in_vein(
    length_mm: Number, *, near_wall_depth_mm: Number, insertion_angle_deg: Number
) -> Number:
    """Return the fraction of a catheter that comes to lie in the vein.

    `fraction = max(0, 1 - depth / (L * sin(angle)))`, counted from the near wall

    Parameters
    ----------
    length_mm : float or array
        Length of the catheter from hub to tip [mm]
    near_wall_depth_mm : float or array
        Depth of the wall nearest to the skin [mm]
    insertion_angle_deg : float or array
        Angle between needle and skin [degrees]

    Returns
    -------
    float or ndarray
        Fraction of the catheter beyond the near wall [-]

    Notes
    -----
    Length 1 to 1000 mm, depth 0.1 to 60 mm, angle 1 to 90 degrees. As for the length in the vein.

    Examples
    --------
    >>> round(fraction_in_vein(45, near_wall_depth_mm=8, insertion_angle_deg=30), 3)
    0.644

    References
    ----------
    pandurangadu-2018
    """
    inside = length_in_vein_mm(
        length_mm, near_wall_depth_mm=near_wall_depth_mm, insertion_angle_deg=insertion_angle_deg
    )
    return plain(inside / length_mm)


@checked
def angle_for_fraction_deg(
    fraction_wanted: Number, *, length_mm: Number, near_wall_depth_mm: Number
) -> Number:
    """Return the flattest angle that leaves a wanted fraction of a catheter in the vein.

    `angle = asin(depth / (L * (1 - fraction)))`

    Parameters
    ----------
    fraction_wanted : float or array
        Fraction of the catheter wanted beyond the near wall [-]
    length_mm : float or array
        Length of the catheter from hub to tip [mm]
    near_wall_depth_mm : float or array
        Depth of the wall nearest to the skin [mm]

    Returns
    -------
    float or ndarray
        Angle between needle and skin [degrees]

    Notes
    -----
    Fraction 0 to 0.99, length 1 to 1000 mm, depth 0.1 to 60 mm. Steeper leaves more in the vein,
    but meets the far wall sooner. Where no angle does, the error says how deep a vein the catheter
    serves: then it takes a longer catheter or a shallower vein.

    Examples
    --------
    >>> round(angle_for_fraction_deg(0.65, length_mm=45, near_wall_depth_mm=8), 1)
    30.5

    References
    ----------
    common-practice
    """
    length = length_mm
    depth = near_wall_depth_mm
    deepest = length * (1 - fraction_wanted)
    sine = np.asarray(depth / deepest)
    if (sine > 1).any():
        at = np.unravel_index(np.argmax(sine > 1), sine.shape)
        parts = (np.broadcast_to(part, sine.shape)[at] for part in (depth, fraction_wanted, length))
        d, f, n = (float(part) for part in parts)
        raise ValueError(
            f"depth of the near wall is {written(d)} mm: no angle leaves {f:.0%} of a "
            f"{written(n)} mm catheter in the vein, it must be at most {n * (1 - f):.1f} mm"
        )
    return plain(np.degrees(np.arcsin(sine)))


@checked
def reach_along_needle(
    near_wall_depth_mm: Number,
    *,
    vein_diameter_mm: Number,
    insertion_angle_deg: Number,
    depth_error_mm: Number | None = None,
    diameter_error_mm: Number | None = None,
) -> Reach:
    """Return how far it is along the needle to both walls of a vein, as ranges.

    `near = (depth -+ e) / sin(angle)`, `far = (depth -+ e + d -+ f) / sin(angle)`

    Parameters
    ----------
    near_wall_depth_mm : float or array
        Depth of the wall nearest to the skin [mm]
    vein_diameter_mm : float or array
        Inner diameter of the vein as the needle meets it [mm]
    insertion_angle_deg : float or array
        Angle between needle and skin [degrees]
    depth_error_mm : float or array, optional
        e, how far the depth may be off either way; 0.5 if not given [mm]
    diameter_error_mm : float or array, optional
        f, how far the diameter may be off either way; 0.3 if not given [mm]

    Returns
    -------
    Reach
        Ways to the near wall and the far wall, the room between them, and the room that is left
        when near is at its farthest and far at its nearest [mm]

    Notes
    -----
    Depth 0.1 to 60 mm, vein 0.1 to 30 mm, angle 1 to 90 degrees, errors 0 to 10 mm. The errors are
    a teaching assumption, taken at their worst together. No sure room means: watch for blood,
    flatten, and advance a little at a time. A needle held deeper pushes the wall in front of it;
    the bevel's length is not taken off.

    Examples
    --------
    >>> reach = reach_along_needle(4, vein_diameter_mm=3, insertion_angle_deg=30)
    >>> [round(end, 2) for end in reach.far_wall], round(reach.sure_room_mm, 2)
    ([12.4, 15.6], 3.4)

    References
    ----------
    course, elbow-vein-2022
    """
    if depth_error_mm is None:
        depth_error_mm = tables.constant("vein-depth-error").value
    if diameter_error_mm is None:
        diameter_error_mm = tables.constant("vein-diameter-error").value
    sine = _sine(insertion_angle_deg)
    near = [np.maximum(0, near_wall_depth_mm + end * depth_error_mm) / sine for end in (-1, 1)]
    room = [np.maximum(0, vein_diameter_mm + end * diameter_error_mm) / sine for end in (-1, 1)]
    far = [near[0] + room[0], near[1] + room[1]]
    sure = np.maximum(0, far[0] - near[1])
    return Reach(*(Span(*map(plain, ends)) for ends in (near, far, room)), plain(sure))


def age_group_remarks(
    gauge: int, *, age_group: str, length_mm: float, vein_diameter_mm: float
) -> tuple[str, ...]:
    """Return what is unusual about a catheter and a vein at an age.

    `low <= value <= high`, with the rows of `assets/sizing/joint-limits.csv`

    Parameters
    ----------
    gauge : int
        Gauge of the catheter [G]
    age_group : str
        neonate, child or adult [-]
    length_mm : float
        Length of the catheter [mm]
    vein_diameter_mm : float
        Inner diameter of the vein [mm]

    Returns
    -------
    tuple of str
        Remarks, empty when all is usual [-]

    Notes
    -----
    Length 1 to 1000 mm, vein 0.1 to 30 mm. Children of one age differ by more than the table says;
    local policy and the patient's vein decide.

    Examples
    --------
    >>> age_group_remarks(24, age_group="neonate", length_mm=19, vein_diameter_mm=1.6)
    ()
    >>> age_group_remarks(18, age_group="neonate", length_mm=32, vein_diameter_mm=1.6)
    ('18G is not usual for a neonate: the table has 26, 24',)

    References
    ----------
    course
    """
    gauge_row(gauge)
    length = single("length_mm", length_mm)
    vein = single("vein_diameter_mm", vein_diameter_mm)
    rows = {row.gauge: row for row in tables.joint_limits() if row.age_group == age_group}
    if not rows:
        groups = sorted({row.age_group for row in tables.joint_limits()})
        raise ValueError(f"age_group is {age_group!r}: it must be one of {', '.join(groups)}")
    if gauge not in rows:
        listed = ", ".join(map(str, rows))
        return (f"{gauge}G is not usual for a {age_group}: the table has {listed}",)
    row = rows[gauge]
    spans = (
        ("catheter length", length, row.length_low_mm, row.length_high_mm),
        ("vein diameter", vein, row.vein_low_mm, row.vein_high_mm),
    )
    return tuple(
        f"{words} {written(value)} mm is outside the usual {written(low)} to {written(high)} mm "
        f"for {gauge}G, {age_group}"
        for words, value, low, high in spans
        if not low <= value <= high
    )
