# ruff: noqa: PLR0912, PLR0915, PLR0917 - compiled as one piece, by position
"""The compiled core of photon transport: one photon after another through layers and veins.

Loaded on use by `transport`, for it needs numba. Against the standard multi-layer algorithm
(Wang, Jacques and Zheng 1995) absorption is continuous along the path and settled only when a
photon changes its medium, and photons are rouletted and split by weight and depth, so that time
goes to those that can still reach the surface. Both leave every expected value as it is.
"""

import math

import numpy as np

from cubital.calc.shared.compiling import compiled

inline = compiled(forceinline=True)

FAR_MM = 1e30  # mm: stands for an infinite thickness, and keeps arithmetic finite
ULP = 2.0**-53  # 2^-53: from the upper 53 bits of a random integer to the unit interval
SLOTS = 256  # steps of the exponential's staircase: one byte of the random integer
ASIDE_MM = 1e4  # mm: ten metres to the side, as in a clear sheet, a photon is given up
GRAZING = 1e-9  # least cosine to a wall: at zero a photon that is turned back stays on the wall
STACK = 48  # split photons that wait; when full, splitting pauses

# The columns of the arrays
# a batch's tally; the media, rings and strips follow from ABSORBED on
DIFFUSE, DETECTED, TRANSMITTED, BALANCE, ABSORBED = range(5)
# a photon that waits; its path in each medium follows from PATHS on
X, Y, Z, UX, UY, UZ, WEIGHT, STRENGTH, CHANCE, MEDIUM, LAYER, PATHS = range(12)
# an exit; its path in each medium follows from EXIT_PATHS on
EXIT_WEIGHT, EXIT_X, EXIT_Y, EXIT_COSINE, EXIT_PATHS = range(5)
# a medium
ABSORPTION, FREE_PATH, ANISOTROPY, INDEX = range(4)
# a layer
TOP, BOTTOM, PULL = range(3)
# a vein
AXIS_X, AXIS_Z, RADIUS = range(3)
# what counts as detected, and where
LEAST_COSINE, RING_MM, RINGS, STRIP_MM, STRIPS, BEAM_MM = range(6)

# What ends a path within one medium: one of seven
SCATTERED, UPPER_FACE, LOWER_FACE, INTO_VEIN, OUT_OF_VEIN, TOO_FAINT, TOO_STRONG = range(7)

# The weight window: how far a photon's weight times the chance of its depth may fall (as a
# logarithm) before roulette, and rise before it is split
ROULETTE_BELOW, SPLIT_ABOVE = -1.25, 0.5  # -1.25: found by trial, the best of -1 to -3
HALVING = math.log(2)
# Of a photon's first strength: below, it is rouletted and not split, whatever its chance. Within
# one medium the window keeps strength above; a vein through layers that differ leads it astray
FAINTEST = 1e-4


def _staircase() -> tuple[np.ndarray, np.ndarray]:
    """Return the steps under exp(-x) of equal area: right ends and heights (Marsaglia, Tsang)."""
    start = 7.69711747013104972  # where the tail begins, for 256 steps of equal area
    ends = np.empty(SLOTS + 1)
    area = math.exp(-start) * (start + 1)
    ends[0], ends[1] = area / math.exp(-start), start
    for step in range(1, SLOTS - 1):
        ends[step + 1] = -math.log(math.exp(-ends[step]) + area / ends[step])
    ends[SLOTS] = 0.0
    return ends, np.exp(-ends)


ENDS, HEIGHTS = _staircase()


@inline
def _next(s):
    """Return a random integer of 64 bits and the next state (xoshiro256+)."""
    a, b, c, d = s
    drawn = a + d
    t = b << np.uint64(17)  # 17: shift of the generator
    c ^= a
    d ^= b
    b ^= c
    a ^= d
    c ^= t
    d = (d << np.uint64(45)) | (d >> np.uint64(19))  # 45: turn of the generator; 19 = 64 - 45
    return drawn, (a, b, c, d)


@inline
def _unit(drawn):
    """Return a number in [0, 1) from the upper bits of a random integer."""
    return np.int64(drawn >> np.uint64(11)) * ULP  # 11 = 64 - 53


