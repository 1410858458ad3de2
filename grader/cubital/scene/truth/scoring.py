"""How well marks on a picture agree with its truth: hits, misses, false alarms, place error."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Any, NamedTuple

import numpy as np

from cubital.calc.shared.quantities import check, written
from cubital.scene.light.geometry import mm_per_px_at, to_skin
from cubital.scene.truth.pairing import paired
from cubital.scene.truth.record import read_truth, view_of
from cubital.scene.truth.segments import in_picture

WHAT = ("valve", "bifurcation", "event", "vessel", "vein", "artery")
LISTS = {"valve": "valves", "bifurcation": "bifurcations", "event": "events"}
ROUNDING_PX = 1.0  # a mark sits on a whole pixel, and so may the place it was read from
GAP_MM = 1.5  # points of one line lie nearer than this: a step and a half of the record
SLACK_MM = 1e-3  # places of a truth are rounded to this
FAR = 1e9  # stands for a pair that is not allowed: more than all allowed errors together


class Pair(NamedTuple):
    """A mark and the structure it hit, with the distance between them on the skin [mm]."""

    mark: tuple[float, ...]
    structure: str
    error_mm: float


@dataclass(frozen=True)
class Score:
    """What marks found and what they missed.

    `set_aside` counts marks on structures that the picture does not show: neither hits nor false
    alarms. `hits + misses` is the number of structures that it shows.
    """

    what: str
    hits: int
    misses: int
    false_alarms: int
    set_aside: int
    pairs: tuple[Pair, ...]

    @property
    def place_errors_mm(self) -> tuple[float, ...]:
        """Distance of each hit from its structure on the skin [mm]."""
        return tuple(pair.error_mm for pair in self.pairs)

    @property
    def place_error_mm(self) -> float | None:
        """Median distance of the hits on the skin [mm]; None without a hit."""
        return median(self.place_errors_mm) if self.pairs else None

    @property
    def share(self) -> float:
        """Share of the points: `hits / (hits + misses + false alarms)`; 1 if there is nothing.

        A false alarm costs as much as a miss, so marks everywhere earn next to nothing.

        Examples
        --------
        >>> Score("valve", 3, 1, 2, 0, ()).share
        0.5
        """
        counted = self.hits + self.misses + self.false_alarms
        return self.hits / counted if counted else 1.0


class _Structure(NamedTuple):
    """Something to mark: a line on the skin, of one point if it is a place."""

    key: str
    x_mm: np.ndarray
    y_mm: np.ndarray
    frame: int | None = None


def _places(row: Mapping[str, Any]) -> _Structure:
    ends = row, row.get("parts") or row  # a fork is from where vessels meet to where bands part
    steps = int(np.hypot(*(ends[1][axis] - row[axis] for axis in ("x_mm", "y_mm")))) + 1
    x, y = (np.linspace(ends[0][axis], ends[1][axis], steps + 1) for axis in ("x_mm", "y_mm"))
    return _Structure(row["key"], x, y, row.get("onset_frame"))


def _lines(truth: Mapping[str, Any], what: str) -> tuple[list[_Structure], list[_Structure]]:
    """Return the seen parts of vessels, one structure a vessel, and the parts that are not seen."""
    kinds = ("vein", "artery") if what == "vessel" else (what,)
    seen: dict[str, list[np.ndarray]] = {}
    unseen = []
    for segment in truth["segments"]:
        if segment["kind"] not in kinds:
            continue
        places = np.array([segment["x_mm"], segment["y_mm"]], float)
        shown = np.array(segment["seen"], bool) & segment["visible"]
        if shown.any():
            seen.setdefault(segment["vessel"], []).append(places[:, shown])
        if not shown.all():
            unseen.append(_Structure(segment["key"], *places[:, ~shown]))
    joined = [_Structure(key, *np.concatenate(parts, axis=1)) for key, parts in seen.items()]
    return joined, unseen


def structures(truth: Mapping[str, Any], what: str) -> tuple[list[_Structure], list[_Structure]]:
    """Return what a mark can hit, and what it may lie on without counting either way."""
    if what not in WHAT:
        raise ValueError(f"{what!r} cannot be marked: choose one of {', '.join(WHAT)}")
    if what not in LISTS:
        return _lines(truth, what)
    rows = [row for row in truth[LISTS[what]] if row["x_mm"] is not None]
    seen = [_places(row) for row in rows if row["visible"]]
    unseen = [_places(row) for row in rows if not row["visible"]]
    if what == "bifurcation":  # in a picture a crossing looks like one
        unseen += [_places(row) for row in truth["crossings"]]
    return seen, unseen


def _checked_marks(
    marks: Iterable[Sequence[float]], view: Any, frames: int | None, length: int
) -> np.ndarray:
    rows = [tuple(mark) for mark in marks]
    check("marks_on_picture", len(rows))
    wanted = "(column, row)" if length == 2 else "(column, row, frame)"
    for row in rows:
        numbers = all(
            isinstance(value, int | float | np.integer | np.floating)
            and not isinstance(value, bool)
            for value in row
        )
        if len(row) != length or not numbers or not np.isfinite(row).all():
            raise ValueError(f"mark {row!r} is not a place: it must be {wanted}, in pixels")
        if not in_picture(view, row[0], row[1]):
            raise ValueError(
                f"mark at column {written(row[0])}, row {written(row[1])} lies outside the picture:"
                f" columns are 0 to {view.width_px - 1}, rows 0 to {view.height_px - 1}"
            )
        if length > 2 and not 0 <= row[2] < (frames or 1):
            raise ValueError(
                f"mark at frame {written(row[2])}: frames are 0 to {(frames or 1) - 1}"
            )
    return np.array(sorted(rows), float).reshape(-1, length)  # sorted: their order cannot matter


def _distances(x: np.ndarray, y: np.ndarray, structure: _Structure) -> np.ndarray:
    """Return the distance of each mark from a structure on the skin [mm]."""
    away = np.hypot(x[:, None] - structure.x_mm, y[:, None] - structure.y_mm).min(axis=1)
    if len(structure.x_mm) == 1:
        return away
    dx, dy = np.diff(structure.x_mm), np.diff(structure.y_mm)
    steps = np.maximum(dx**2 + dy**2, np.finfo(float).tiny)
    own = np.hypot(dx, dy) <= GAP_MM  # parts of one vessel are not joined across what is unseen
    if not own.any():
        return away
    from_x, from_y = x[:, None] - structure.x_mm[:-1], y[:, None] - structure.y_mm[:-1]
    share = np.clip((from_x * dx + from_y * dy) / steps, 0, 1)
    lines = np.hypot(from_x - share * dx, from_y - share * dy)[:, own].min(axis=1)
    return np.minimum(away, lines)


def _assigned(costs: np.ndarray) -> list[tuple[int, int]]:
    """Return the pairs of marks and structures, as many as can be, then as near as can be."""
    return [(mark, at) for mark, at in paired(costs) if costs[mark, at] < FAR]


def score_marks(
    marks: Iterable[Sequence[float]],
    truth: Mapping[str, Any],
    *,
    what: str,
    within_mm: float,
    within_frames: int | None = None,
) -> Score:
    """Compare marks, as (column, row) in pixels, with what the truth says is there to see.

    Each mark is paired with at most one structure and each structure with at most one mark, within
    `within_mm` on the skin and one pixel for rounding: as many pairs as possible, then those with
    the least error. A mark left over is a false alarm, unless it lies as near to a structure that
    is there but not visible, or for bifurcations to a crossing: such a mark counts neither way, as
    the picture does not decide it; a second mark on the same one is a false alarm. A vessel is hit
    anywhere along its visible part. With `within_frames`, marks on events are (column, row, frame)
    and must also lie that near to the frame of onset.
    """
    truth = read_truth(truth)
    view = view_of(truth)
    within = check("mark_distance_mm", within_mm)
    seen, unseen = structures(truth, what)
    length = 2
    if within_frames is not None:
        if what != "event":
            raise ValueError(f"a {what} has no frame of onset: leave within_frames out")
        check("frames_from_onset", within_frames)
        length = 3
    places = _checked_marks(marks, view, truth["frames"], length)
    x, y = to_skin(view, places[:, 0], places[:, 1])
    limit = within + SLACK_MM + ROUNDING_PX * mm_per_px_at(view, places[:, 0], places[:, 1])

    def costs(rows: list[_Structure], left: np.ndarray) -> np.ndarray:
        found = np.full((len(left), len(rows)), FAR)
        for at, row in enumerate(rows):
            away = _distances(x[left], y[left], row)
            near = away <= limit[left]
            if within_frames is not None:
                near &= np.abs(places[left, 2] - row.frame) <= within_frames
            found[near, at] = away[near]
        return found

    everything = np.arange(len(places))
    first = costs(seen, everything)
    hits = _assigned(first)
    used = {mark for mark, _ in hits}
    left = np.array([mark for mark in everything if mark not in used], int)
    aside = len(_assigned(costs(unseen, left)))
    pairs = (
        Pair(tuple(map(float, places[mark])), seen[at].key, float(first[mark, at]))
        for mark, at in hits
    )
    return Score(
        what=what,
        hits=len(hits),
        misses=len(seen) - len(hits),
        false_alarms=len(left) - aside,
        set_aside=aside,
        pairs=tuple(sorted(pairs, key=lambda pair: pair.structure)),
    )
