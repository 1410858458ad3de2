# ruff: noqa: PLR0917 - compiled, by position
"""The compiled core of simulated pictures: nearest places on vessels, dark bands, blur, hair.

Loaded on use, for it needs numba. Arrays are rows by columns.
"""

import math

import numpy as np

from cubital.calc.shared.compiling import compiled

BLOCK = 4  # places a side for which vessels' pieces are chosen together, from those of 4 blocks
SHARPNESS = 4  # squarings: how nearly the darkest wins where vessels of a tree join
FULL_REACH = 0.5  # of a band's reach: from here on it is led smoothly to nothing


@compiled()
def _to_piece(x, y, piece):
    """Return how far along a straight piece the nearest place lies, and its squared distance.

    The piece has its start, its extent and 1 over its squared length; the share of it is unbounded,
    the distance that to the piece itself.

    Examples
    --------
    >>> _to_piece(3.0, 1.0, np.array([0.0, 0.0, 2.0, 0.0, 0.25]))
    (1.5, 2.0)
    """
    u, v = x - piece[0], y - piece[1]
    t = (u * piece[2] + v * piece[3]) * piece[4]  # 3, 4: last of the extent; over squared length
    inside = min(max(t, 0.0), 1.0)
    u -= inside * piece[2]
    v -= inside * piece[3]  # 3: see above
    return t, u * u + v * v