@inline
def _free_path(s):
    """Return a free path in mean free paths (exponential, by the ziggurat) and the state."""
    while True:
        drawn, s = _next(s)
        slot = np.int64((drawn >> np.uint64(3)) & np.uint64(255))  # 3, 255: a byte of good bits
        path = _unit(drawn) * ENDS[slot]
        if path < ENDS[slot + 1]:
            return path, s
        drawn, s = _next(s)
        if slot == 0:
            return ENDS[1] - math.log(1 - _unit(drawn)), s
        low = HEIGHTS[slot]
        if low + _unit(drawn) * (HEIGHTS[slot + 1] - low) < math.exp(-path):
            return path, s


@inline
def _turn(ux, uy, uz, g, s):
    """Return a direction after a Henyey-Greenstein scattering, and the state.

    A random point in the unit disc gives both the azimuth, by its place, and the polar angle, by
    the square of its radius, which is uniform.
    """
    while True:
        drawn, s = _next(s)
        # 31, 32, 33: the upper bits as two signed numbers from -1 to 1
        p = np.int64(drawn >> np.uint64(32)) * 2.0**-31 - 1
        q = np.int64(drawn & np.uint64(0xFFFFFFFF)) * 2.0**-31 - 1  # the lower 32 bits
        square = p * p + q * q
        if 0 < square < 1:
            break
    even = 2 * square - 1
    # The usual (1 + g^2 - ratio^2) / 2g, multiplied out: it loses all digits where g is tiny
    cosine = even + g * (0.5 * (3 + even * even) + g * (even + 0.5 * g * (even * even - 1)))
    cosine /= (1 + g * even) * (1 + g * even)
    cosine = min(max(cosine, -1.0), 1.0)
    scale = math.sqrt(max(1 - cosine * cosine, 0.0) / square)
    p, q = p * scale, q * scale
    sign = math.copysign(1.0, uz)
    along = ux * p + uy * q
    common = cosine - along / (sign + uz)
    return sign * p + ux * common, sign * q + uy * common, cosine * uz - along, s


@inline
def _fresnel(cosine, ratio):
    """Return reflectance and cosine beyond a boundary; `ratio` is index before over beyond."""
    square = ratio * ratio * (1 - cosine * cosine)
    if square >= 1:
        return 1.0, 0.0
    beyond = math.sqrt(1 - square)
    across = (ratio * cosine - beyond) / (ratio * cosine + beyond)
    along = (ratio * beyond - cosine) / (ratio * beyond + cosine)
    return 0.5 * (across * across + along * along), beyond


@inline
def _way_in(x, z, ux, uz, vein, reach):
    """Return the way to a vein's wall from outside, or FAR_MM if it is beyond reach."""
    dx, dz, radius = x - vein[AXIS_X], z - vein[AXIS_Z], vein[RADIUS]
    square = dx * dx + dz * dz
    if square > (radius + reach) * (radius + reach):
        return FAR_MM
    towards = dx * ux + dz * uz
    if towards >= 0:
        return FAR_MM
    flat = ux * ux + uz * uz
    root = towards * towards - flat * (square - radius * radius)
    if root <= 0:
        return FAR_MM
    return max((-towards - math.sqrt(root)) / flat, 0.0)


@inline
def _way_out(x, z, ux, uz, vein, reach):
    """Return the way to a vein's wall from inside, or FAR_MM if it is beyond reach."""
    dx, dz, radius = x - vein[AXIS_X], z - vein[AXIS_Z], vein[RADIUS]
    end_x, end_z = dx + reach * ux, dz + reach * uz
    if end_x * end_x + end_z * end_z <= radius * radius:
        return FAR_MM
    towards, flat = dx * ux + dz * uz, ux * ux + uz * uz
    root = towards * towards - flat * (dx * dx + dz * dz - radius * radius)
    return max((math.sqrt(max(root, 0.0)) - towards) / flat, 0.0)


