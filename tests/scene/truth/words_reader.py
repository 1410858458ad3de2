"""A reader that has nothing but the words of a picture: where bands fork, what happens in a series.

It knows what the course teaches of how forks and events look, and no number of the scenes.
"""

import re
from typing import Any, NamedTuple

import numpy as np
from scipy import ndimage
from skimage.morphology import skeletonize

SIZE = re.compile(r"columns 0 to (\d+) .* rows 0 to (\d+) .* shows ([\d.]+) mm")
ROW = re.compile(r"Row (\d+): (.*)\.")
PART = re.compile(r"columns (\d+) to (\d+), (\d+) %")
PLACE = re.compile(r"Band (\d+) at column (\d+), row (\d+): darker (.*); aside (.*)\.")
SQUARE = re.compile(r"Columns (\d+) to (\d+), rows (\d+) to (\d+): (.*)\.")
EVERY = re.compile(r"frames 0, (\d+),")
ARM_MM = 4.0  # a shorter side arm of a band's middle line is none


class Place(NamedTuple):
    band: int
    column: int
    row: int
    dark: np.ndarray
    aside: np.ndarray  # tenths of a millimetre, NaN where it was too faint


def size_of(words: str) -> tuple[int, int, float]:
    columns, rows, scale = SIZE.search(words).groups()
    return int(columns) + 1, int(rows) + 1, float(scale)


def numbers(listed: str) -> np.ndarray:
    return np.array([np.nan if one == "-" else float(one) for one in listed.split(", ")])


# ----------------------------------------------------------------------------------------- forks


