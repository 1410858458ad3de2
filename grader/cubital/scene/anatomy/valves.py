"""Where the valves of a pattern of veins stand, and the segments between confluences.

Simulated, not clinically validated.
"""

from itertools import pairwise
from typing import NamedTuple

import numpy as np

from cubital import tables
from cubital.scene.anatomy.vessels import Anatomy, Valve, Vessel


class Segment(NamedTuple):
    """A stretch of a vein between neighbouring confluences or ends [mm]."""

    vessel: str
    start_mm: float
    end_mm: float
    joined: bool  # another vein joins or leaves where it ends

    @property
    def length_mm(self) -> float:
        """Length of the segment [mm]."""
        return self.end_mm - self.start_mm


def segments(anatomy: Anatomy) -> tuple[Segment, ...]:
    """Return the segments of all veins, each vein's in the direction of flow.

    Examples
    --------
    >>> from cubital.scene.anatomy.person import anatomy
    >>> found = segments(anatomy("forearm", seed=3))
    >>> all(part.length_mm > 0 for part in found)
    True
    """
    found = []
    for vessel in anatomy.vessels:
        if vessel.kind != "vein":
            continue
        cuts = sorted(
            _nearest_along(vessel, point.x_mm, point.y_mm)
            for point in anatomy.confluences
            if point.joined == vessel.key
        )
        places = [0.0, *cuts, vessel.length_mm]
        for number, (start, end) in enumerate(pairwise(places)):
            joined = number < len(cuts) or vessel.into is not None
            found.append(Segment(vessel.key, start, end, joined))
    return tuple(found)


def _nearest_along(vessel: Vessel, x_mm: float, y_mm: float) -> float:
    index = np.hypot(vessel.x_mm - x_mm, vessel.y_mm - y_mm).argmin()
    return float(vessel.along_mm[index])


def _constant(key: str, wide_mm: float) -> float:
    return tables.constant(key).value * wide_mm


def clearance_mm(anatomy: Anatomy) -> float:
    """Return the least way of a valve from an end or a confluence [mm]."""
    return _constant("valve_clearance_share", anatomy.limb.half_width_mm)


def apart_mm(anatomy: Anatomy) -> float:
    """Return the least way between two valves of a segment [mm]."""
    return _constant("valve_apart_share", anatomy.limb.half_width_mm)


def _capacity(part: Segment, clear: float, apart: float) -> int:
    free = part.length_mm - 2 * clear
    return 0 if free < 0 else 1 + int(free / apart)


def _in_segment(
    rng: np.random.Generator, part: Segment, count: int, clear: float, apart: float
) -> list[Valve]:
    """Place so many valves in a segment, the last one more often just before its confluence."""
    free = part.length_mm - 2 * clear - (count - 1) * apart
    shares = np.sort(rng.random(count))
    near = tables.constant("valve_at_confluence_share").value
    if part.joined and rng.random() < near:
        shares[-1] = 1 - min(0.5, 0.5 * clear / max(free, clear)) * rng.random()
        shares.sort()
    places = part.start_mm + clear + free * shares + apart * np.arange(count)
    return [Valve(part.vessel, round(float(place), 3)) for place in places]


def place_valves(
    rng: np.random.Generator,
    anatomy: Anatomy,
    *,
    count: int | None = None,
    segment_mm: float | None = None,
    least_segment_mm: float | None = None,
) -> tuple[Valve, ...]:
    """Return the valves: so many, or as many as are usual; one in a segment of a wanted length.

    Raises
    ------
    ValueError
        The veins have no room for what is asked; the text says the nearest that can be had.
    """
    clear, apart = clearance_mm(anatomy), apart_mm(anatomy)
    parts = segments(anatomy)
    room = [_capacity(part, clear, apart) for part in parts]
    counts = [0] * len(parts)
    who = f"{anatomy.site} with seed {anatomy.seed}"
    wanted = _wanted(
        parts, room, who, clear, segment_mm=segment_mm, least_segment_mm=least_segment_mm
    )
    if wanted:
        counts[wanted[int(rng.integers(len(wanted)))]] = 1
    spacing = _constant("valve_spacing_share", anatomy.limb.half_width_mm)
    if count is None:
        for number, part in enumerate(parts):
            usual = int(rng.poisson(part.length_mm / spacing))
            counts[number] = min(max(counts[number], usual), room[number])
    else:
        most = sum(room)
        if count > most:
            raise ValueError(f"{count} valves do not fit in the {who}: at most {most} do")
        if count < sum(counts):
            raise ValueError(
                f"{count} valves and a valve in a segment cannot both be had: ask for 1 or more"
            )
        while sum(counts) < count:
            free = np.array([r - c for r, c in zip(room, counts, strict=True)], float)
            weight = np.where(free > 0, [part.length_mm for part in parts], 0.0)
            weight /= 1.0 + np.array(counts)
            counts[int(rng.choice(len(parts), p=weight / weight.sum()))] += 1
    found = [
        valve
        for part, count_here in zip(parts, counts, strict=True)
        if count_here
        for valve in _in_segment(rng, part, count_here, clear, apart)
    ]
    return tuple(found)


def _wanted(
    parts: tuple[Segment, ...],
    room: list[int],
    who: str,
    clear: float,
    *,
    segment_mm: float | None,
    least_segment_mm: float | None,
) -> list[int]:
    """Return the segments in which the wanted valve may stand; empty if none is asked for."""
    if segment_mm is None and least_segment_mm is None:
        return []
    if segment_mm is not None and segment_mm < 2 * clear:
        raise ValueError(
            f"a valve does not fit in a segment of {segment_mm:g} mm: it stands at least "
            f"{clear:.1f} mm from both ends, so the shortest segment is {2 * clear:.1f} mm"
        )
    fit = [number for number, most in enumerate(room) if most]
    lengths = [parts[number].length_mm for number in fit]
    if segment_mm is not None:
        fit = [n for n in fit if abs(parts[n].length_mm - segment_mm) <= 0.1 * segment_mm]
        if not fit:
            nearest = min(lengths, key=lambda length: abs(length - segment_mm))
            raise ValueError(
                f"no segment of the {who} is within a tenth of {segment_mm:g} mm: "
                f"the nearest that holds a valve is {nearest:.1f} mm"
            )
    if least_segment_mm is not None:
        fit = [number for number in fit if parts[number].length_mm >= least_segment_mm]
        if not fit:
            raise ValueError(
                f"no segment of the {who} is {least_segment_mm:g} mm or more: "
                f"the longest is {max(lengths):.1f} mm"
            )
    return fit