@inline
def _cross_wall(direction, normal, ratio, s):
    """Return the direction beyond a wall, whether it was crossed at all, and the state."""
    ux, uy, uz = direction
    nx, nz = normal
    if ratio == 1:
        return direction, True, s
    cosine = max(ux * nx + uz * nz, GRAZING)
    reflectance, beyond = _fresnel(cosine, ratio)
    drawn, s = _next(s)
    if _unit(drawn) < reflectance:
        return (ux - 2 * cosine * nx, uy, uz - 2 * cosine * nz), False, s
    bend = beyond - ratio * cosine
    return (ratio * ux + bend * nx, ratio * uy, ratio * uz + bend * nz), True, s


@inline
def _score(x, y, strength, first, window, tally):
    """Add a detected photon to its ring and its strip; the rings begin at `first`."""
    rings, strips, beam_mm = int(window[RINGS]), int(window[STRIPS]), window[BEAM_MM]
    if rings > 0:
        ring = math.sqrt(x * x + y * y) / window[RING_MM]
        if ring < rings:
            tally[first + int(ring)] += strength
    if strips > 0:
        strip = x / window[STRIP_MM] + 0.5 * strips
        if beam_mm > 0:
            strip -= math.floor(strip / strips) * strips
        if 0 <= strip < strips:
            tally[first + rings + int(strip)] += strength


@inline
def _thin(exits, s):
    """Keep each exit with a chance of a half and twice its weight; return their number."""
    kept = 0
    for i in range(len(exits)):
        drawn, s = _next(s)
        if _unit(drawn) < 0.5:
            exits[kept, :] = exits[i, :]
            exits[kept, EXIT_WEIGHT] *= 2
            kept += 1
    return kept, s