@compiled()
def _choose(xs, ys, box, pieces, known, n_known, chosen):
    """Choose the pieces that may be nearest to any place of a box; return how many, how far away.

    Examples
    --------
    >>> pieces = np.array([[0.0, 0.0, 1.0, 0.0, 1.0], [9.0, 0.0, 1.0, 0.0, 1.0]])
    >>> places = np.zeros((2, 2))
    >>> n, far = _choose(places, places, (0, 1, 0, 1), pieces, np.arange(2), 2, np.arange(2))
    >>> int(n), float(far)
    (1, 0.0)
    """
    top, bottom, left, right = box
    x = xs[(top + bottom) // 2, (left + right) // 2]
    y = ys[(top + bottom) // 2, (left + right) // 2]
    wide = 0.0
    for i in (top, bottom):
        for j in (left, right):
            wide = max(wide, math.hypot(xs[i, j] - x, ys[i, j] - y))
    wide *= 1.05  # a box seen aslant has no straight sides
    least = math.inf
    for m in range(n_known):
        _, squared = _to_piece(x, y, pieces[known[m]])
        least = min(least, squared)
    most = (math.sqrt(least) + 2 * wide) ** 2
    n = 0
    for m in range(n_known):
        _, squared = _to_piece(x, y, pieces[known[m]])
        if squared <= most:
            chosen[n] = known[m]
            n += 1
    return n, math.sqrt(least) - wide


@compiled()
def _nearest_piece(x, y, pieces, chosen, n):
    """Return the nearest of the chosen pieces, its squared distance and the share along it.

    Examples
    --------
    >>> pieces = np.array([[0.0, 0.0, 1.0, 0.0, 1.0], [9.0, 0.0, 1.0, 0.0, 1.0]])
    >>> tuple(map(float, _nearest_piece(8.0, 0.0, pieces, np.arange(2), 2)))
    (1.0, 1.0, -1.0)
    """
    best, at, place = math.inf, 0, 0.0
    for m in range(n):
        t, squared = _to_piece(x, y, pieces[chosen[m]])
        if squared < best:
            best, at, place = squared, chosen[m], t
    return at, best, place


@compiled()
def _pieces(points_x, points_y):
    """Return straight pieces between points: start, extent, 1 over squared length.

    Examples
    --------
    >>> _pieces(np.array([0.0, 2.0]), np.zeros(2)).tolist()
    [[0.0, 0.0, 2.0, 0.0, 0.25]]
    """
    pieces = np.zeros((len(points_x) - 1, 5))  # 5: see above
    for k in range(len(pieces)):
        dx, dy = points_x[k + 1] - points_x[k], points_y[k + 1] - points_y[k]
        flat = dx * dx + dy * dy
        pieces[k, 0], pieces[k, 1], pieces[k, 2] = points_x[k], points_y[k], dx
        pieces[k, 3], pieces[k, 4] = dy, 1 / flat if flat > 0 else 0.0  # 3, 4: the last two
    return pieces


@compiled()
def nearest(xs, ys, points_x, points_y, along, open_start, open_end, reach):
    """Return for each place the nearest way along a vessel, and how far beside it lies [mm].

    Beyond an open end the way goes on along the last piece, below 0 or above the length. Farther
    than the reach the way is not a number.

    Examples
    --------
    >>> line = np.array([0.0, 10.0])
    >>> way, beside = nearest(np.full((1, 1), 4.0), np.full((1, 1), 3.0), line, line * 0, line,
    ...                       True, True, 20.0)
    >>> float(way[0, 0]), float(beside[0, 0])
    (4.0, 3.0)
    """
    rows, columns = xs.shape
    pieces = _pieces(points_x, points_y)
    last = len(pieces) - 1
    way = np.full((rows, columns), np.nan, np.float32)
    beside = np.zeros((rows, columns), np.float32)
    everything = np.arange(len(pieces))
    near, chosen = everything.copy(), everything.copy()
    size = BLOCK * BLOCK
    for block in range(((rows - 1) // size + 1) * ((columns - 1) // size + 1)):
        across = (columns - 1) // size + 1
        up, first = block // across * size, block % across * size
        down, end = min(up + size, rows) - 1, min(first + size, columns) - 1
        n_near, away = _choose(
            xs, ys, (up, down, first, end), pieces, everything, len(pieces), near
        )
        if away > reach:
            continue
        for top in range(up, down + 1, BLOCK):
            bottom = min(top + BLOCK, down + 1) - 1
            for left in range(first, end + 1, BLOCK):
                right = min(left + BLOCK, end + 1) - 1
                n, away = _choose(xs, ys, (top, bottom, left, right), pieces, near, n_near, chosen)
                if away > reach:
                    continue
                for i in range(top, bottom + 1):
                    for j in range(left, right + 1):
                        x, y = xs[i, j], ys[i, j]
                        at, squared, place = _nearest_piece(x, y, pieces, chosen, n)
                        if squared > reach * reach:
                            continue
                        free = (place < 0 and at == 0 and open_start) or (
                            place > 1 and at == last and open_end
                        )
                        if not free:
                            place = min(max(place, 0.0), 1.0)
                        piece = pieces[at]
                        way[i, j] = along[at] + place * (along[at + 1] - along[at])
                        beside[i, j] = math.hypot(
                            x - piece[0] - place * piece[2],
                            y - piece[1] - place * piece[3],  # 3: see _pieces
                        )
    return way, beside


@compiled()
def lay(way, beside, step, contrast, width, tail, open_start, open_end, reach, over, under):
    """Add a vessel's dark band to the sums of its tree, from values at even steps along it.

    The profile is `c (1 + k x^2)^-m` with half of c at half of the width. At an open end it fades
    as the light of half a line does.

    Examples
    --------
    >>> over, under = np.zeros((2, 1, 1))
    >>> lay(np.full((1, 1), 5.0, np.float32), np.full((1, 1), 2.0, np.float32), 5.0,
    ...     np.full(3, 0.2), np.full(3, 4.0), np.ones(3), False, False, 99.0, over, under)
    >>> round(float(over[0, 0] / under[0, 0]), 6)
    0.1
    """
    rows, columns = way.shape
    last = len(contrast) - 1
    length = last * step
    for i in range(rows):
        for j in range(columns):
            s = way[i, j]
            if math.isnan(s):
                continue
            place = min(max(s / step, 0.0), float(last))
            k = min(int(place), last - 1)
            t = place - k
            c = contrast[k] + t * (contrast[k + 1] - contrast[k])
            if c <= 0:
                continue
            w = width[k] + t * (width[k + 1] - width[k])
            m = tail[k] + t * (tail[k + 1] - tail[k])
            half = w / 2
            x = beside[i, j] / half
            value = c * math.exp(-m * math.log1p((2 ** (1 / m) - 1) * x * x))
            if open_start:
                value *= 0.5 * (1 + s / math.hypot(s, half))
            if open_end:
                value *= 0.5 * (1 + (length - s) / math.hypot(length - s, half))
            edge = (beside[i, j] / reach - FULL_REACH) / (1 - FULL_REACH)
            if edge >= 1:
                continue
            if edge > 0:
                value *= (1 - edge * edge) ** 2
            power = value
            for _ in range(SHARPNESS):
                power *= power
            under[i, j] += power
            over[i, j] += power * value


@compiled()
def together(over, under, taken):
    """Combine a tree with those already laid, as lights that pass one after the other.

    Examples
    --------
    >>> taken = np.full((1, 1), 0.5)
    >>> together(np.full((1, 1), 0.1), np.full((1, 1), 0.2), taken)
    >>> float(taken[0, 0])
    0.75
    """
    rows, columns = taken.shape
    for i in range(rows):
        for j in range(columns):
            if under[i, j] > 0:
                taken[i, j] = 1 - (1 - taken[i, j]) * (1 - over[i, j] / under[i, j])


@compiled()
def enlarged(coarse, first_row, row_weights, first_column, column_weights):
    """Return a picture between the places of a coarse one, by four weights along each side.

    Examples
    --------
    >>> flat = np.ones((4, 4), np.float32)
    >>> weights = np.full((3, 4), 0.25, np.float32)
    >>> zero = np.zeros(3, np.int64)
    >>> bool((enlarged(flat, zero, weights, zero, weights) == 1).all())
    True
    """
    rows, columns = len(first_row), len(first_column)
    wide = coarse.shape[1]
    line = np.empty(wide, np.float32)
    out = np.empty((rows, columns), np.float32)
    for i in range(rows):
        a, w = first_row[i], row_weights[i]
        for j in range(wide):
            line[j] = (
                w[0] * coarse[a, j]
                + w[1] * coarse[a + 1, j]
                + w[2] * coarse[a + 2, j]
                + w[3] * coarse[a + 3, j]  # 3: the last of four
            )
        for j in range(columns):
            b = first_column[j]
            out[i, j] = (
                column_weights[j, 0] * line[b]
                + column_weights[j, 1] * line[b + 1]
                + column_weights[j, 2] * line[b + 2]
                + column_weights[j, 3] * line[b + 3]
            )
    return out


@compiled()
def blurred(picture, kernel):
    """Return a picture blurred along rows and columns by an odd kernel; edges are carried on.

    Examples
    --------
    >>> thirds = np.full(3, 1 / 3, np.float32)
    >>> float(blurred(np.full((5, 6), 2.0, np.float32), thirds).round(5).max())
    2.0
    """
    rows, columns = picture.shape
    reach = len(kernel) // 2
    across = np.zeros((rows, columns), np.float32)
    line = np.empty(columns + 2 * reach, np.float32)
    for i in range(rows):
        line[:reach] = picture[i, 0]
        line[reach : reach + columns] = picture[i]
        line[reach + columns :] = picture[i, columns - 1]
        for k in range(len(kernel)):
            weight = kernel[k]
            for j in range(columns):
                across[i, j] += weight * line[j + k]
    out = np.zeros((rows, columns), np.float32)
    for i in range(rows):
        for k in range(len(kernel)):
            weight = kernel[k]
            source = min(max(i + k - reach, 0), rows - 1)
            for j in range(columns):
                out[i, j] += weight * across[source, j]
    return out


@compiled()
def sampled(tile, rows, columns):
    """Return values between the elements of a tile that repeats without end.

    Examples
    --------
    >>> tile = np.array([[0.0, 1.0], [0.0, 1.0]], np.float32)
    >>> float(sampled(tile, np.zeros((1, 1)), np.full((1, 1), 0.25))[0, 0])
    0.25
    """
    height, width = tile.shape
    out = np.empty(rows.shape, np.float32)
    for i in range(rows.shape[0]):
        for j in range(rows.shape[1]):
            y, x = math.floor(rows[i, j]), math.floor(columns[i, j])
            v, u = rows[i, j] - y, columns[i, j] - x
            a, b = int(y) % height, int(x) % width
            c, d = (a + 1) % height, (b + 1) % width
            top = tile[a, b] + u * (tile[a, d] - tile[a, b])
            low = tile[c, b] + u * (tile[c, d] - tile[c, b])
            out[i, j] = top + v * (low - top)
    return out


@compiled()
def _cover(covered, x, y, area):
    """Share what covers a place among the four elements around.

    Examples
    --------
    >>> covered = np.zeros((2, 2), np.float32)
    >>> _cover(covered, 0.25, 0.0, 1.0)
    >>> covered[0].tolist()
    [0.75, 0.25]
    """
    height, width = covered.shape
    j, i = math.floor(x), math.floor(y)
    u, v = x - j, y - i
    for di in range(2):
        for dj in range(2):
            if 0 <= i + di < height and 0 <= j + dj < width:
                share = (v if di else 1 - v) * (u if dj else 1 - u)
                covered[i + di, j + dj] += area * share


@compiled()
def strewn(columns, rows, widths, covered):
    """Add to a picture what thin lines cover, given by points along each of them [px].

    Each step of a line covers its length times its width, shared among the four elements around;
    from its middle on a line grows thinner to a tip.

    Examples
    --------
    >>> covered = np.zeros((3, 9), np.float32)
    >>> line = np.linspace(1, 7, 25)[None]
    >>> strewn(line, np.ones((1, 25)), np.array([0.5]), covered)
    >>> 2.2 < float(covered.sum()) < 2.4
    True
    """
    height, width = covered.shape
    for n in range(len(columns)):
        for k in range(columns.shape[1] - 1):
            ax, ay, bx, by = columns[n, k], rows[n, k], columns[n, k + 1], rows[n, k + 1]
            if not (max(ax, bx) > -1 and min(ax, bx) < width):
                continue
            if not (max(ay, by) > -1 and min(ay, by) < height):
                continue
            parts = int(2 * math.hypot(bx - ax, by - ay)) + 1  # each half an element or less
            area = math.hypot(bx - ax, by - ay) / parts * widths[n]
            for part in range(parts):
                share = (part + 0.5) / parts
                left = 1 - (k + share) / (columns.shape[1] - 1)  # of the way to the tip
                _cover(
                    covered, ax + share * (bx - ax), ay + share * (by - ay), area * min(1, 2 * left)
                )


@compiled()
def recorded(light, noise, share):
    """Return grey levels of light with noise that grows as its square root.

    Examples
    --------
    >>> light = np.full((1, 1), 0.25, np.float32)
    >>> int(recorded(light, np.ones((1, 1), np.float32), 0.1)[0, 0])
    77
    """
    out = np.empty(light.shape, np.uint8)
    for i in range(light.shape[0]):
        for j in range(light.shape[1]):
            level = light[i, j] + share * math.sqrt(max(light[i, j], 0.0)) * noise[i, j]
            out[i, j] = int(min(max(255 * level, 0.0), 255.0) + 0.5)  # 255: the largest level
    return out
