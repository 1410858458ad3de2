"""Where one vessel passes over another without joining it: in the picture, four arms."""

import itertools

import numpy as np

from cubital.scene.truth.segments import Stretch

NEAR_JOIN_MM = 2.0  # lines that meet here meet in a confluence
LEAST_SINE = 1e-9  # lines closer to parallel than this do not cross


def _meetings(one: Stretch, other: Stretch) -> list[tuple[int, int, float, float]]:
    """Return where two lines of points cut: number of the piece of either, and the place."""
    ax, ay, bx, by = one.x_mm, one.y_mm, other.x_mm, other.y_mm
    dax, day = np.diff(ax)[:, None], np.diff(ay)[:, None]
    dbx, dby = np.diff(bx)[None, :], np.diff(by)[None, :]
    gap_x, gap_y = bx[None, :-1] - ax[:-1, None], by[None, :-1] - ay[:-1, None]
    turn = dax * dby - day * dbx
    turn = np.where(np.abs(turn) > LEAST_SINE, turn, np.nan)
    share_a, share_b = (gap_x * dby - gap_y * dbx) / turn, (gap_x * day - gap_y * dax) / turn
    cut = (share_a >= 0) & (share_a < 1) & (share_b >= 0) & (share_b < 1)
    found = []
    for a, b in zip(*np.nonzero(cut), strict=True):
        share = share_a[a, b]
        found.append((int(a), int(b), ax[a] + share * dax[a, 0], ay[a] + share * day[a, 0]))
    return found


def crossings(stretches: tuple[Stretch, ...]) -> list[tuple[int, int, int, int, float, float]]:
    """Return each crossing of two stretches: their numbers, the points before it, and the place.

    Examples
    --------
    >>> import numpy as np
    >>> level = Stretch("a", "vein", *np.array([[0, 9], [0, 9], [4, 4]] + [[1, 1]] * 4, float),
    ...     "end", "end")
    >>> upright = Stretch("b", "vein", *np.array([[0, 9], [5, 5], [0, 9]] + [[1, 1]] * 4, float),
    ...     "end", "end")
    >>> crossings((level, upright))
    [(0, 1, 0, 0, 5.0, 4.0)]
    """
    found = []
    for (i, one), (j, other) in itertools.combinations(enumerate(stretches), 2):
        if one.vessel == other.vessel:
            continue
        joins = [
            (line.x_mm[at], line.y_mm[at])
            for line in (one, other)
            for at, end in ((0, line.starts), (-1, line.stops))
            if end.startswith("bifurcation")
        ]
        for a, b, x, y in _meetings(one, other):
            if all(np.hypot(x - px, y - py) > NEAR_JOIN_MM for px, py in joins):
                found.append((i, j, a, b, float(x), float(y)))
    return found