def painted(words: str) -> np.ndarray:
    """Paint the dark parts of the rows again, each as high as rows lie apart."""
    width, height, _ = size_of(words)
    rows = [(int(row), parts) for row, parts in ROW.findall(words)]
    step = rows[1][0] - rows[0][0]
    found = np.zeros((height, width), bool)
    for row, parts in rows:
        for left, right, _ in PART.findall(parts):
            top = max(row - step // 2, 0)
            found[top : row + step // 2 + 1, int(left) : int(right) + 1] = True
    return ndimage.binary_opening(ndimage.gaussian_filter(found.astype(float), step / 3) > 0.5)


def forks(words: str) -> list[list[int]]:
    """Return the places where three arms of the bands' middle lines meet."""
    dark = painted(words)
    _, _, scale = size_of(words)
    line = skeletonize(dark)
    around = ndimage.convolve(line.astype(int), np.ones((3, 3), int), mode="constant") - 1
    meets = ndimage.binary_dilation(line & (around > 2), iterations=2)
    arms, count = ndimage.label(line & ~meets, np.ones((3, 3)))
    touching = ndimage.binary_dilation(meets, iterations=2, structure=np.ones((3, 3)))
    nodes, many = ndimage.label(touching, np.ones((3, 3)))
    depth = ndimage.distance_transform_edt(dark)
    sizes = ndimage.sum(line, arms, range(1, count + 1)) if count else []
    reaches = {n: set(np.unique(nodes[arms == n])) - {0} for n in range(1, count + 1)}
    found = []
    for node in range(1, many + 1):
        place = nodes == node
        wide = depth[place].max()
        own = {
            n
            for n, ends in reaches.items()
            if node in ends and (len(ends) > 1 or sizes[n - 1] * scale >= max(ARM_MM, wide * scale))
        }
        if len(own) == 3:
            rows, columns = np.nonzero(place & line)
            found.append([round(float(columns.mean())), round(float(rows.mean()))])
    return found


# ---------------------------------------------------------------------------------------- series


def places(words: str) -> list[Place]:
    return [
        Place(int(band), int(column), int(row), numbers(dark), numbers(aside))
        for band, column, row, dark, aside in PLACE.findall(words)
    ]


def squares(words: str) -> tuple[np.ndarray, np.ndarray]:
    """Return the middles of the squares of skin, and their brightness without common flicker."""
    rows = SQUARE.findall(words)
    middles = [[(int(a) + int(b)) / 2, (int(c) + int(d)) / 2] for a, b, c, d, _ in rows]
    light = np.array([numbers(row[-1]) for row in rows])
    return np.array(middles), light / np.median(light, axis=0)


def first(signal: np.ndarray, least: float) -> int:
    """Return the first of two numbers in a row that reach so much, or the count of all."""
    over = signal >= least
    runs = np.flatnonzero(over[:-1] & over[1:])
    return int(runs[0]) if len(runs) else len(signal)


def lost(place: Place) -> np.ndarray:
    """Return which share of its darkness at rest a band has lost at a place; 0 within the noise."""
    rest, noise = np.median(place.dark[:3]), max(np.std(np.diff(place.dark)[:4]), 0.4)
    fallen = rest - place.dark
    return np.where(fallen >= max(3 * noise, 0.12 * rest), fallen / max(rest, 1), 0)


def moved(found: list[Place]) -> np.ndarray:
    """Return how far each place moved aside beyond what all do together [0.1 mm]."""
    aside = np.array([row.aside for row in found])
    told = np.isfinite(aside)
    aside[told.sum(axis=1) < aside.shape[1] / 2] = 0
    aside = np.where(np.isfinite(aside), aside, 0)
    aside -= np.median(aside[:, :4], axis=1, keepdims=True)
    aside -= np.median(aside, axis=0)
    back = np.abs(aside[:, -3:]).max(axis=1, keepdims=True) < 8
    return np.abs(aside) * told * back


def movement(words: str) -> dict[str, Any]:
    """Say which of refill, flush, roll or nothing a series shows, when and where."""
    found, step = places(words), int(EVERY.search(words).group(1))
    if not found:
        return {"what": "no-change"}
    pale, aside = np.array([lost(row) for row in found]), moved(found)
    least = max(0.1, pale.max() / 3)  # what fades much less than the rest stirs only
    paling = [n for n, row in enumerate(pale) if first(row, 0.1) < len(row) and row.max() > least]
    moving = [n for n, row in enumerate(aside) if first(row, 12) < len(row)]
    if moving and aside.max() > 18 and len(paling) <= len(moving) + 1:
        at = max(moving, key=lambda n: np.sort(aside[n])[-3:].mean())
        mark = [found[at].column, found[at].row]
        return {"what": "roll", "frame": step * first(aside[at], 5), "mark": mark}
    if not paling:
        return {"what": "no-change"}
    when = min(first(pale[n], 0.1) for n in paling)
    lowest = max(paling, key=lambda n: found[n].row)
    top = min(paling, key=lambda n: found[n].row)
    own = [n for n, row in enumerate(found) if row.band == found[top].band]
    to_the_end = found[top].row == min(found[n].row for n in own)
    emptied = min(pale[n].max() for n in paling) >= 0.6
    one = len({found[n].band for n in paling}) == 1
    what = "refill" if one and (emptied or not to_the_end) else "flush"
    return {"what": what, "frame": step * when, "mark": _lower_end(found, lowest)}


def _lower_end(found: list[Place], at: int) -> list[int]:
    """Return the place half-way from a place to the next one of its band below, if there is one."""
    below = at + 1 < len(found) and found[at + 1].band == found[at].band
    other = found[at + 1] if below else found[at]
    return [
        (found[at].column + other.column) // 2,
        (found[at].row + other.row) // 2,
    ]


def leaking(words: str) -> dict[str, Any]:
    """Say whether clear fluid or blood leaks in a series, or nothing is seen, when and where."""
    step = int(EVERY.search(words).group(1))
    middles, light = squares(words)
    # what stays: three in a row
    darker = ndimage.minimum_filter1d(np.clip(1 - light, 0, None), 3, axis=1)
    if (darker[:, -2] >= 0.05).any():
        when = max(first(darker.max(axis=0), 0.025) - 1, 0)
        weight = darker[:, min(when + 4, darker.shape[1] - 1)] ** 2
        return {"what": "bruise", "frame": step * when, "mark": _middle(middles, weight)}
    found = places(words)
    pale = np.array([lost(row) for row in found])
    fading = [n for n, row in enumerate(pale) if row[-4:].min() >= 0.2]
    if not fading:
        return {"what": "no-change"}
    weight = pale[fading, -4:].mean(axis=1) ** 2
    spots = np.array([[found[n].column, found[n].row] for n in fading], float)
    when = min(first(pale[n], 0.1) for n in fading)
    return {"what": "leak", "frame": step * when, "mark": _middle(spots, weight)}


def _middle(places_: np.ndarray, weight: np.ndarray) -> list[int]:
    return [round(float(value)) for value in weight @ places_ / weight.sum()]
