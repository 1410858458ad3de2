"""A measurement of vessels in a picture that knows nothing of how pictures are drawn.

Crests of dark ridges by the Hessian, thinned to lines, loose ends joined to what lies just ahead,
short spurs cut off; forks are where three lines meet. It is given brightness and scale only.
"""

import numpy as np
from scipy import ndimage
from skimage.draw import line
from skimage.feature import hessian_matrix
from skimage.filters import apply_hysteresis_threshold
from skimage.morphology import skeletonize

EIGHT = np.ones((3, 3))
SCALES_MM = (1.2, 2.0)  # standard deviations: bands are 3 to 10 mm wide
LOW, HIGH = 0.006, 0.012  # of the second derivative of log brightness, per squared scale
INSIDE_MM, BORDER_MM = 5.0, 4.0  # nearer to limb's and picture's edge nothing is measured
SPUR_MM, PIECE_MM, REACH_MM = 6.0, 5.0, 6.0


def limb(image):
    """Return which pixels show skin, by brightness."""
    return ndimage.binary_opening(image > 0.35 * np.percentile(image, 90), iterations=3)


def measured_area(image, mm):
    """Return where ridges are looked for: within the limb and the picture."""
    inside = ndimage.binary_erosion(limb(image), iterations=int(INSIDE_MM / mm), border_value=1)
    border = int(BORDER_MM / mm)
    inside[:border] = inside[-border:] = inside[:, :border] = inside[:, -border:] = False
    return inside


def ridges(image, mm):
    """Return how much of a dark ridge each pixel is, and the direction across it."""
    inner = ndimage.binary_erosion(limb(image), iterations=int(3 / mm), border_value=1)
    nearest = ndimage.distance_transform_edt(~inner, return_distances=False, return_indices=True)
    bright = np.log(np.maximum(image, 1e-4))[tuple(nearest)]  # beyond the limb as at its edge
    best, across = np.zeros((2, *image.shape))
    for scale in SCALES_MM:
        sigma = scale / mm
        rr, rc, cc = hessian_matrix(
            bright, sigma=sigma, order="rc", mode="nearest", use_gaussian_derivatives=True
        )
        bend = sigma**2 * np.maximum((rr + cc) / 2 + np.hypot((rr - cc) / 2, rc), 0)
        angle = np.arctan2(2 * rc, rr - cc) / 2
        across = np.where(bend > best, angle, across)
        best = np.maximum(best, bend)
    return best, across


def crests(best, across):
    """Return the pixels at which a ridge is highest across its direction."""
    rows, columns = np.indices(best.shape)
    down, right = np.cos(across), np.sin(across)
    beside = [
        ndimage.map_coordinates(best, [rows + way * down, columns + way * right], order=1)
        for way in (1, -1)
    ]
    return (best >= beside[0]) & (best >= beside[1]) & (best > 0)


def neighbours(lines):
    """Return how many neighbours each pixel of the lines has."""
    return (ndimage.convolve(lines.astype(int), EIGHT.astype(int), mode="constant") - 1) * lines


def without_pieces(lines, pixels):
    """Return the lines without those that hang together over fewer pixels."""
    labels, count = ndimage.label(lines, EIGHT)
    sizes = ndimage.sum(lines, labels, np.arange(count + 1))
    return lines & (sizes[labels] >= pixels)


def without_spurs(lines, pixels):
    """Return the lines without side arms that end after fewer pixels, the shortest first."""
    while True:
        count = neighbours(lines)
        nodes = ndimage.binary_dilation(lines & (count >= 3), EIGHT) & lines
        arms = lines & ~nodes
        labels, number = ndimage.label(arms, EIGHT)
        sizes = ndimage.sum(arms, labels, np.arange(number + 1))
        loose = set(labels[arms & (count <= 1)])
        rooted = set(labels[ndimage.binary_dilation(nodes, EIGHT) & arms])
        spurs = [at for at in loose & rooted if sizes[at] < pixels]
        if not spurs:
            return lines
        lines = skeletonize(lines & (labels != min(spurs, key=lambda at: (sizes[at], at))))


def _traced(lines, start, steps):
    """Return the way along a line from its loose end."""
    way, been = [start], {start}
    around = [(a, b) for a in (-1, 0, 1) for b in (-1, 0, 1) if a or b]
    while len(way) < steps:
        row, column = way[-1]
        following = [
            place
            for a, b in around
            if (place := (row + a, column + b)) not in been
            and 0 <= place[0] < lines.shape[0]
            and 0 <= place[1] < lines.shape[1]
            and lines[place]
        ]
        if not following:
            break
        been.update(following)
        way.append(following[0])
    return way, been


def joined(lines, pixels):
    """Return the lines with each loose end led on to the line that lies ahead of it."""
    found = lines.copy()
    places = np.argwhere(lines)
    for end in map(tuple, np.argwhere(lines & (neighbours(lines) == 1))):
        way, been = _traced(lines, end, 10)
        if len(way) < 4:
            continue
        ahead = np.subtract(way[0], way[-1])
        ahead = ahead / np.hypot(*ahead)
        step = places - end
        away = np.hypot(*step.T)
        straight = step @ ahead / np.maximum(away, 1)
        fit = (away > 2) & (away <= pixels) & (straight > 0.7)
        fit &= np.array([tuple(place) not in been for place in places])
        if fit.any():
            at = places[np.argmin(np.where(fit, away * (1.5 - straight / 2), np.inf))]
            found[line(*end, *at)] = True
    return skeletonize(found)


def forks(lines, pixels):
    """Return where three lines meet, as columns and rows; those within some pixels as one."""
    nodes = lines & (neighbours(lines) >= 3)
    labels, count = ndimage.label(ndimage.binary_dilation(nodes, iterations=pixels // 2), EIGHT)
    places = ndimage.center_of_mass(nodes, labels, range(1, count + 1))
    return np.array([place[::-1] for place in places]).reshape(-1, 2)


def measure(image, mm):
    """Return the lines of dark bands, the forks (column, row), and the area looked at."""
    area = measured_area(image, mm)
    best, across = ridges(image, mm)
    lines = crests(best, across) & area & apply_hysteresis_threshold(best, LOW, HIGH)
    lines = skeletonize(ndimage.binary_closing(lines, EIGHT))
    lines = without_pieces(lines, int(PIECE_MM / mm))
    lines = without_spurs(joined(lines, int(REACH_MM / mm)), int(SPUR_MM / mm))
    return lines, forks(lines, 8), area
