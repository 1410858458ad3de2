"""A picture in words: what an eye takes in, as numbers from which the answer is worked out.

A single picture is read along its rows: between which columns it is darker than the skin, and by
how much. A series is read at places on its bands, how dark each is and how far aside in every
second frame, and on squares of its skin. Nothing is named that somebody has to find: no fork, no
event, no beginning of one. Simulated, not clinically validated.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from scipy import ndimage

from cubital.scene.light.picture import skin_top
from cubital.scene.truth.bands import Band, bands
from cubital.scene.truth.record import read_truth

ROW_STEP_MM = 1.6  # between the rows that are read: less than the width of a band
FRAME_STEP = 2  # every second frame of a series is told
WIDTH_SHARE = 0.7  # of a band's width is told as dark: its core, so that two side by side are two
PLACE_STEP_MM = 10.0  # between the places on a band of a series
EDGE_MM = 4.0  # a place nearer to the picture's edge than this is not told
ALONG_MM, ACROSS_MM = 2.0, 5.0  # how far around a place a band is looked at, each way
STEP_MM = 0.2  # between the points looked at there
GRAIN_MM = 0.5  # grain is smoothed over this
LEAST_DARK = 0.025  # less dark than this a band has no place of its own
FULL_SCALE = 255  # of 8 bits
SQUARE_PX = 40  # side of a square of skin
LIT_SHARE = 0.4  # of the brightest skin: what is darker lies at the limb's edge or beyond it


@dataclass(frozen=True)
class Description:
    """A picture, or a series, in lines of words and numbers."""

    sentences: tuple[str, ...]
    notice: str

    @property
    def text(self) -> str:
        """All lines with the notice last."""
        return "\n".join((*self.sentences, f"The picture is {self.notice}."))


class _Capsules(NamedTuple):
    """The seen bands as short pieces with round ends [px], and how dark each is [-]."""

    column: np.ndarray  # of both ends: shape (2, pieces)
    row: np.ndarray
    radius: np.ndarray
    dark: np.ndarray


def describe(
    truth: Mapping[str, Any] | str,
    frames: np.ndarray | None = None,
    bare: np.ndarray | None = None,
) -> Description:
    """Return a picture or series in words: the same words for the same picture.

    Places are in pixels, as marks are. What is not visible is not mentioned. A single picture is
    told from the visible bands of its truth. For a series give its frames and how bright its skin
    is without vessels (`picture.background`): an eye, too, allows for the fall-off of the light.

    Raises
    ------
    ValueError
        The truth is of another version, or is that of a series without its frames.
    """
    truth = read_truth(truth)
    picture = truth["picture"]
    columns, rows, scale = (picture[name] for name in ("width_px", "height_px", "mm_per_px"))
    size = (
        f"The picture has columns 0 to {columns - 1} from left to right and rows 0 to {rows - 1} "
        f"from top to bottom; one pixel shows {scale:g} mm of skin."
    )
    if truth["frames"] == 1:
        told = _still(truth)
    elif frames is None or bare is None or len(frames) != truth["frames"]:
        raise ValueError(
            f"this is a series of {truth['frames']} frames: give them along, and its bare skin"
        )
    else:
        told = _series(truth, frames, bare)
    return Description((size, *told), truth["notice"])


# ------------------------------------------------------------------------------ a single picture


def _still(truth: Mapping[str, Any]) -> Iterator[str]:
    picture = truth["picture"]
    step = max(round(ROW_STEP_MM / picture["mm_per_px"]), 1)
    yield (
        f"It is read along every {step}th row from left to right: between which columns the row is "
        "darker than the skin, and by how much at the darkest of them. A dark band shows as a dark "
        "part in one row after another."
    )
    capsules = _capsules(truth)
    for row in range(step // 2, picture["height_px"], step):
        parts = [
            f"columns {left} to {right}, {dark} %"
            for left, right, dark in _dark_parts(capsules, row, picture["width_px"])
        ]
        yield f"Row {row}: {'; '.join(parts) or 'nothing darker'}."


def _capsules(truth: Mapping[str, Any]) -> _Capsules:
    pieces: list[np.ndarray] = []
    for segment in truth["segments"]:
        if not segment["visible"]:
            continue
        names = ("column", "row", "seen_width_mm", "seen_contrast")
        points = np.array([segment[name] for name in names], float)
        seen = np.array(segment["seen"], bool)
        both = seen[:-1] & seen[1:]
        pieces.append(np.stack([points[:, :-1][:, both], points[:, 1:][:, both]]))
    if not pieces:
        return _Capsules(*np.zeros((4, 2, 0)))
    ends = np.concatenate(pieces, axis=2)
    radius = WIDTH_SHARE * ends[:, 2] / 2 / truth["picture"]["mm_per_px"]
    return _Capsules(ends[:, 0], ends[:, 1], radius, ends[:, 3])


def _dark_parts(found: _Capsules, row: int, width_px: int) -> Iterator[tuple[int, int, int]]:
    """Yield the parts of a row that bands cover: first and last column, per cent darker."""
    near = np.abs(found.row - row).min(axis=0) <= found.radius.max(axis=0)
    near |= (found.row.min(axis=0) <= row) & (row <= found.row.max(axis=0))
    column, rows, radius, dark = (values[:, near] for values in found)
    at = np.arange(width_px)[:, None]
    dx, dy = column[1] - column[0], rows[1] - rows[0]
    long = np.maximum(dx**2 + dy**2, np.finfo(float).tiny)
    share = np.clip(((at - column[0]) * dx + (row - rows[0]) * dy) / long, 0, 1)
    away = np.hypot(at - column[0] - share * dx, row - rows[0] - share * dy)
    over = away <= radius[0] + share * (radius[1] - radius[0])
    taken = np.where(over, dark.max(axis=0, initial=0), 0).max(axis=1, initial=0)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], over.any(axis=1).astype(int), [0]])))
    for left, after in zip(edges[::2], edges[1::2], strict=True):
        yield int(left), int(after) - 1, round(100 * float(taken[left:after].max()))  # per cent


# ------------------------------------------------------------------------------------- a series


class _Place(NamedTuple):
    """A place on a band, and the direction along it: down the picture, or to the right [px]."""

    column: float
    row: float
    along: tuple[float, float]


def _series(truth: Mapping[str, Any], frames: np.ndarray, bare: np.ndarray) -> Iterator[str]:
    told = range(0, len(frames), FRAME_STEP)
    taken = _darkness(frames, bare, truth["picture"]["mm_per_px"])
    numbers = f"frames {', '.join(map(str, told[:3]))} and so on to {told[-1]}"
    yield (
        f"The series has {len(frames)} frames, numbered 0 to {len(frames) - 1}. Every line of "
        f"numbers has one for each of {numbers}, {len(told)} in all. Grain, hand and light make "
        "all numbers stir a little."
    )
    found = bands(truth)
    many = f"There are {len(found)} dark bands" if len(found) > 1 else "There is one dark band"
    yield (many if found else "There is no dark band") + " to be seen."
    yield (
        "Each band is read at places along it, downwards. “Darker” is how many per cent darker its "
        "darkest line is than the skin beside it. “Aside” is how many tenths of a millimetre that "
        "line lies beside the place named, to the right, or below where a band lies from side to "
        "side; with a minus to the left or above; a dash where the band is too faint to tell."
    )
    for number, band in enumerate(found, 1):
        for place in _places(truth["picture"], band):
            dark, aside = _followed(taken, place, truth["picture"]["mm_per_px"])
            name = f"Band {number} at column {round(place.column)}, row {round(place.row)}"
            yield f"{name}: darker {_listed(dark)}; aside {_listed(aside)}."
    yield (
        f"The brightness of squares of skin, {SQUARE_PX} pixels wide and high, in per cent of that "
        "in frame 0:"
    )
    yield from _squares(frames[::FRAME_STEP], bare)


def _listed(values: Sequence[int | None]) -> str:
    return ", ".join("-" if value is None else str(value) for value in values)


def _places(picture: Mapping[str, Any], band: Band) -> Iterator[_Place]:
    scale = picture["mm_per_px"]
    way = np.abs(band.along_mm - band.along_mm[0])
    count = max(int(way[-1] / PLACE_STEP_MM), 1)
    for at in (np.arange(count) + 0.5) * way[-1] / count:
        column, row = (float(np.interp(at, way, line)) for line in (band.column, band.row))
        ends = [max(at - ALONG_MM, 0), min(at + ALONG_MM, way[-1])]
        along = [float(np.diff(np.interp(ends, way, line))[0]) for line in (band.column, band.row)]
        size = max(float(np.hypot(*along)), np.finfo(float).tiny)
        inside = (
            EDGE_MM <= column * scale <= (picture["width_px"] - 1) * scale - EDGE_MM
            and EDGE_MM <= row * scale <= (picture["height_px"] - 1) * scale - EDGE_MM
        )
        if inside:
            yield _Place(column, row, (along[0] / size, along[1] / size))


def _darkness(frames: np.ndarray, bare: np.ndarray, scale: float) -> np.ndarray:
    """Return by how much each pixel is darker than its skin without vessels [-], by frame."""
    skin = np.maximum(FULL_SCALE * bare, 1.0)
    lit = bare >= LIT_SHARE * skin_top(bare)
    found, at_first = np.empty(frames.shape, np.float32), None
    for at, frame in enumerate(frames):
        smooth = ndimage.gaussian_filter(frame.astype(np.float32), GRAIN_MM / scale)
        at_first = smooth[lit] if at_first is None else at_first
        flicker = float(np.median(smooth[lit] / np.maximum(at_first, 1.0)))
        found[at] = 1 - smooth / (flicker * skin)
    return found


def _followed(taken: np.ndarray, place: _Place, scale: float) -> tuple[list[int], list[int | None]]:
    """Return how dark a band is at a place [%] and how far aside it lies [0.1 mm].

    It is followed from frame to frame to the darkest line near where it was, and told for those
    frames that are told.
    """
    along, across = (
        np.arange(-reach, reach + STEP_MM / 2, STEP_MM) for reach in (ALONG_MM, ACROSS_MM)
    )
    u, v = place.along
    aside = (abs(v), -u * np.sign(v or 1)) if abs(v) >= abs(u) else (-v * np.sign(u), abs(u))
    columns = place.column + (across[:, None] * aside[0] + along * u) / scale
    rows = place.row + (across[:, None] * aside[1] + along * v) / scale
    at = middle = len(across) // 2
    dark: list[int] = []
    beside: list[int | None] = []
    for number, frame in enumerate(taken):
        patch = ndimage.map_coordinates(frame, [rows, columns], order=1, mode="nearest")
        line = ndimage.gaussian_filter1d(patch.mean(axis=1), GRAIN_MM / STEP_MM)
        at = _uphill(line, at)
        lost = at in {0, len(line) - 1}  # only the side of another band: none of its own
        at = middle if lost else at
        share = float(line[at])
        if number % FRAME_STEP == 0:
            dark.append(max(round(100 * share), 0))  # per cent
            beside.append(
                round(10 * float(across[at])) if share >= LEAST_DARK and not lost else None
            )
        if share < LEAST_DARK:
            at = middle
    return dark, beside


def _uphill(line: np.ndarray, at: int) -> int:
    """Return where the nearest maximum lies."""
    while True:
        best = max((at - 1, at, at + 1), key=lambda n: line[n] if 0 <= n < len(line) else -1.0)
        if best == at or line[best] == line[at]:
            return at
        at = best


def _squares(frames: np.ndarray, bare: np.ndarray) -> Iterator[str]:
    _, height, width = frames.shape
    for top in range(0, height - SQUARE_PX + 1, SQUARE_PX):
        for left in range(0, width - SQUARE_PX + 1, SQUARE_PX):
            square = slice(top, top + SQUARE_PX), slice(left, left + SQUARE_PX)
            if bare[square].min() < LIT_SHARE * skin_top(bare):  # at the limb's edge, or beyond it
                continue
            means = frames[:, *square].mean(axis=(1, 2))
            values = np.round(100 * means / means[0]).astype(int)  # per cent
            place = f"Columns {left} to {left + SQUARE_PX - 1}, rows {top} to {top + SQUARE_PX - 1}"
            yield f"{place}: {_listed(values.tolist())}."