@compiled()
def trace(photons, seeds, media, layers, veins, outside, window, tally, exits):
    """Follow photons to their ends; add their fates to `tally`; return how many `exits` hold."""
    s = (seeds[0], seeds[1], seeds[2], seeds[3])
    n_layers, n_media = len(layers), len(media)
    stack, paths = np.zeros((STACK, PATHS + n_media)), np.zeros(n_media)
    listed, one_in = 0, 1.0
    for _ in range(photons):
        stack[0, :] = 0
        stack[0, UZ] = stack[0, WEIGHT] = stack[0, STRENGTH] = 1
        if window[BEAM_MM] > 0:
            drawn, s = _next(s)
            stack[0, X] = (_unit(drawn) - 0.5) * window[BEAM_MM]
        waiting = 1
        while waiting > 0:
            waiting -= 1
            row = stack[waiting]
            x, y, z, ux, uy, uz = row[X], row[Y], row[Z], row[UX], row[UY], row[UZ]
            # weight leaves absorption out, strength has it in; chance is the logarithm of
            # strength times the share that may be expected to come back from this depth
            weight, strength, chance = row[WEIGHT], row[STRENGTH], row[CHANCE]
            medium, layer = int(row[MEDIUM]), int(row[LAYER])
            paths[:] = row[PATHS:]
            alive = True
            while alive:
                mua, free_path, g, index = media[medium]
                top, bottom, pull = layers[layer]
                path, event, hit = 0.0, SCATTERED, medium - n_layers
                level = chance + pull * z
                while event == SCATTERED:
                    step, s = _free_path(s)
                    step *= free_path
                    if medium >= n_layers:
                        way = _way_out(x, z, ux, uz, veins[hit], step)
                        if way < step:
                            step, event = way, OUT_OF_VEIN
                    else:
                        beyond = z + step * uz
                        if beyond < top:
                            step, event = (top - z) / uz, UPPER_FACE
                        elif beyond > bottom:
                            step, event = (bottom - z) / uz, LOWER_FACE
                        for vein in range(len(veins)):
                            way = _way_in(x, z, ux, uz, veins[vein], step)
                            if way < step:
                                step, event, hit = way, INTO_VEIN, vein
                    x += step * ux
                    y += step * uy
                    z += step * uz
                    path += step
                    if event == SCATTERED:
                        ux, uy, uz, s = _turn(ux, uy, uz, g, s)
                        chance = level - mua * path - pull * z
                        if chance < ROULETTE_BELOW:
                            event = TOO_FAINT
                        elif chance > SPLIT_ABOVE:
                            event = TOO_STRONG

                left = math.exp(-mua * path)
                tally[ABSORBED + medium] += strength * (1 - left)
                strength *= left
                paths[medium] += path
                chance = level - mua * path - pull * z

                if chance < ROULETTE_BELOW or strength < FAINTEST:
                    drawn, s = _next(s)
                    alive = _unit(drawn) < 0.5
                    tally[BALANCE] += -strength if alive else strength
                    weight, strength, chance = 2 * weight, 2 * strength, chance + HALVING
                elif abs(x) + abs(y) > ASIDE_MM:
                    tally[BALANCE] += strength
                    alive = False
                if not alive or event == TOO_FAINT:
                    continue
                if event == TOO_STRONG:
                    if waiting < STACK and strength > FAINTEST:
                        weight, strength, chance = 0.5 * weight, 0.5 * strength, chance - HALVING
                        row = stack[waiting]
                        row[X], row[Y], row[Z], row[UX], row[UY], row[UZ] = x, y, z, ux, uy, uz
                        row[WEIGHT], row[STRENGTH], row[CHANCE] = weight, strength, chance
                        row[MEDIUM], row[LAYER] = medium, layer
                        row[PATHS:] = paths
                        waiting += 1
                elif event in (INTO_VEIN, OUT_OF_VEIN):
                    nx = (x - veins[hit, AXIS_X]) / veins[hit, RADIUS]
                    nz = (z - veins[hit, AXIS_Z]) / veins[hit, RADIUS]
                    if event == INTO_VEIN:
                        nx, nz, target = -nx, -nz, n_layers + hit
                    else:
                        target = 0
                        while target < n_layers - 1 and z > layers[target, BOTTOM]:
                            target += 1
                    ratio = index / media[target, INDEX]
                    (ux, uy, uz), crossed, s = _cross_wall((ux, uy, uz), (nx, nz), ratio, s)
                    if crossed:
                        medium = target
                        layer = target if event == OUT_OF_VEIN else layer
                else:
                    # exactly onto the face, then through it or back
                    is_up = event == UPPER_FACE
                    z = top if is_up else bottom
                    target = layer - 1 if is_up else layer + 1
                    alive = 0 <= target < n_layers
                    ratio = index / (media[target, INDEX] if alive else outside[int(not is_up)])
                    (ux, uy, uz), crossed, s = _cross_wall(
                        (ux, uy, uz), (0.0, -1.0 if is_up else 1.0), ratio, s
                    )
                    if not crossed:
                        alive = True
                    elif alive:
                        medium = layer = target
                    elif not is_up:
                        tally[TRANSMITTED] += strength
                    else:
                        tally[DIFFUSE] += strength
                        if -uz >= window[LEAST_COSINE]:
                            tally[DETECTED] += strength
                            _score(x, y, strength, ABSORBED + n_media, window, tally)
                            if len(exits) > 0:
                                while listed == len(exits):
                                    listed, s = _thin(exits, s)
                                    one_in *= 2
                                is_kept = True
                                if one_in > 1:
                                    drawn, s = _next(s)
                                    is_kept = _unit(drawn) * one_in < 1
                                if is_kept:
                                    line = exits[listed]
                                    line[EXIT_WEIGHT] = weight * one_in
                                    line[EXIT_X], line[EXIT_Y], line[EXIT_COSINE] = x, y, -uz
                                    line[EXIT_PATHS:] = paths
                                    listed += 1
    return listed


@compiled()
def weigh(exits, absorptions, window, tallies):
    """Add listed exits to a tally for each set of absorptions: all of them, rings, strips.

    Examples
    --------
    >>> tallies = np.zeros((2, 1))
    >>> weigh(np.array([[2.0, 0, 0, 1, 3]]), np.array([[0.0], [1.0]]), np.zeros(6), tallies)
    >>> tallies.round(4).tolist()
    [[2.0], [0.0996]]
    """
    for line in exits:
        for i in range(len(absorptions)):
            depth = 0.0
            for medium in range(absorptions.shape[1]):
                depth += absorptions[i, medium] * line[EXIT_PATHS + medium]
            strength = line[EXIT_WEIGHT] * math.exp(-depth)
            tallies[i, 0] += strength
            _score(float(line[EXIT_X]), float(line[EXIT_Y]), strength, 1, window, tallies[i])
